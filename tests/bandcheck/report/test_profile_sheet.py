"""A profile's sheet holds every figure whatever its length, and tells stated from taken."""

import tomllib

import pytest

from bandcheck.report.profile_sheet import (
    figures_not_stated,
    kind_of,
    profile_figures,
    profile_sheet,
)
from bandcheck.shoot.profile_text import blank_profile
from bandcheck.shoot.profiles import (
    KINDS,
    load_profile,
    parse_profile,
    shipped_folder,
    shipped_names,
)

SHIPPED = [name for kind in KINDS for name in shipped_names(kind)]

CAMERA = """
[camera]
name = "{name}"
rows_px = 2160
shutter = "global"
{dial}
max_fps = 59.94
readout_down = true

[source]
rows_px = "{source}"
readout_down = "assumed"
"""


def camera(*, name="a camera", dial="angles_deg = [172.8]", source="maker's sheet"):
    text = CAMERA.format(name=name, dial=dial, source=source)
    return parse_profile(text, file="text")


def rows(profile):
    return {each.key: (each.value, each.unit, each.source) for each in profile_figures(profile)}


def test_figures_are_those_of_the_file_with_their_units():
    found = {**rows(camera(dial='speeds = ["1/24", "1/48"]')), **rows(camera())}
    assert found["rows_px"] == (2160, "px", "maker's sheet")
    assert found["angles_deg"] == ([172.8], "deg", "no source given")
    assert found["speeds"] == (["1/24", "1/48"], "s", "no source given")
    assert found["max_fps"] == ("60000/1001", "frames/s", "no source given")
    assert found["name"] == ("a camera", "", "")


def test_what_is_usual_is_told_from_what_is_stated():
    found = rows(camera())
    assert found["exposure_scheme"] == ("single", "", "not stated: taken")
    assert found["readout_down"] == (True, "", "assumed")


@pytest.mark.parametrize("name", SHIPPED)
def test_every_key_of_a_shipped_file_stands_there_with_its_value(name):
    profile = load_profile(name)
    kind = kind_of(profile)
    typed = tomllib.loads((shipped_folder() / f"{kind}s" / f"{name}.toml").read_text())
    found = {each.key: each for each in profile_figures(profile)}
    assert set(found) >= set(typed[kind])
    for key, value in typed[kind].items():
        shown = found[key].value
        if isinstance(value, int | float) and not isinstance(shown, str):
            assert shown == pytest.approx(value, rel=1e-15), key
    for key, source in typed["source"].items():
        assert found[key].source == source


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_is_either_a_figure_or_not_stated(kind):
    profile = parse_profile(blank_profile(kind, filled=True), file="text")
    keys = [each.key for each in profile_figures(profile)]
    assert sorted([*keys, *figures_not_stated(profile)]) == sorted(k.name for k in KINDS[kind].keys)


@pytest.mark.parametrize(
    "profile",
    [
        camera(name="long " * 39, source="words " * 33),
        camera(name="n" * 200, source="s" * 200),
        camera(dial=f"angles_deg = {[number / 10 for number in range(1, 1001)]}"),
        camera(name="撮影カメラ 甲", source="メーカー資料"),
    ],
    ids=["many words", "one long word", "a thousand angles", "other letters"],
)
@pytest.mark.parametrize("width", [60, 80, 100])
def test_nothing_is_lost_and_no_line_is_too_long(profile, width):
    lines = profile_sheet(profile, width=width).splitlines()
    assert max(map(len, lines)) <= width
    assert not any(line != line.rstrip() for line in lines)
    letters = "".join("".join(lines).split())
    assert "".join(profile.name.split()) in letters
    assert profile_sheet(profile, width=10_000).count("\n") < 30
    for angle in profile.angles_deg:
        assert f"{float(angle):g}" in letters


def test_a_number_keeps_its_zeros_before_the_point():
    wall = parse_profile(
        blank_profile("wall", filled=True).replace("#peak_nits = 1500", "peak_nits = 1500.50")
        .replace("#clock_mhz = 30", "clock_mhz = 300"),
        file="text",
    )
    written = {each.key: each.written for each in profile_figures(wall)}
    assert written["peak_nits"] == "1500.5"
    assert written["clock_mhz"] == "300"
