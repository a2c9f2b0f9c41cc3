"""`bandcheck measure` as it is used."""

import json
import tomllib

import numpy as np
import pytest
from brute_bands import band_file
from cli_run import refused, run
from numpy.testing import assert_allclose

STAGE = ("--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "24")


@pytest.fixture(scope="module")
def grab(tmp_path_factory):
    """A picture with a band every 30 rows."""
    path = tmp_path_factory.mktemp("grabs") / "grab.png"
    path.write_bytes(band_file(np.random.default_rng(4), bands=[(1 / 30, 0.06)]))
    return path


def test_a_known_light_gives_the_readout(grab):
    done = run("measure", grab, "--source-hz", "500", "--json")
    assert (done.exit_code, done.stderr) == (0, "")
    found = json.loads(done.stdout)
    # 360 rows of which 30 last 1/500 s
    assert_allclose(found["readout_ms"], 24, rtol=5e-3)
    assert_allclose(found["contrast"], 0.06, rtol=0.02)
    assert found["found"] is True
    assert found["aliases_hz"] is None
    assert 0 < found["readout_ms_uncertainty"] < 0.1


def test_a_known_readout_gives_the_source_and_what_else_it_could_be(grab):
    found = json.loads(run("measure", grab, "--readout-ms", "24", "--json").stdout)
    assert_allclose(found["source_hz"], 500, rtol=5e-3)
    row_hz = 360 / 0.024
    expected = [row_hz - 500, row_hz + 500, 2 * row_hz - 500, 2 * row_hz + 500]
    assert_allclose(found["aliases_hz"], expected, rtol=1e-3)
    assert len(found["aliases_hz_uncertainty"]) == 4


def test_text_of_80_columns(grab):
    done = run("measure", grab, "--source-hz", "500", "--readout-ms", "24.1")
    assert all(len(line) <= 80 for line in done.stdout.splitlines())
    text = " ".join(done.stdout.split())
    assert "sRGB; assumed" in text
    assert "taken as exact" in text
    assert "does not agree" in text  # 24.1 against 24.0
    assert "not a safety assessment" in text


def test_nothing_is_never_told_as_nought(tmp_path):
    path = tmp_path / "even.png"
    path.write_bytes(band_file(np.random.default_rng(5), bands=()))
    done = run("measure", path)
    assert "No periodic bands found; anything above " in done.stdout
    found = json.loads(run("measure", path, "--json").stdout)
    assert found["found"] is False
    assert found["contrast"] is None
    assert found["detectable_pct"] > 0


def test_the_figure_goes_into_a_copy(grab, tmp_path):
    target = tmp_path / "copy.toml"
    arguments = ("measure", grab, "--source-hz", "1500", "--save-to", target)
    camera = ("--camera", "cine-a-wide", "--date", "2026-03-02")
    assert "--date" in refused(*arguments, "--camera", "cine-a-wide")
    assert "--camera" in refused(*arguments, "--date", "2026-03-02")
    assert "--rows-read" in refused(*arguments, *camera, "--rows-read", "360")
    assert run(*arguments, *camera).exit_code == 0
    saved = tomllib.loads(target.read_text(encoding="utf-8"))
    # twelve bands of 1/1500 s
    assert_allclose(saved["camera"]["readout_ms"], 8, rtol=5e-3)
    assert saved["source"]["readout_ms"].startswith("measured 2026-03-02, +/- ")
    assert saved["camera"]["rows_px"] == 2592
    before = target.read_bytes()
    assert "original" in refused(
        *arguments, "--force", "--camera", target, "--date", "2026-03-02"
    )
    assert target.read_bytes() == before


def test_a_measured_light_goes_into_its_own_profile(grab, tmp_path):
    known = ("measure", grab, "--readout-ms", "8", "--rows-read", "2592", "--date", "2026-03-02")
    lamp = tmp_path / "lamp.toml"
    assert run(*known, "--lamp", "fixture-1200", "--save-to", lamp).exit_code == 0
    saved = tomllib.loads(lamp.read_text(encoding="utf-8"))
    assert_allclose(saved["lamp"]["pulse_hz"], 1500, rtol=5e-3)
    wall = ("--wall", "stage-main-2.6", "--save-to", tmp_path / "wall.toml")
    assert "--wall-fps" in refused(*known, *wall)
    # 12 bands in 8 ms: 1500 Hz is no whole multiple of 24, nor is it left open
    assert "whole multiple" in refused(*known, *wall, "--fps", "24")
    assert "--source-hz" in refused(
        "measure", grab, "--lamp", "fixture-1200", "--camera", "cine-a-wide", "--date",
        "2026-03-02", "--save-to", lamp, "--force",
    )
    assert list(tmp_path.iterdir()) == [lamp]


def simulated(folder, name, *setting):
    path = folder / name
    assert run("frame", *setting, "--output", path).exit_code == 0
    return path


def test_rows_of_a_simulated_frame_agree_with_their_setting(tmp_path):
    setting = (*STAGE, "--angle", "40")
    rows = simulated(tmp_path, "rows.csv", *setting, "--phase-ms", "3")
    found = json.loads(run("measure", rows, *setting, "--json").stdout)
    assert found["prediction"]["verdict"] == "agrees"
    assert_allclose(found["period_rows"], 2592 / (3840 * 0.008), rtol=1e-4)
    assert_allclose([found["readout_ms"], found["source_hz"]], [8, 3840], rtol=1e-4)
    other = run("measure", rows, *STAGE, "--angle", "180").stdout
    assert other.startswith("Does not agree")


def test_a_simulated_picture_is_measured_row_for_row(tmp_path):
    picture = simulated(tmp_path, "frame.png", *STAGE, "--angle", "40", "--view", "crop")
    setting = (*STAGE, "--angle", "40", "--row-scale", "1")
    found = json.loads(run("measure", picture, *setting, "--json").stdout)
    assert_allclose(found["readout_ms"], 8, rtol=2e-3)
    assert_allclose(found["contrast"], found["prediction"]["predicted_contrast_high"], rtol=0.1)
    assert found["prediction"]["period_agrees"] is True


def test_two_frames_give_the_difference_of_rates(tmp_path):
    """A wall at 960 Hz of its own against 23.976 frames: 40 frames of 24 are 960."""
    free = ("--wall", "backdrop-2.9-free", "--camera", "cine-a-wide", "--fps", "23.976",
            "--genlock", "free", "--angle", "40")
    files = [
        simulated(tmp_path, f"{each}.csv", *free, "--frame-number", each) for each in (3, 4)
    ]
    found = json.loads(run(
        "measure", *files, "--series", "later", "--fps", "23.976", "--camera", "cine-a-wide",
        "--json",
    ).stdout)["roll"]
    fps = 24000 / 1001
    expected = 960 - fps * round(960 / fps)
    assert_allclose(found["roll_hz"], expected, atol=1e-3)
    assert_allclose(found["source_hz"], 960, atol=1e-3)


def test_gray_levels_of_a_short_shutter(tmp_path):
    files = [simulated(tmp_path, f"{each}.csv", *STAGE, "--angle", "3", "--levels", each)
             for each in (50, 5)]
    arguments = ("measure", *files, "--series", "levels", "--camera", "cine-a-wide")
    assert "--levels" in refused(*arguments)
    found = json.loads(run(*arguments, "--levels", "50,5", "--json").stdout)["levels"]
    assert [each["signal_pct"] for each in found] == [50, 5]
    assert_allclose(found[0]["source_hz"], 3840, rtol=1e-3)
    # 0.05^2.4 of 65536 counts are 50: of 160 refreshes 50 light, and bands get wider
    assert found[1]["source_hz"] < 3840 * 0.51
    assert "50 %" in run(*arguments, "--levels", "50,5").stdout


def test_a_camera_turned_over_takes_out_the_scan(tmp_path):
    """Rows 0.4 LED rows apart, 16 lines: 0.025 bands a row that the readout does not make."""
    row = np.arange(400)
    for name, cycles in (("up", 0.031 - 0.025), ("down", 0.031 + 0.025)):
        light = 1 + 0.1 * np.cos(2 * np.pi * cycles * row + 1)
        (tmp_path / name).write_text("\n".join(map(repr, light.tolist())))
    found = json.loads(run(
        "measure", tmp_path / "up", tmp_path / "down", "--series", "upside-down", "--source-hz",
        "3840", "--rows-read", "400", "--json",
    ).stdout)["upside_down"]
    assert_allclose(found[0]["readout_ms"], 400 * 0.031 / 3840 * 1e3, rtol=1e-4)
    assert_allclose(found[1]["readout_ms"], 400 * 0.025 / 3840 * 1e3, rtol=1e-4)


def test_a_picture_of_what_was_measured(grab, tmp_path):
    for name in ("a.png", "b.json"):
        assert run("measure", grab, "--output", tmp_path / name).exit_code == 0
    assert (tmp_path / "a.png").read_bytes()[:4] == b"\x89PNG"
    assert json.loads((tmp_path / "b.json").read_text())["schema"] == "bandcheck.measure/1"


@pytest.mark.parametrize(("arguments", "words"), [
    (("--gamma", "2.2"), "--transfer gamma"),
    (("--readout-error-ms", "1"), "--readout-ms"),
    (("--rows-kept", "9", "--row-scale", "2"), "--rows-kept"),
    (("--rows-read", "9", "--rows-kept", "10"), "--rows-kept"),
    (("--series", "later"), "two pictures"),
    (("--camera", "cine-b-global"), "all rows open at once"),
    (("--lamp", "daylight-steady"), "steady"),
    (("--source-hz", "0"), "--source-hz"),
    (("--source-hz", "nan"), "--source-hz"),
    (("--region", "1,2,3"), "--region"),
    (("--transfer", "log"), "--transfer"),
    (("--date", "tomorrow"), "--date"),
])
def test_options_that_do_not_go_together(grab, arguments, words):
    assert words in refused("measure", grab, *arguments)


def test_what_is_refused(grab, tmp_path):
    text = tmp_path / "note.png"
    text.write_text("this is no picture")
    assert "no picture" in refused("measure", text)
    assert "--region" in refused("measure", grab, "--region", "0,0,9999,10")
    assert "--series" in refused("measure", grab, grab)
    assert "cannot be read" in refused("measure", tmp_path / "none.png")
