"""A wall's budget as it is read on a screen and by a program."""

import json
from fractions import Fraction

import pytest
from cli_run import run
from plain_shots import plain_wall

from bandcheck.report.budget_text import budget_text, budget_values
from bandcheck.shoot.profiles import load_wall, shipped_names
from bandcheck.verdict.wall_budget import wall_budget


def shown(name):
    return budget_text(wall_budget(load_wall(name)))


@pytest.mark.parametrize("name", shipped_names("wall"))
def test_80_columns_for_every_wall(name):
    lines = shown(name).splitlines()
    assert max(map(len, lines)) <= 80
    assert all(line == line.rstrip() for line in lines)


def test_the_identity_is_spelled_with_its_numbers():
    text = shown("stage-fine-1.5")
    assert "24 x 160 x 32 x (102 / 40 MHz + 1.2 us) = 0.4608" in text
    assert "60 x 64 x 32 x (256 / 40 MHz + 1.2 us) = 0.9339" in text
    row = next(line for line in text.split("At most")[1].splitlines() if line.startswith("  24 "))
    # by hand in the test of the figures; 14.7016 MHz is rounded up, for less would not do
    assert row.split() == ["24", "347", "277", "69", "52.08", "14.71", "MHz"]


def test_a_rate_that_does_not_fit_says_why():
    text = " ".join(shown("stage-fine-1.5").split())
    assert "120 cannot be: 32 refreshes x 32 lines x (512 counts / 40 MHz + 1.2 us)" in text


def test_a_clock_that_nobody_knows_is_said_to_be_unknown():
    text = shown("stage-main-2.6")
    assert "The clock is not known" in text
    assert "At most" not in text


def test_a_free_refresh_is_spelled_out():
    assert "1 / (8 lines x (1023 / 20 MHz + 2 us)) = 2351.8 Hz" in " ".join(
        shown("backdrop-3.9-planes").split()
    )


def test_both_rules_stand_where_none_is_stated():
    rows = [line.split() for line in shown("side-2.8").splitlines() if line.startswith("  48 ")]
    assert rows[0][:4] == ["48", "40", "1920", "Hz"]
    assert rows[1][:4] == ["48", "32", "1536", "Hz"]
    assert (rows[0][-1], rows[1][-1]) == ("refresh", "number")


@pytest.mark.parametrize(("control", "words"), [
    ("current", "dims by LED current"), ("pwm", "dims by PWM: this is what it pays"),
    (None, "is not known: PWM is reckoned with"),
])
def test_how_the_wall_dims(control, words):
    text = budget_text(wall_budget(plain_wall(brightness_control=control)))
    assert words in " ".join(text.split())
    row = next(line for line in text.splitlines() if line.startswith("  50 %"))
    assert row.split() == ["50", "%", "32720", "(65440)", "534", "(1068)", "1", "bit"]


def test_a_wall_that_can_run_at_no_rate_still_has_a_page():
    budget = wall_budget(plain_wall(clock_hz=1e6, line_switch_s=None), (Fraction(24),))
    assert "cannot be" in budget_text(budget)
    assert budget_values(budget)["dimming"] == []


def test_plain_values_hold_the_figures_unrounded():
    rates = {each["wall_fps"]: each["cases"] for each in budget_values(
        wall_budget(load_wall("side-2.8"))
    )["rates"]}
    assert [case["refreshes_per_frame"] for case in rates["48"]] == [40, 32]
    assert rates["48"][0]["taken"]["on_rate_change"] == "keep_refresh"
    assert rates["48"][0]["clock"] is None


def test_profiles_show_has_it_for_walls_and_for_nothing_else():
    assert "Wall's budget" in run("profiles", "show", "studio-1.2").stdout
    assert "budget" not in run("profiles", "show", "studio-f").stdout.lower()
    wall = json.loads(run("profiles", "show", "studio-1.2", "--json").stdout)["budget"]
    assert wall["rates"][0]["cases"][0]["clock"]["most_refreshes"] == 266
    assert json.loads(run("profiles", "show", "studio-f", "--json").stdout)["budget"] is None
