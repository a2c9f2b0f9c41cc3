"""From a cell of a plan to the main screen: the same wall, camera, rate and shutter as a link."""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from dash import dcc, html
from dash.development.base_component import Component

from bandcheck.errors import OutOfRangeError, ProfileError
from bandcheck.report.rounding import angle_text
from bandcheck.shoot.plan import Plan
from bandcheck.shoot.plan_shots import Sight, setup_sights
from bandcheck.shoot.profile_text import profile_text
from bandcheck.shoot.profiles import KindName, load_profile, shipped_folder, shipped_names
from bandcheck.shoot.shot import Shot
from bandcheck.timing.rates import rate_text
from bandcheck.verdict.exposure_grades import with_angle
from dashboard.fields import APART, FIELDS, shutter_given
from dashboard.pages.on_set.card_question import shot_texts
from dashboard.state import Question, asked, search_of, toml_key

__all__ = ["shot_links"]

_NOT_HELD = "the main screen has no field for something in it; bandcheck check --help"


def shot_links(plan: Plan, picked: object, question: Mapping[str, str]) -> list[Component]:
    """Links to everything that meets in a cell.

    Parameters
    ----------
    plan
        The plan.
    picked
        What a browser says of the tapped cell: `part`, `at` (its rate) and `dials`, the angle to
        dial of each camera.
    question
        What is on the screen; its plan goes along with the link.

    Returns
    -------
    list of Component
        Nothing for a cell that the plan does not have.
    """
    told = picked if isinstance(picked, dict) else {}
    part, dials = told.get("part"), told.get("dials")
    if not isinstance(part, int) or not 0 <= part < len(plan.setups):
        return []
    setup = plan.setups[part]
    fps = next((each for each in setup.rates if rate_text(each) == told.get("at")), None)
    if fps is None:
        return []
    try:
        sights = setup_sights(plan, setup, fps=fps)
    except OutOfRangeError:
        return []
    kept = {name: question[name] for name in (*FIELDS, toml_key("plan")) if name in question
            and (name not in FIELDS or FIELDS[name].part in APART)}
    items = [
        html.Li([html.B(f"{sight.camera}, {sight.surface}: "), *_links(sight, dials, kept)])
        for sight in sights
    ]
    return [html.H3("On the main screen"), html.Ul(items, className="plan-links")]


def _links(sight: Sight, dials: object, kept: Mapping[str, str]) -> Iterator[Any]:
    yield _link(sight.shot, f"as wanted, {angle_text(sight.shot.angle_deg)}", kept)
    dial = dials.get(sight.camera) if isinstance(dials, dict) else None
    if not isinstance(dial, str):
        return
    try:
        _, angle_deg = shutter_given(dial, argument="dial")
        shot = with_angle(sight.shot, angle_deg)
    except OutOfRangeError:
        return
    if shot.exposure_s != sight.shot.exposure_s:
        yield " · "
        yield _link(shot, f"as to be dialled, {angle_text(shot.angle_deg)}", kept)


def _link(shot: Shot, words: str, kept: Mapping[str, str]) -> Component:
    texts = _named(shot_texts(shot))
    if asked(texts).shot != shot:
        return html.Span(f"{words} ({_NOT_HELD})")
    return dcc.Link(words, href=f"/{search_of({**kept, **texts})}")


def _named(texts: Question) -> Question:
    """Question with profiles that are shipped by name."""
    kinds: tuple[KindName, ...] = ("wall", "camera")
    for kind in kinds:
        name = _shipped(kind).get(texts.get(toml_key(kind), ""))
        if name is not None:
            texts = {key: text for key, text in texts.items() if key != toml_key(kind)}
            texts[kind] = name
    return texts


@cache
def _shipped(kind: KindName) -> Mapping[str, str]:
    """Name of every shipped profile, by its figures as text."""
    found = {}
    for name in shipped_names(kind):
        try:
            found[profile_text(load_profile(shipped_folder() / f"{kind}s" / f"{name}.toml"))] = name
        except ProfileError:  # one that somebody broke must not take the others away
            continue
    return found
