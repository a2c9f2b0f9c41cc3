"""`bandcheck frame` as it is used: rows as text, CSV and JSON, and the picture."""

import json

import numpy as np
from cli_run import refused, run
from numpy.testing import assert_allclose, assert_array_equal
from PIL import Image

from bandcheck.cli.output import Output
from bandcheck.shoot.profiles import load_camera

STAGE = ("frame", "--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "24")
BANDS = (*STAGE, "--angle", "172.8")
TORN = (*STAGE, "--angle", "45", "--phase-ms", "35")
"""5.208 ms open from 35 ms on, 8 ms of readout; the picture changes at 41.667 ms."""

SMALL = ("--width", "960")


def pixels(path):
    with Image.open(path) as image:
        return np.asarray(image.convert("L"), dtype=np.float64), image.text


def test_text_of_80_columns_says_what_it_is():
    done = run(*TORN)
    assert (done.exit_code, done.stderr) == (0, "")
    assert all(len(line) <= 80 for line in done.stdout.splitlines())
    # rows that open between 36.458 and 41.667 ms, in 1296 rows for 4 ms
    assert "Rows 473 to 2159 hold two pictures." in done.stdout
    assert "phase 35 ms" in done.stdout
    assert "Simulation" in done.stdout
    assert "not a safety assessment" in done.stdout.replace("\n  ", " ")


def test_csv_holds_the_rows_of_the_json(tmp_path):
    path = tmp_path / "rows.csv"
    found = json.loads(run(*BANDS, "--output", path, "--json").stdout)
    header, *lines = path.read_text().splitlines()
    assert header == "row,open_s,light_red,light_green,light_blue,signal_pct"
    numbers = np.array([[float(each) for each in line.split(",")] for line in lines])
    assert_array_equal(numbers[:, 0], np.arange(2592))
    for place, key in enumerate(header.split(",")[1:5], start=1):
        assert_array_equal(numbers[:, place], found["rows"][key])
    assert_array_equal(numbers[:, 5], 100)
    assert_allclose(numbers[:, 2:5].mean(axis=0), 1, rtol=1e-12)
    # 76.8 refreshes: a row holds 76 or 77 pulses of white
    assert_allclose(found["ripple_pct"]["green"], 100 / 76.8, rtol=2e-3)
    assert found["schema"] == "bandcheck.frame/1"
    assert found["setting"]["phase_s"] is None
    assert found["phase_used_s"] == 0


def test_the_first_level_is_the_one_of_the_rows():
    dark = json.loads(run(*BANDS, "--levels", "2", "--phase-ms", "1", "--json").stdout)
    assert dark["signal_pct"] == 2
    assert dark["ripple_pct"]["red"] > 10


def test_the_csv_names_its_level(tmp_path):
    path = tmp_path / "dark.csv"
    assert run(*BANDS, "--levels", "18,2.5", "--output", path).exit_code == 0
    levels = {line.split(",")[-1] for line in path.read_text().splitlines()[1:]}
    assert levels == {"18.0"}


def test_a_null_gives_even_rows():
    found = json.loads(run(*STAGE, "--angle", "180", "--phase-ms", "3", "--json").stdout)
    assert max(found["ripple_pct"].values()) < 1e-6
    assert not any(found["rows"]["older_share"])


def test_the_picture_shows_bands_ten_times_as_deep(tmp_path):
    seen = {}
    for gain in ("1", "10"):
        path = tmp_path / f"gain{gain}.png"
        assert run(*BANDS, "--gain", gain, "--view", "crop", "--output", path).exit_code == 0
        shades, text = pixels(path)
        assert "Simulation" in text["Description"]
        assert ("contrast x 10" in text["Description"]) == (gain == "10")
        column = shades[150:600, 1050]  # near white
        seen[gain] = np.ptp(column)
    assert seen["1"] <= 3
    assert seen["10"] > 5 * seen["1"]


def test_the_picture_shows_a_tear_where_the_bars_break(tmp_path):
    path = tmp_path / "torn.png"
    assert run(*TORN, *SMALL, "--output", path).exit_code == 0
    shades, text = pixels(path)
    assert "hold two pictures" in text["Description"]
    bar = shades[120:650, 110 + 92]  # 9.6 % of the width: on the light bar of picture 0 only
    assert bar[5] > 200 > 60 > bar[-5]
    clean = tmp_path / "clean.png"
    run(*STAGE, "--angle", "45", "--phase-ms", "3", *SMALL, "--output", clean)
    assert np.ptp(pixels(clean)[0][120:650, 110 + 92]) <= 2


def test_the_picture_tells_what_it_cannot_show(tmp_path):
    lens = ("--focal-mm", "24", "--f-number", "2.8", "--distance-m", "6", "--focus-m", "6")
    for name, more, told in (("lens", lens, True), ("none", (), False)):
        path = tmp_path / f"{name}.png"
        assert run(*BANDS, *more, "--gain", "10", *SMALL, "--output", path).exit_code == 0
        _, text = pixels(path)
        assert ("Cut off where light goes beyond" in text["Description"]) is told
        if told:
            share = float(text["Description"].split("beyond this picture: ")[1].split(" %")[0])
            with Image.open(path) as image:
                colours = np.asarray(image.convert("RGB"))[142:682, 110 : 110 + 960]
            lacking = 100 * (colours == 0).any(axis=2).mean()
            assert share - 0.1 < lacking < share + 15  # of the ramp itself a tenth is that dark


def test_an_interrupted_picture_leaves_no_half_file(tmp_path, monkeypatch):
    def interrupted(self, content):
        with self.opened() as file:
            file.write(content[: len(content) // 2])
            raise KeyboardInterrupt

    monkeypatch.setattr(Output, "write", interrupted)
    assert run(*BANDS, "--output", tmp_path / "a.png").exit_code == 130
    assert list(tmp_path.iterdir()) == []


def test_what_is_refused(tmp_path):
    there = tmp_path / "there.csv"
    there.write_text("mine")
    assert "--force" in refused(*BANDS, "--output", there)
    assert ".png, .csv or .json" in refused(*BANDS, "--output", tmp_path / "a.gif")
    assert "--gain" in refused(*BANDS, "--gain", "5")
    assert "--view" in refused(*BANDS, "--view", "half")
    assert "--frame-number" in refused(*BANDS, "--frame-number", "-1")
    assert there.read_text() == "mine"


def test_a_picture_is_the_same_file_each_time(tmp_path):
    for name in ("a.png", "b.png"):
        run(*BANDS, *SMALL, "--output", tmp_path / name)
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()


def test_the_whole_frame_has_the_size_that_is_delivered(tmp_path):
    sizes = {}
    for name, width in (("small", SMALL), ("whole", ())):
        run(*BANDS, *width, "--output", tmp_path / f"{name}.png")
        with Image.open(tmp_path / f"{name}.png") as image:
            sizes[name] = image.size
    camera = load_camera("cine-a-wide")
    assert sizes["whole"][0] - sizes["small"][0] == camera.delivery_columns_px - 960
    across = camera.delivery_columns_px / camera.columns_px
    assert sizes["whole"][1] - sizes["small"][1] == round(across * camera.rows_px) - 540
