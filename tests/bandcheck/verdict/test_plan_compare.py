"""Two plans side by side: exactly what was planted, what it voids, who has to look again."""

import json
from fractions import Fraction

import pytest
from plan_cases import HEAD, plan_of

from bandcheck.report.plan_compare_text import compare_json, compare_text
from bandcheck.shoot.plan_shots import setup_sights
from bandcheck.verdict.plan_compare import plan_comparison
from bandcheck.verdict.plan_window import wanted_grade
from bandcheck.vision.level import Level

OLD = HEAD.replace("side-2.8", "studio-1.2") + """
[[surface]]
name = "top"
wall = "stage-quiet-1.9"
role = "lighting_only"
[[camera]]
name = "B"
profile = "cine-b-global"
[[lamp]]
name = "lantern"
profile = "fixture-25k"
[[setup]]
name = "one"
camera = "A"
surfaces = ["main"]
[[setup]]
name = "two"
camera = "B"
surfaces = ["main", "top"]
rates = [24, 48]
[[ramp]]
name = "falls"
setup = "two"
from_fps = 24
to_fps = 48
"""

PLANTED = [
    # old text, new text, differences (holder, name, key, old, new), void settings, who
    ("angle_deg = 172.8", "angle_deg = 180",
     [("defaults", "", "angle_deg", "172.8", "180")],
     {("one", 24), ("two", 24), ("two", 48)}, {"camera"}),
    ('wall = "stage-quiet-1.9"', 'wall = "stage-quiet-1.9"\nrefreshes_per_frame = 64',
     [("surface", "top", "refreshes_per_frame", None, "64")],
     {("two", 24), ("two", 48)}, {"wall"}),
    ('profile = "cine-a-wide"', 'profile = "cine-a-wide"\nreadout_ms = 9',
     [("camera", "A", "readout_ms", "8.000", "9"),
      ("camera", "A", "source of readout_ms", "measured 2026-03-02",
       "stated in the plan")],
     {("one", 24)}, {"camera"}),
    ('lamps = ["desk"]', 'lamps = ["desk", "lantern"]',
     [("defaults", "", "lamps", '["desk"]', '["desk", "lantern"]'),
      ("setup", "one", "lamps", "desk", "desk, lantern"),
      ("setup", "two", "lamps", "desk", "desk, lantern")],
     {("one", 24), ("two", 24), ("two", 48)}, {"lamp"}),
    ('name = "one"', 'name = "one"\nbrightness_pct = 50',
     [("setup", "one", "brightness_pct", None, "50")], {("one", 24)}, {"wall"}),
]


@pytest.mark.parametrize(("old", "new", "planted", "void", "sides"), PLANTED,
                         ids=[each[2][0][2] for each in PLANTED])
def test_exactly_what_was_planted_is_told(old, new, planted, void, sides):
    assert OLD.count(old) == 1
    found = plan_comparison(plan_of(OLD), plan_of(OLD.replace(old, new)))
    told = [(each.holder, each.name, each.key, each.old, each.new) for each in found.differences]
    for (*place, was, now), (*told_place, told_was, told_now) in zip(planted, told, strict=True):
        assert place == told_place
        assert _same(was, told_was)
        assert _same(now, told_now)
    assert {(each.setup, each.fps) for each in found.changes} == void
    assert {side for each in found.changes for side in each.sides} == sides
    assert {each.state for each in found.changes} == {"void"}
    assert found.moves == (("falls",) if ("two", 24) in void else ())


def _same(one, other):
    try:
        return Fraction(one) == Fraction(other)
    except (TypeError, ValueError):
        return one == other


def test_the_same_plan_has_no_differences():
    found = plan_comparison(plan_of(OLD), plan_of(OLD))
    assert (found.differences, found.changes, found.moves) == ((), (), ())
    assert found.level is Level.SAFE
    assert compare_text(found) == "The two plans say the same; every setting stands."


def test_saying_for_oneself_what_the_defaults_say_is_told_and_voids_nothing():
    new = plan_of(OLD.replace('name = "one"', 'name = "one"\nangle_deg = 172.8'))
    found = plan_comparison(plan_of(OLD), new)
    (difference,) = found.differences
    assert (difference.name, difference.key, difference.old) == ("one", "angle_deg", None)
    assert found.changes == ()


def test_names_notes_and_sources_void_nothing():
    new = OLD.replace('"test shoot"', '"another"\nnote = "stage 3"').replace(
        'profile = "cine-b-global"',
        'profile = "cine-b-global"\n[camera.measured]\nrows_px = "measured 2026-03-04, K. Ito"',
    )
    found = plan_comparison(plan_of(OLD), plan_of(new))
    assert [each.key for each in found.differences] == ["name", "note", "source of rows_px"]
    assert not any(each.decides for each in found.differences)
    assert found.changes == ()
    assert "without voiding anything" in compare_text(found)


def test_set_ups_rates_and_devices_that_are_new_or_gone_are_told_as_such():
    new = OLD.replace("rates = [24, 48]", "rates = [25, 48]").replace('name = "one"',
                                                                      'name = "three"')
    found = plan_comparison(plan_of(OLD), plan_of(new))
    assert [(each.setup, int(each.fps), each.state) for each in found.changes] == [
        ("one", 24, "gone"), ("two", 24, "gone"), ("two", 25, "new"), ("three", 24, "new"),
    ]
    assert [(each.holder, each.name, each.key) for each in found.differences] == [
        ("setup", "one", ""), ("setup", "two", "rates"), ("setup", "three", ""),
    ]


def test_what_is_void_is_graded_before_and_after():
    old, new = plan_of(OLD), plan_of(OLD.replace("angle_deg = 172.8", "angle_deg = 120"))
    found = plan_comparison(old, new)
    for each in found.changes:
        for plan, told in ((old, each.was), (new, each.now)):
            sights = setup_sights(plan, plan.setup(each.setup), fps=each.fps)
            assert told == max(wanted_grade(sight.shot).level for sight in sights)
    assert found.level == max(each.now for each in found.changes)


def test_words_and_json_say_the_same():
    found = plan_comparison(
        plan_of(OLD), plan_of(OLD.replace("angle_deg = 172.8", "angle_deg = 180"))
    )
    text, values = compare_text(found), json.loads(json.dumps(compare_json(found)))
    assert "the defaults: angle_deg was 172.8, is 180" in text
    assert values["schema"] == "bandcheck.plan_compare/1"
    assert values["differences"][0]["text"] in text
    assert [each["look_again"] for each in values["settings"]] == [["director of photography"]] * 3
    assert all(len(line) <= 80 for line in text.splitlines())
