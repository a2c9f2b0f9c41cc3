"""What happens on the screen for profiles."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from dash import ALL, ClientsideFunction, Dash, Input, Output, State, ctx, no_update

from bandcheck.errors import ProfileError
from bandcheck.shoot.profiles import KindName
from bandcheck.shoot.wall import Wall
from dashboard import ids
from dashboard.controls.form import shipped_titles
from dashboard.fields import OWN
from dashboard.pages.profiles.begun import (
    Begun,
    begun_told,
    empty_sheet,
    kind_told,
    opened,
    own_sheet,
    shipped_sheet,
)
from dashboard.pages.profiles.comes_to import budget_view, state_view
from dashboard.pages.profiles.layout import EMPTY, sheet_view, starts, told_lines
from dashboard.pages.profiles.own_question import (
    question_told,
    search_with_figures,
    with_figures,
)
from dashboard.pages.profiles.sheet import (
    NOT_CHOSEN,
    Faults,
    Sheet,
    keys_of,
    profile_or_faults,
    sheet_of,
    sheet_text,
    too_long,
)
from dashboard.pages.profiles.upload import file_name, uploaded_sheet
from dashboard.state import toml_key

__all__ = ["begin", "download", "edited", "register"]

_Begin = tuple[Sheet, Begun, tuple[str, ...]]


def begin(
    kind: Any, start: Any, sent: Any, _back: Any, question: Any, begun: Any, before: Any,
) -> dict[str, Any]:
    """Figures of another kind, start or file; those that they take the place of are kept.

    Parameters
    ----------
    kind, start, sent
        Kind of profile, what to begin from, and the file that was chosen.
    question, begun, before
        As the browser keeps them.

    Returns
    -------
    dict
        Sheet, and what belongs to it; of a file that is refused, only what is wrong with it.
    """
    asked, shown, wanted = question_told(question), begun_told(begun), kind_told(kind)
    kept = before if isinstance(before, dict) else {}
    try:
        found = _found(ctx.triggered_id, wanted, start, sent, asked, kept)
    except ProfileError as error:
        lines = [f"{error.file}: {line}" for line in error.faults]
        return {**_same(), "told": told_lines(lines)}
    if found is None:
        return _same()
    sheet, now, faults = found
    replaced = ctx.triggered_id != ids.PROFILE_KIND and shown.touched and shown.kind == wanted
    if replaced:
        kept = {"kind": wanted, "text": asked.get(toml_key(wanted), "")}
    return {
        "sheet": sheet_view(sheet, now), "told": told_lines(faults), "before": kept,
        "hidden": kept.get("kind") != wanted, "starts": starts(asked, wanted), "start": "",
    }


def _same() -> dict[str, Any]:
    return dict.fromkeys(("sheet", "told", "before", "hidden", "starts", "start"), no_update)


def _found(
    pressed: Any, kind: KindName, start: Any, sent: Any, question: Mapping[str, str],
    kept: Mapping[str, Any],
) -> _Begin | None:
    """Sheet that was asked for; None where nothing was."""
    own = question.get(toml_key(kind), "")
    if pressed == ids.PROFILE_KIND:
        return opened(question, kind)
    if pressed == ids.PROFILE_START and start == EMPTY:
        return *empty_sheet(kind), ()
    if pressed == ids.PROFILE_START and start == OWN and own:
        return *own_sheet(sheet_of(own, kind, file=kind)), ()
    if pressed == ids.PROFILE_START and start in tuple(shipped_titles(kind)):
        return *shipped_sheet(kind, start), ()
    if pressed == ids.PROFILE_SENT and sent is not None:
        return *own_sheet(uploaded_sheet(sent, kind)), ()
    if pressed == ids.PROFILE_BACK and kept.get("kind") == kind:
        return *own_sheet(sheet_of(str(kept.get("text")), kind, file=kind)), ()
    return None


def edited(
    figures: Sequence[Any], sources: Sequence[Any], figure_ids: Sequence[Any],
    source_ids: Sequence[Any], question: Any, begun: Any,
) -> dict[str, Any]:
    """What the typed figures come to, and the question with them in it.

    Parameters
    ----------
    figures, sources, figure_ids, source_ids
        Texts of all fields on the page, and which fields they are.
    question, begun
        As the browser keeps them.

    Returns
    -------
    dict
        Figures that were never touched leave the question as it is.
    """
    shown, asked = begun_told(begun), question_told(question)
    sheet = _sheet(shown.kind, figures, sources, figure_ids, source_ids)
    text = sheet_text(sheet)
    now = replace(shown, touched=shown.touched or text != shown.text)
    if now.touched:
        asked = with_figures(asked, now.kind, text)
    found = profile_or_faults(text, now.kind)
    faults = _faults(found, sheet)
    return {
        "question": asked if now.touched else no_update,
        "search": search_with_figures(asked) if now.touched else no_update,
        "begun": now.data() if now != shown else no_update,
        "figures": [faults.figures.get(_key(each, "figure"), "") for each in figure_ids],
        "sources": [faults.sources.get(_key(each, "figure_source"), "") for each in source_ids],
        "state": state_view(asked, now, text, faults if len(faults) else None),
        "budget": budget_view(found) if isinstance(found, Wall) else [],
    }


def _faults(found: Any, sheet: Sheet) -> Faults:
    wrong = found if isinstance(found, Faults) else Faults(figures={}, sources={}, other=())
    return replace(
        wrong, figures={**wrong.figures, **too_long(sheet.figures)},
        sources={**wrong.sources, **too_long(sheet.sources)},
    )


def _key(place: Any, name: str) -> str:
    key = place.get(name) if isinstance(place, dict) else None
    return key if isinstance(key, str) else ""


def _sheet(
    kind: KindName, figures: Sequence[Any], sources: Sequence[Any], figure_ids: Sequence[Any],
    source_ids: Sequence[Any],
) -> Sheet:
    """Sheet of what stands in the fields; what has no field of its kind is left out."""

    def typed(texts: Sequence[Any], places: Sequence[Any], name: str) -> dict[str, str]:
        pairs = zip(places, texts, strict=False)
        named = {_key(place, name): text for place, text in pairs}
        return {
            key: named[key] for key in keys_of(kind)
            if isinstance(named.get(key), str) and named[key].strip() not in ("", NOT_CHOSEN)
        }

    return Sheet(
        kind=kind, figures=typed(figures, figure_ids, "figure"),
        sources=typed(sources, source_ids, "figure_source"),
    )


def download(
    clicks: Any, figures: Sequence[Any], sources: Sequence[Any], figure_ids: Sequence[Any],
    source_ids: Sequence[Any], begun: Any,
) -> Any:
    """File of the figures as they stand on the page, usable yet or not."""
    if not clicks:
        return no_update
    kind = begun_told(begun).kind
    text = sheet_text(_sheet(kind, figures, sources, figure_ids, source_ids))
    return {"content": text, "filename": file_name(text, kind), "type": "application/toml",
            "base64": False}


_TYPED = (({"figure": ALL}, "value"), ({"figure_source": ALL}, "value"))
_PLACES = (({"figure": ALL}, "id"), ({"figure_source": ALL}, "id"))


def register(app: Dash) -> None:
    """Add what happens on the screen for profiles to an app."""
    app.clientside_callback(  # stands in assets/profiles.js
        ClientsideFunction("profiles", "chooseFile"),
        Output(ids.PROFILE_SENT, "data"), Input(ids.PROFILE_UPLOAD, "n_clicks"),
        prevent_initial_call=True,
    )
    _register_begin(app)
    app.callback(
        {
            "question": Output(ids.QUESTION, "data", allow_duplicate=True),
            "search": Output(ids.SEARCH, "data", allow_duplicate=True),
            "begun": Output(ids.PROFILE_BEGUN, "data"),
            "figures": Output({"figure_wrong": ALL}, "children"),
            "sources": Output({"source_wrong": ALL}, "children"),
            "state": Output(ids.PROFILE_STATE, "children"),
            "budget": Output(ids.PROFILE_BUDGET, "children"),
        },
        [*(Input(*each) for each in _TYPED), *(State(*each) for each in _PLACES),
         State(ids.QUESTION, "data"), State(ids.PROFILE_BEGUN, "data")],
        prevent_initial_call="initial_duplicate",
    )(edited)
    app.callback(
        Output(ids.PROFILE_FILE, "data"),
        [Input(ids.PROFILE_DOWNLOAD, "n_clicks"),
         *(State(*each) for each in (*_TYPED, *_PLACES)), State(ids.PROFILE_BEGUN, "data")],
        prevent_initial_call=True,
    )(download)


def _register_begin(app: Dash) -> None:
    app.callback(
        {
            "sheet": Output(ids.PROFILE_SHEET, "children"),
            "told": Output(ids.PROFILE_TOLD, "children"),
            "before": Output(ids.PROFILE_BEFORE, "data"),
            "hidden": Output(ids.PROFILE_BACK, "hidden"),
            "starts": Output(ids.PROFILE_START, "options"),
            "start": Output(ids.PROFILE_START, "value"),
        },
        [
            Input(ids.PROFILE_KIND, "value"), Input(ids.PROFILE_START, "value"),
            Input(ids.PROFILE_SENT, "data"), Input(ids.PROFILE_BACK, "n_clicks"),
            State(ids.QUESTION, "data"), State(ids.PROFILE_BEGUN, "data"),
            State(ids.PROFILE_BEFORE, "data"),
        ],
        prevent_initial_call=True,
    )(begin)
