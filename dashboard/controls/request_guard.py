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


_EXPECTED: Mapping[str, Callable[[Any], bool]] = {
    f"{ids.QUESTION}.data": _texts, f"{ids.SEARCH}.data": _text, f"{ids.ANSWER}.data": _answer,
    f"{ids.ADDRESS}.pathname": _text, f"{ids.ADDRESS}.search": _text,
    f"{ids.ADDRESS}.hash": _text, f"{ids.THEME}.data": _text,
    f"{ids.CARD_ASKED}.data": _texts, f"{ids.CARD_OF}.data": _text,
}
