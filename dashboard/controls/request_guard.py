"""Refuses requests that no screen sends, before any callback has to ask what it was given."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, Final

from flask import Flask, Response, request

from dashboard import ids

__all__ = ["guard"]

_ASKED_AT: Final = "/_dash-update-component"
_LONGEST_TEXT: Final = 256 * 1024
_REFUSAL: Final = "not a request that a screen of this dashboard sends\n"


def guard(server: Flask, callbacks: Mapping[str, object]) -> None:
    """Have a server refuse what is no question, with status 400 and a plain line.

    Parameters
    ----------
    server
        What answers the callbacks. They may then rely on the question, its answer, the address
        and the theme being texts, and on texts being whole Unicode; on nothing else.
    callbacks
        What it answers, by output.
    """

    def refusal() -> Response | None:
        if request.path != _ASKED_AT or request.method != "POST":
            return None
        try:
            body = request.get_json(silent=True)
        except RecursionError:  # nested without end
            body = None
        if isinstance(body, dict) and str(body.get("output")) in callbacks and _sound(body):
            return None
        return Response(_REFUSAL, status=400, mimetype="text/plain")

    server.before_request(refusal)


def _sound(body: Mapping[str, Any]) -> bool:
    try:
        return "outputs" in body and all(_as_expected(each) for each in _places(body))
    except (KeyError, TypeError, AttributeError):  # places without name or property, or none at all
        return False


def _places(body: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    """Every value of a request; several of a kind stand in a list of their own."""
    for part in ("inputs", "state"):
        given: Iterable[Any] = body.get(part) or ()
        for each in given:
            yield from each if isinstance(each, list) else (each,)


def _as_expected(place: Mapping[str, Any]) -> bool:
    name, value = place["id"], place.get("value")
    if not isinstance(name, str):  # one of several: a field of the question, or a part of a page
        return not isinstance(name, dict) or "ask" not in name or _choice(value)
    expected = _EXPECTED.get(f"{name}.{place['property']}")
    return expected is None or value is None or expected(value)


def _text(value: object) -> bool:
    if not isinstance(value, str) or len(value) > _LONGEST_TEXT:
        return False
    try:
        value.encode()
    except UnicodeEncodeError:  # half of a pair of surrogates
        return False
    return True


def _texts(value: object) -> bool:
    return isinstance(value, dict) and all(map(_text, (*value.keys(), *value.values())))


def _choice(value: object) -> bool:
    """What stands in a field: a text, a number, or several that were ticked."""
    several = value if isinstance(value, list) else [value]
    return all(each is None or isinstance(each, int | float) or _text(each) for each in several)


def _answer(value: object) -> bool:
    return isinstance(value, dict) and all(map(_text, value.values()))


def _one_of(*words: str) -> Callable[[Any], bool]:
    return lambda value: isinstance(value, str) and value in words


def _task(value: object) -> bool:
    """What the map of shutter settings is to compute next."""
    return isinstance(value, dict) and isinstance(value.get("step"), int) and "run" in value and (
        _text(value.get("level"))
    )


def _rows(value: object) -> bool:
    """Rates of the map as far as they are computed."""
    if not isinstance(value, dict):
        return False
    rates, rows = value.get("fps"), value.get("rows")
    return isinstance(rates, list) and isinstance(rows, list) and len(rates) == len(rows) and (
        all(map(_text, rates)) and all(row is None or _row(row) for row in rows)
    )


def _row(row: object) -> bool:
    if not isinstance(row, dict) or not all(isinstance(row.get(key), list) for key in _LISTS):
        return False
    return len({len(row[key]) for key in _LISTS}) == 1 and all(
        each is None or (
            isinstance(each, int | float) if key in _NUMBERS else _text(each)
        )
        for key in _LISTS for each in row[key]
    )


_NUMBERS: Final = ("angle_deg", "visibility", "worst_signal_pct")
_LISTS: Final = (*_NUMBERS, "exposure_s", "level")

_EXPECTED: Mapping[str, Callable[[Any], bool]] = {
    f"{ids.QUESTION}.data": _texts, f"{ids.SEARCH}.data": _text, f"{ids.ANSWER}.data": _answer,
    f"{ids.ADDRESS}.pathname": _text, f"{ids.ADDRESS}.search": _text,
    f"{ids.ADDRESS}.hash": _text, f"{ids.THEME}.data": _one_of("dark", "light"),
    f"{ids.MAP_TASK}.data": _task, f"{ids.MAP_ROWS}.data": _rows,
    f"{ids.TIMELINE_SPAN}.value": _one_of("frame", "refresh", "slot"),
    f"{ids.CARD_ASKED}.data": _texts, f"{ids.CARD_OF}.data": _text,
    f"{ids.PLAN_OTHER}.data": _answer,
}
