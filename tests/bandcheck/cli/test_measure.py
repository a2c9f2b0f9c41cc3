"""`bandcheck measure` as it is used."""

import json
import tomllib

import numpy as np
import pytest
from brute_bands import band_file
from cli_run import refused, run
from numpy.testing import assert_allclose


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


def test_what_is_refused(grab, tmp_path):
    text = tmp_path / "note.png"
    text.write_text("this is no picture")
    assert "no picture" in refused("measure", text)
    assert "--region" in refused("measure", grab, "--region", "0,0,9999,10")
    assert "--series" in refused("measure", grab, grab)
    assert "cannot be read" in refused("measure", tmp_path / "none.png")
