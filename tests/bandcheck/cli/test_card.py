"""The card from the command line."""

import csv
import json
from io import StringIO

import pytest
from card_print import page_texts
from cli_run import refused, run

import bandcheck.cli.card
from bandcheck.shoot.card_file import load_card_shot

WALL = """
[wall]
name = "=1+1 <b>wall</b>"
scan_lines = 16
drive = "spread"
counts_per_refresh = 409
refreshes_per_frame = 40
"""

CAMERA = """
[camera]
name = "Kamera Ö"
rows_px = 512
shutter = "rolling"
readout_ms = 8
max_fps = 60
angles_deg = [90, 144, 172.8, 180, 270]
"""


@pytest.fixture
def stage(tmp_path):
    for name, text in (("wall", WALL), ("camera", CAMERA)):
        (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
    return ["--wall", tmp_path / "wall.toml", "--camera", tmp_path / "camera.toml"]


def made(*arguments):
    result = run("card", *arguments)
    assert result.exit_code == 0, result.stderr
    return result


def test_figures_are_those_of_check_and_settings_for_the_same_question(stage):
    asked = ["--rates", "24,48", "--angle", "180", "--phase-ms", "0.5", "--levels", "100,40"]
    card = json.loads(made(*stage, *asked, "--json").stdout)
    assert [each["fps"] for each in card["rates"]] == ["24", "48"]
    for rate in card["rates"]:
        same = [*stage, "--fps", rate["fps"], *asked[2:], "--json"]
        check = json.loads(run("check", *same).stdout)
        settings = json.loads(run("settings", *same).stdout)
        for key in ("setting", "wall", "overall", "banding", "tearing", "conditions",
                    "not_checked"):
            assert rate["wanted"][key] == check[key], key
        assert [each["level"] for each in rate["wanted"]["findings"]] == [
            each["level"] for each in check["findings"]
        ]
        assert rate["settings"] == settings
        dialled = rate["dialled"]["setting"]["angle_deg"]
        asked_dialled = [*stage, "--fps", rate["fps"], "--angle", dialled, *asked[4:], "--json"]
        check = json.loads(run("check", *asked_dialled).stdout)
        for key in ("overall", "banding", "tearing"):
            assert rate["dialled"][key] == check[key], key


def test_without_a_file_the_card_is_shown_in_short(stage):
    lines = made(*stage, "--fps", "24", "--angle", "180").stdout.splitlines()
    assert lines[0] == "=1+1 <b>wall</b>, Kamera Ö"
    assert any(line.startswith("24 frames/s: dial ") for line in lines)


@pytest.mark.parametrize("ending", ["pdf", "png", "html", "csv", "json"])
def test_every_form_is_written_whole_and_twice_the_same(stage, tmp_path, ending):
    arguments = [*stage, "--rates", "24", "--angle", "180", "--date", "2026-03-02"]
    files = [tmp_path / f"{place}.{ending}" for place in (1, 2)]
    for file in files:
        result = made(*arguments, "--output", file)
        assert result.stdout == ""
        assert result.stderr.endswith(f"{ending}: written\n")
    assert files[0].read_bytes() == files[1].read_bytes()
    assert files[0].stat().st_size > 1000


def test_date_version_and_paper_are_printed(stage, tmp_path):
    file = tmp_path / "card.pdf"
    made(*stage, "--fps", "24", "--angle", "180", "--date", "2026-03-02", "--card-version",
         "3, floor moved", "--paper", "letter", "--output", file)
    text, = page_texts(file.read_bytes())
    assert "version 3, floor moved" in text
    assert "date 2026-03-02" in text


def test_without_date_and_version_there_are_blanks_to_fill(stage, tmp_path):
    file = tmp_path / "card.pdf"
    made(*stage, "--fps", "24", "--angle", "180", "--output", file)
    text, = page_texts(file.read_bytes())
    assert "date ____" in text


def test_csv_holds_no_formula(stage, tmp_path):
    file = tmp_path / "card.csv"
    made(*stage, "--fps", "24", "--angle", "180", "--output", file)
    rows = list(csv.reader(StringIO(file.read_text(encoding="utf-8-sig"))))
    assert not [cell for row in rows for cell in row if cell.startswith(tuple("=+-@"))]
    assert ["card", "", "wall", "'=1+1 <b>wall</b>", "", ""] in rows


def test_the_json_alone_gives_the_shot_back(stage, tmp_path):
    file = tmp_path / "card.json"
    made(*stage, "--rates", "25,24", "--speed", "1/50", "--output", file)
    for each in stage[1::2]:
        each.unlink()
    shot = load_card_shot(file)
    assert (shot.fps, shot.angle_deg, shot.wall.name) == (25, 180, "=1+1 <b>wall</b>")


def test_rates_that_cannot_be_run_stand_on_the_card(stage):
    text = made(*stage, "--rates", "24,60,96", "--speed", "1/50").stdout
    assert "96 frames/s: cannot be run: --speed: 20 ms is not accepted" in text.replace("'", "")
    assert "60 frames/s: cannot be run" in text


def worst_shown(text):
    """The worst word that stands beside a rate on the card's short form."""
    order = ["safe", "marginal", "unknown", "visible"]
    shown = [
        next(word for word in order if f", {word}" in line) if ": dial " in line else "unknown"
        for line in text.splitlines() if "frames/s:" in line
    ]
    return max(shown, key=order.index)


@pytest.mark.parametrize(("arguments", "worst"), [
    (("--rates", "24", "--angle", "180"), "safe"),
    (("--rates", "24,96", "--angle", "180"), "unknown"),
    (("--rates", "24", "--wall-fps", "24000/1001", "--genlock", "free"), "visible"),
    (("--rates", "24", "--angle", "180", "--levels", "100,5"), "marginal"),
])
def test_the_status_is_that_of_the_worst_rate_shown(stage, tmp_path, arguments, worst):
    plain = made(*stage, *arguments)
    assert worst_shown(plain.stdout) == worst
    fails = {"marginal": worst != "safe", "visible": worst in ("visible", "unknown")}
    for how, fail in fails.items():
        for form in ((), ("--json",), ("--output", tmp_path / f"{how}.csv")):
            result = run("card", *stage, *arguments, "--fail-on", how, *form)
            assert result.exit_code == (3 if fail else 0)
            assert form or result.stdout == plain.stdout
    assert (tmp_path / "marginal.csv").exists()


def test_the_rate_of_fps_comes_first(stage):
    for rates, order in (("24,30", ["24", "30"]), ("24", ["30", "24"])):
        lines = made(*stage, "--fps", "30", "--rates", rates).stdout.splitlines()
        assert [each.partition(" ")[0] for each in lines if "frames/s:" in each] == order


def test_no_shutter_is_180_degrees_and_said_once(stage):
    result = made(*stage, "--rates", "24,25")
    assert result.stderr.count("180 deg is taken") == 1
    assert "wanted 180°" in result.stdout


@pytest.mark.parametrize(("arguments", "names"), [
    ([], ("--rates", "missing")), (["--rates", "96"], ("--rates", "96", "60")),
    (["--fps", "96", "--rates", "96,97"], ("--fps", "96", "60")),
    (["--rates", ""], ("--rates",)), (["--rates", "24,,25"], ("--rates",)),
    (["--rates", ",".join(map(str, range(1, 60)))], ("--rates", "59", "40")),
    (["--fps", "24", "--date", "2026-02-30"], ("--date", "2026-02-30")),
    (["--fps", "24", "--date", "20260302"], ("--date",)),
    (["--fps", "24", "--card-version", "x" * 41], ("--card-version",)),
    (["--fps", "24", "--card-version", "a\nb"], ("--card-version",)),
    (["--fps", "24", "--paper", "a5"], ("--paper", "a5")),
    (["--fps", "24", "--output", "card.txt"], ("--output", ".pdf")),
    (["--rates", "23.976,29.97", "--wall-fps", "60"], ("--genlock",)),
    (["--fps", "24", "--safe-below", "9"], ("--visible-from",)),
])
def test_bad_input_is_refused_in_a_line(stage, arguments, names):
    line = refused("card", *stage, *arguments)
    assert all(name in line for name in names), line


def test_an_interrupted_card_leaves_no_file(stage, tmp_path, monkeypatch):
    def interrupted(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(bandcheck.cli.card, "card_file", interrupted)
    before = sorted(tmp_path.iterdir())
    result = run("card", *stage, "--fps", "24", "--output", tmp_path / "card.pdf")
    assert result.exit_code == 130
    assert sorted(tmp_path.iterdir()) == before


def test_a_card_that_is_there_is_kept_unless_force_is_given(stage, tmp_path):
    file = tmp_path / "card.csv"
    file.write_text("kept", encoding="utf-8")
    assert "--force" in refused("card", *stage, "--fps", "24", "--output", file)
    assert file.read_text(encoding="utf-8") == "kept"
    made(*stage, "--fps", "24", "--output", file, "--force")
    assert file.read_text(encoding="utf-8-sig").startswith("part,")
