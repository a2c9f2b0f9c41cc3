"""`bandcheck sweep` as it is used."""

import csv
import io
import json
import os
import signal
import time

import numpy as np
import pytest
from cli_run import process, refused, run
from PIL import Image

STAGE = ("--wall", "stage-main-2.6", "--camera", "cine-a-wide")
SWEPT = ("sweep", *STAGE, "--rates", "24,25", "--angles", "144,172.8,180,359")


def test_a_row_for_each_rate_and_angle(tmp_path):
    file = tmp_path / "sweep.csv"
    assert run(*SWEPT, "--output", str(file)).exit_code == 0
    rows = list(csv.DictReader(io.StringIO(file.read_text())))
    assert [(row["fps"], row["angle_deg"]) for row in rows] == [
        (fps, angle) for fps in ("24", "25") for angle in ("144.0", "172.8", "180.0", "359.0")
    ]
    assert {"level", "visibility", "worst_signal_pct", "ripple_pct_at_18"} <= set(rows[0])
    assert not [cell for row in rows for cell in row.values() if cell[:1] in "=+-@"]
    # 76.8 refreshes: 1/76.8 at white, by hand
    np.testing.assert_allclose(float(rows[1]["ripple_pct_at_100"]), 100 / 76.8, rtol=1e-9)


def test_a_cell_says_what_check_says_to_the_last_bit():
    found = json.loads(run(*SWEPT, "--json").stdout)
    for column, angle in enumerate(("144", "172.8", "180", "359")):
        checked = json.loads(
            run("check", *STAGE, "--fps", "24", "--angle", angle, "--json").stdout
        )
        levels = [each for each in checked["banding"]["levels"] if each["decides"]]
        row = found["rows"][column]
        assert (row["fps"], row["angle_deg"]) == ("24", float(angle))
        assert row["level"] == checked["overall"]
        assert row["visibility"] == max(each["visibility"] for each in levels)
        assert row["ripple_pct"] == [each["ripple_pct"] for each in levels]


def test_arrays_and_picture(tmp_path):
    arrays, picture = tmp_path / "sweep.npz", tmp_path / "sweep.png"
    run(*SWEPT, "--output", str(arrays))
    with np.load(arrays) as kept:
        assert kept["visibility"].shape == (2, 4, 3)
        assert kept["angles_deg"].tolist() == [144.0, 172.8, 180.0, 359.0]
    run(*SWEPT, "--output", str(picture))
    assert picture.read_bytes().startswith(b"\x89PNG")


def test_text_names_the_safe_angles():
    done = run(*SWEPT)
    assert "24 frames/s: safe at 144°, 180°" in done.stdout.replace("144° to 144°", "144°")
    assert max(map(len, done.stdout.splitlines())) <= 80


@pytest.mark.parametrize(("arguments", "words"), [
    (("sweep", *STAGE), "--rates"), ((*SWEPT, "--angles", "0:361:1"), "--angles"),
    ((*SWEPT, "--rates", "24,zero"), "--rates"), ((*SWEPT, "--rates", ""), "--rates"),
    ((*SWEPT, "--output", "a.gif"), ".csv"),
])
def test_slips_are_refused_in_one_line(arguments, words):
    assert words in refused(*arguments)


def test_a_rate_that_the_camera_cannot_run_is_refused_beside_the_others():
    found = run("sweep", *STAGE, "--rates", "24,61", "--angles", "180", "--json")
    table = json.loads(found.stdout)
    assert [row["level"] for row in table["rows"]] == ["safe", "unknown"]
    assert table["rows"][1]["visibility"] is None
    assert "at most 60 frames/s" in table["refused"]["61"]
    told = run("sweep", *STAGE, "--rates", "24,61", "--angles", "180").stdout
    assert "61 frames/s: cannot be run" in told
    swapped = json.loads(
        run("sweep", *STAGE, "--rates", "61,24", "--angles", "180", "--json").stdout
    )
    assert swapped["rows"] == table["rows"][::-1]
    assert "--rates: 61.0" in refused("sweep", *STAGE, "--rates", "61,72", "--angles", "180")
    assert "--fps: 61.0" in refused("sweep", *STAGE, "--fps", "61", "--angles", "180")
    # locked to a wall that stays at 24: 23.976 has no small ratio to it
    locked = run(
        "sweep", *STAGE, "--wall-fps", "24", "--rates", "24,23.976", "--angles", "180", "--json"
    )
    assert "24000/1001" in json.loads(locked.stdout)["refused"]


def test_a_shutter_that_is_named_is_swept_too_and_refuses_no_rate():
    found = json.loads(
        run("sweep", *STAGE, "--rates", "24,60", "--speed", "1/50", "--json").stdout
    )
    # 1/50 s: 172.8 deg at 24 frames/s, longer than a frame at 60
    assert set(found["angles_deg"]) == {*range(1, 361), 172.8}
    swapped = json.loads(
        run("sweep", *STAGE, "--rates", "60,24", "--speed", "1/50", "--json").stdout
    )
    assert swapped["angles_deg"] == found["angles_deg"]
    assert "--speed: '20 ms'" in refused("sweep", *STAGE, "--rates", "60,61", "--speed", "1/50")
    assert found["refused"] == {}
    listed = json.loads(run(*SWEPT, "--angle", "90", "--json").stdout)
    assert listed["angles_deg"] == [144.0, 172.8, 180.0, 359.0]


def test_a_sweep_that_would_fill_memory_is_refused():
    line = refused("sweep", *STAGE, "--fps", "24", "--angles", "1:360:0.004", "--levels",
                   ",".join(map(str, range(1, 101))))
    assert "--angles: '89751 angles x 1 rates x 100 levels' is not accepted" in line


def test_the_picture_says_what_is_in_it(tmp_path):
    picture = tmp_path / "map.png"
    run("sweep", *STAGE, "--rates", "24,1000", "--angles", "144,180", "--output", picture)
    with Image.open(picture) as image:
        said = image.text["Description"]
    for words in ("100, 50, 18 %", "genlock locked", "moire not", "cannot be run at 1000"):
        assert words in said


def test_an_interrupted_sweep_leaves_no_file_and_no_process(tmp_path):
    swept = process(
        "sweep", *STAGE, "--rates", "24,25,30,36,40,48", "--angles", "1:360:0.02",
        "--output", tmp_path / "map.png", start_new_session=True,
    )
    time.sleep(2)  # of some twenty that it would take
    os.killpg(swept.pid, signal.SIGINT)  # as a terminal does: to all of the processes
    _, told = swept.communicate(timeout=30)
    assert swept.returncode == 130
    assert told.splitlines() == ["bandcheck: interrupted"]
    assert list(tmp_path.iterdir()) == []
    assert ended(swept.pid, within_s=10)


def ended(group, *, within_s):
    """Whether no process of a group is left; what tidies up after the others may take a moment."""
    deadline = time.monotonic() + within_s
    while time.monotonic() < deadline:
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.05)
    return False
