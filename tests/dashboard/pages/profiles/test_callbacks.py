"""What happens on the screen for profiles, its callbacks asked as plain functions."""

from urllib.parse import parse_qs, urlsplit

import pytest
from dash import no_update
from dash._callback_context import context_value
from dash._utils import AttributeDict
from screen_parts import of_type, texts

from bandcheck.shoot.profiles import KINDS, load_wall, shipped_names
from bandcheck.verdict.wall_budget import wall_budget
from dashboard import ids
from dashboard.pages.profiles.begun import empty_sheet, own_sheet, shipped_sheet
from dashboard.pages.profiles.callbacks import begin, download, edited
from dashboard.pages.profiles.layout import EMPTY, layout
from dashboard.pages.profiles.sheet import Sheet, keys_of, sheet_of, sheet_text
from dashboard.state import asked, question_of

SHOT = {"wall": "stage-main-2.6", "camera": "cine-a-wide", "fps": "25", "shutter": "144"}


def typed(figures=(), sources=(), *, kind="wall", question=SHOT, begun=None):
    """Outcome of what stands in the fields: a shipped profile with some of them changed."""
    sheet, start = begun or shipped_sheet(kind, shipped_names(kind)[0])
    keys = list(keys_of(sheet.kind))
    now, said = {**sheet.figures, **dict(figures)}, {**sheet.sources, **dict(sources)}
    return edited(
        [now.get(key, "") for key in keys], [said.get(key, "") for key in keys],
        [ids.figure(key) for key in keys], [ids.figure_source(key) for key in keys],
        question, start.data(),
    )


def pressed(name, *, kind="wall", start="", sent=None, question=SHOT, begun=None, before=None):
    """Outcome of something pressed or chosen."""
    triggered = [{"prop_id": f"{name}.value", "value": 1}]
    token = context_value.set(AttributeDict(triggered_inputs=triggered))
    try:
        return begin(kind, start, sent, 1, question, begun, before)
    finally:
        context_value.reset(token)


def field_value(children, name):
    """What stands in a field of the sheet."""
    return next(each.value for each in of_type(children, "Input", "Select") if each.id == name)


def link(outcome):
    """Where the way into the shot leads; None where there is none."""
    return next((each.href for each in of_type(outcome["state"], "Link")), None)


@pytest.mark.parametrize("kind", KINDS)
def test_every_shipped_profile_opens_without_a_fault_and_changes_nothing(kind):
    for name in shipped_names(kind):
        outcome = typed(begun=shipped_sheet(kind, name), kind=kind)
        assert not any(outcome["figures"])
        assert not any(outcome["sources"])
        assert outcome["question"] is outcome["search"] is outcome["begun"] is no_update
        assert question_of(urlsplit(link(outcome)).query)[kind].split(",")[-1] == name
        used = name in SHOT.values()
        words = "Back to the shot" if used else f"Use this {kind} in the shot"
        assert words in texts(outcome["state"])
        assert f"The shot uses this {kind}." in " ".join(texts(outcome["state"])) or not used


def test_a_figure_typed_is_in_the_question_its_address_and_the_way_into_the_shot():
    outcome = typed({"peak_nits": "777"}, begun=shipped_sheet("wall", "stage-main-2.6"))
    assert "peak_nits = 777" in outcome["question"]["wall_toml"]
    assert outcome["question"]["wall"] == "stage-main-2.6"  # not used until it is asked for
    assert question_of(outcome["search"]) == outcome["question"]
    used = question_of(urlsplit(link(outcome)).query)
    assert used == {**outcome["question"], "wall": "own"}
    assert asked(used).shot.wall.peak_nits == 777
    assert outcome["begun"]["touched"] is True
    assert "begun from “stage, main wall”" in " ".join(texts(outcome["state"]))


def test_a_source_typed_is_kept_too():
    outcome = typed(sources={"peak_nits": "measured today"}, begun=own_sheet(
        Sheet(kind="wall", figures={**shipped_sheet("wall", "side-2.8")[0].figures}, sources={})))
    assert 'peak_nits = "measured today"' in outcome["question"]["wall_toml"]


def test_what_cannot_be_stands_beside_its_field_and_is_kept():
    outcome = typed({"pitch_mm": "2,6", "refresh_hz": "-1"}, {"gamma": "assumed"},
                    begun=shipped_sheet("wall", "stage-main-2.6"))
    keys = list(keys_of("wall"))
    wrong = {key for key, line in zip(keys, outcome["figures"], strict=True) if line}
    assert wrong == {"pitch_mm", "refresh_hz"}
    assert outcome["sources"][keys.index("gamma")] == "the profile does not give it"
    assert link(outcome) is None
    assert outcome["budget"] == []
    assert "3 fields have to be put right" in " ".join(texts(outcome["state"]))
    again = sheet_of(question_of(outcome["search"])["wall_toml"], "wall", file="wall")
    assert again.figures["pitch_mm"] == "2,6"
    assert again.sources["gamma"] == "assumed"


def test_a_shot_that_uses_figures_with_a_fault_has_no_answer():
    question = {**SHOT, "wall": "own"}
    outcome = typed({"pitch_mm": "wide"}, begun=shipped_sheet("wall", "side-2.8"),
                    question=question)
    assert "the shot has no answer" in " ".join(texts(outcome["state"]))
    assert "pitch_mm" in asked(outcome["question"]).errors["wall"]


def test_ten_thousand_cells_are_refused_in_place_and_fit_the_link():
    outcome = typed({"refreshes_per_frame_allowed": "1," * 9_999 + "1"})
    place = list(keys_of("wall")).index("refreshes_per_frame_allowed")
    assert "a list of whole numbers" in outcome["figures"][place]
    assert len(outcome["search"]) < 4000
    outcome = typed({"refreshes_per_frame_allowed": "1," * 100_000})
    assert "at most 20000" in outcome["figures"][place]
    assert link(outcome) is None


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", "javascript:alert(1)", "]]>\"'&"])
def test_markup_in_a_name_stays_a_text(name):
    outcome = typed({"name": name}, begun=shipped_sheet("wall", "side-2.8"))
    assert not any(outcome["figures"])
    assert asked({**outcome["question"], "wall": "own"}).shot.wall.name == name
    assert urlsplit(link(outcome)).path == "/"
    assert urlsplit(link(outcome)).scheme == ""


def test_a_lamp_of_the_users_own_joins_those_in_shot():
    question = {**SHOT, "lamp": "mains-50-tubes"}
    outcome = typed({"modulation": "0.2"}, kind="lamp", question=question,
                    begun=shipped_sheet("lamp", "mains-50-tubes"))
    assert parse_qs(urlsplit(link(outcome)).query)["lamp"] == ["mains-50-tubes,own"]


def test_the_budget_of_a_wall_is_the_command_lines():
    rows = of_type(typed(begun=shipped_sheet("wall", "stage-main-2.6"))["budget"], "Tr")
    found = wall_budget(load_wall("stage-main-2.6")).rates
    assert len(rows) == len(found) + 1
    for row, each in zip(rows[1:], found, strict=True):
        cells = texts(row)
        assert cells[:2] == [f"{float(each.wall_fps):g}", str(each.case.timing.refreshes)]
        assert float(cells[2].removesuffix(" Hz")) == pytest.approx(each.refresh_hz, abs=0.5)


def test_a_kind_opens_what_the_question_has_of_it():
    own = sheet_text(Sheet(kind="camera", figures={"name": "A", "readout_ms": "x"}, sources={}))
    outcome = pressed(ids.PROFILE_KIND, kind="camera", question={**SHOT, "camera_toml": own})
    assert field_value(outcome["sheet"], ids.figure("readout_ms")) == "x"
    outcome = pressed(ids.PROFILE_KIND, kind="camera")
    assert field_value(outcome["sheet"], ids.figure("readout_ms")) == "8"
    assert field_value(outcome["sheet"], ids.figure("speeds")) == ""
    outcome = pressed(ids.PROFILE_KIND, kind="lamp")
    assert field_value(outcome["sheet"], ids.figure("kind")) == "-"


def test_figures_that_others_take_the_place_of_can_be_brought_back():
    own = sheet_text(Sheet(kind="wall", figures={"name": "mine", "pitch_mm": "x"}, sources={}))
    mine = own_sheet(sheet_of(own, "wall", file="wall"))[1].data()
    question = {**SHOT, "wall_toml": own}
    for start, pitch in (("side-2.8", "2.8"), (EMPTY, "")):
        outcome = pressed(ids.PROFILE_START, start=start, question=question, begun=mine)
        assert field_value(outcome["sheet"], ids.figure("pitch_mm")) == pitch
        assert (outcome["hidden"], outcome["start"]) == (False, "")
    untouched = shipped_sheet("wall", "side-2.8")[1].data()
    assert pressed(ids.PROFILE_START, start="ceiling-8", begun=untouched)["hidden"] is True
    back = pressed(ids.PROFILE_BACK, question=SHOT, before=outcome["before"])
    assert field_value(back["sheet"], ids.figure("pitch_mm")) == "x"
    assert typed(begun=own_sheet(sheet_of(own, "wall", file="wall")))["question"] == question


def test_a_file_that_is_refused_says_why_and_leaves_the_figures():
    outcome = pressed(ids.PROFILE_SENT, sent={"name": "a.png", "size": 9, "contents": ""})
    assert texts(outcome["told"])[0].startswith("a.png: a profile is a text file")
    assert outcome["sheet"] is outcome["before"] is no_update


def test_a_damaged_link_says_so():
    page = layout({**SHOT, "wall": "own", "wall_toml": "[wall"})
    assert "the figures in this link cannot be shown:" in texts(page)


def test_the_download_holds_what_is_typed_usable_or_not():
    sheet, begun = empty_sheet("lamp")
    key = [ids.figure("name"), ids.figure("kind")]
    answer = download(1, ["Tube & co", "mainz"], [], key, [], begun.data())
    assert answer["filename"] == "lamp-tube-co.toml"
    assert answer["content"] == '[lamp]\nname = "Tube & co"\nkind = "mainz"\n'
    assert download(None, [], [], [], [], begun.data()) is no_update
    assert sheet.figures == {}
