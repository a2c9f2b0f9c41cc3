"""`bandcheck check` as it is used: text, JSON, status and files."""

import json
from fractions import Fraction

import numpy as np
import pytest
from cli_run import refused, run

from bandcheck.shoot.profiles import load_camera, load_wall
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.assess import assess

STAGE = ("check", "--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "24")
KEYS = {
    "schema", "setting", "wall", "overall", "not_checked", "conditions", "findings", "banding",
    "tearing", "moire", "sensitive_to", "assumptions", "checked",
}


def table(*arguments):
    done = run(*STAGE, *arguments, "--json")
    assert done.exit_code == 0
    return json.loads(done.stdout)


def test_every_key_of_the_interface():
    found = table("--angle", "172.8")
    assert set(found) >= KEYS
    assert found["schema"] == "bandcheck.check/1"
    assert found["setting"]["fps"] == "24"
    assert found["setting"]["angle_deg"] == 172.8
    assert found["setting"]["exposure_s"] == 0.02
    assert set(found["banding"]["levels"][0]) >= {
        "signal_pct", "counts", "ripple_pct", "fmi", "stops", "visibility",
        "effective_refresh_hz", "strongest_hz",
    }
    assert found["banding"]["band_pitch_rows"] is None  # no optics
    assert found["not_checked"] == ["moire", "grid"]
    assert [each["hazard"] for each in found["findings"]] == [
        "banding", "tearing", "flicker", "comfort",
    ]


def test_numbers_are_those_of_the_verdict():
    rate = Fraction(24)
    shot = Shot(
        wall=load_wall("stage-main-2.6"), camera=load_camera("cine-a-wide"), fps=rate,
        wall_fps=rate, content_fps=rate, exposure_s=Fraction(1, 50),
    )
    assessment, found = assess(shot), table("--speed", "1/50")
    for level, row in zip(assessment.banding.levels, found["banding"]["levels"], strict=True):
        assert row["visibility"] == level.visibility
        assert row["ripple_pct"] == 100 * level.ripple
    assert found["overall"] == assessment.overall.value


def test_white_at_172_8_ripples_by_hand():
    # 76.8 refreshes: 76 or 77 pulses, 1/76.8 peak to peak, 1/153 by modulation
    white = table("--angle", "172.8")["banding"]["levels"][0]
    np.testing.assert_allclose(white["ripple_pct"], 100 / 76.8, rtol=1e-9)
    np.testing.assert_allclose(white["fmi"], 1 / 153, rtol=1e-9)


def test_with_a_lens_moire_and_grid_are_checked():
    found = table("--angle", "180", "--focal-mm", "35", "--f-number", "2.8", "--distance-m", "6",
                  "--focus-m", "4")
    assert found["not_checked"] == []
    assert {"moire", "grid"} <= set(found["checked"])
    assert found["moire"]["lines"][0].keys() >= {
        "m", "n", "colour", "kx", "ky", "contrast", "graded_contrast", "fringes_per_width",
        "visibility",
    }
    assert found["moire"]["safe_focus_m"]
    assert found["banding"]["band_pitch_rows"] is None or found["banding"]["band_pitch_rows"] > 0


def test_text_leads_with_the_answer_in_80_columns_without_colour():
    done = run(*STAGE, "--angle", "172.8", "--lamp", "mains-50-tungsten")
    lines = done.stdout.splitlines()
    assert "MARGINAL" in lines[0]
    assert max(map(len, lines)) <= 80
    assert "\x1b" not in done.stdout
    assert "not a safety assessment" in " ".join(done.stdout.split())
    assert "Not checked" in done.stdout


@pytest.mark.parametrize(("angle", "how", "status"), [
    ("172.8", "marginal", 3), ("172.8", "visible", 0), ("180", "marginal", 0),
    ("359", "marginal", 3), ("359", "visible", 3),
])
def test_status_of_fail_on(angle, how, status):
    # 359 deg with 8 ms of readout tears at every phase
    assert run(*STAGE, "--angle", angle, "--fail-on", how).exit_code == status


def test_unknown_trips_either(tmp_path):
    camera = tmp_path / "odd.toml"
    camera.write_text(
        '[camera]\nname = "odd"\nrows_px = 2000\nshutter = "rolling"\nreadout_ms = 8\n'
        'exposure_scheme = "multi"\n'
    )
    odd = ("check", "--wall", "stage-main-2.6", "--camera", str(camera), "--fps", "24",
           "--angle", "180")
    assert json.loads(run(*odd, "--json").stdout)["overall"] == "unknown"
    for how in ("marginal", "visible"):
        assert run(*odd, "--fail-on", how).exit_code == 3


def test_written_files_hold_what_the_screen_shows(tmp_path):
    text, kept = tmp_path / "verdict.txt", tmp_path / "verdict.json"
    done = run(*STAGE, "--angle", "180", "--output", str(text))
    assert text.read_text() == done.stdout
    run(*STAGE, "--angle", "180", "--output", str(kept))
    assert json.loads(kept.read_text()) == table("--angle", "180")


def test_refreshes_that_do_not_fit_are_spelled_out(tmp_path):
    wall = tmp_path / "slow.toml"
    wall.write_text(
        '[wall]\nname = "slow"\nscan_lines = 16\ndrive = "spread"\ncounts_per_refresh = 409\n'
        "refreshes_per_frame = 160\nclock_mhz = 10\n"
    )
    line = refused("check", "--wall", str(wall), "--camera", "cine-a-wide", "--fps", "24",
                   "--angle", "180")
    assert "160 refreshes x 16 lines x (409 counts / 10 MHz" in line
    assert "do not fit a frame of 41.67 ms" in line
