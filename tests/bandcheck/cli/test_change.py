"""`bandcheck change` as it is used on set: a card and a new rate, or the shared options."""

import json

import pytest
from card_cases import plain_card
from cli_run import refused, run

from bandcheck.cli.screen import json_text
from bandcheck.report.card_json import card_values

STAGE = ("change", "--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "24")
FAST = '[camera]\nname = "{name}"\nbody = "body"\nrows_px = 1000\nshutter = "rolling"\n'


@pytest.fixture(scope="module")
def card(tmp_path_factory):
    """Card of a wall of 40 refreshes a frame at 24 frames/s and 172.8 deg, and at 25."""
    path = tmp_path_factory.mktemp("cards") / "card.json"
    path.write_text(json_text(card_values(plain_card())), encoding="utf-8")
    return path


def table(*arguments):
    done = run(*arguments, "--json")
    assert (done.exit_code, done.stderr) == (0, "")
    return json.loads(done.stdout)


def test_a_card_and_a_rate_are_enough(card):
    done = run("change", "--card", card, "--to-fps", "48")
    assert (done.exit_code, done.stderr) == (0, "")
    lines = done.stdout.splitlines()
    assert lines[0].startswith("48 frames/s, 172.8° (1/100 s):  ( ")
    assert max(map(len, lines)) <= 80
    assert "1/50 s" in done.stdout
    assert "960 Hz" in done.stdout  # 40 x 24
    assert "1920 Hz" in done.stdout  # 40 x 48
    assert "1 stop less light" in done.stdout
    assert "no longer holds" in done.stdout
    assert "\x1b" not in done.stdout


def test_the_cards_verdict_comes_back(card):
    kept = json.loads(card.read_text(encoding="utf-8"))["rates"]
    for rate, line in zip(("24", "25"), kept, strict=True):
        old = table("change", "--card", card, "--from-fps", rate, "--to-fps", "30")["old"]
        assert (old["fps"], old["level"]) == (rate, line["wanted"]["overall"])
        assert old["angle_deg"] == 172.8


def test_every_key_of_the_answer():
    found = table(*STAGE, "--angle", "172.8", "--to-fps", "48")
    assert found["schema"] == "bandcheck.change/1"
    assert (found["old"]["speed"], found["new"]["speed"]) == ("1/50", "1/100")
    assert (found["stops"], found["card_holds"]) == (-1, False)
    angle, time = found["camera"]["untouched"]
    assert (angle["keeps"], angle["speed"], angle["clamped"]) == ("angle", "1/100", False)
    assert (time["keeps"], time["speed"], time["clamped"]) == ("time", "1/50", False)
    assert (found["camera"]["keeps"], found["camera"]["runs_rate"]) == ("angle", True)
    rules = {each["name"]: each["setting"]["wall"][0] for each in found["wall"]["under_rule"]}
    assert rules["keep_refresh"]["refreshes_per_frame"] == 80
    assert rules["keep_refreshes_per_frame"]["refreshes_per_frame"] == 160
    assert rules["keep_refreshes_per_frame"]["refresh_hz"] == pytest.approx(7680, rel=1e-12)
    assert found["wall"]["rule"] == "keep_refresh"
    # every null at 3840 Hz lies 4.5 deg from the next: 171 is the 38th
    assert found["near"]["ranges"][0]["best_deg"] == pytest.approx(171, abs=1e-9)
    assert found["near"]["schema"] == "bandcheck.settings/1"


def test_new_verdict_is_that_of_check():
    new = table(*STAGE, "--angle", "172.8", "--to-fps", "48")["new"]
    check = json.loads(run(
        "check", *STAGE[1:-2], "--fps", "48", "--angle", "172.8", "--json"
    ).stdout)
    assert new["level"] == check["overall"]
    assert new["visibility"] == max(
        each["visibility"] for each in check["banding"]["levels"] if each["decides"]
    )


def test_a_clamp_is_told():
    done = run(*STAGE, "--speed", "1/48", "--to-fps", "60")
    told = " ".join(done.stdout.split())
    assert "1/48 s does not fit the frame: cut to 1/60 s, 360°" in told
    assert "If it keeps the angle (this camera does): 180° stays, 1/48 s becomes 1/120 s" in told


def test_from_options_are_other_names(card):
    plain = table(*STAGE, "--angle", "180", "--to-angle", "172.8")
    named = table(
        *STAGE[:-2], "--from-fps", "24", "--from-angle", "180", "--to-angle", "172.8"
    )
    assert plain == named
    assert table("change", "--card", card, "--from-speed", "1/60", "--to-speed", "1/48")["old"][
        "speed"
    ] == "1/60"


def test_another_mode_of_the_body_is_found():
    done = run(*STAGE, "--angle", "172.8", "--to-fps", "96")
    assert "cinema body A, wide does not run 96 frames/s" in done.stdout
    assert "cinema body A, fast does" in done.stdout
    assert "( ? ) UNKNOWN" in done.stdout.splitlines()[0]


def test_modes_beside_the_cameras_own_file_are_found_too(tmp_path):
    own, sibling = tmp_path / "own.toml", tmp_path / "sibling.toml"
    own.write_text(FAST.format(name="own") + "readout_ms = 8\nmax_fps = 30\n")
    sibling.write_text(FAST.format(name="sibling") + "readout_ms = 4\n")
    (tmp_path / "notes.toml").write_text("not a profile")
    found = table(
        "change", "--wall", "side-2.8", "--camera", own, "--fps", "24", "--angle", "180",
        "--to-fps", "48",
    )
    assert [each["name"] for each in found["camera"]["other_modes"]] == ["sibling"]
    assert (found["new"], found["near"]) == (None, None)


@pytest.mark.parametrize(("rest", "how", "status"), [
    (("--to-angle", "180"), "marginal", 0), (("--to-angle", "359"), "visible", 3),
    (("--to-fps", "96"), "visible", 3), (("--to-angle", "172.8"), "marginal", 3),
    (("--to-angle", "172.8"), "visible", 0),
])
def test_status_of_fail_on(rest, how, status):
    # 359 deg with 8 ms of readout tears at every phase; 96 frames/s cannot be run
    assert run(*STAGE, "--angle", "180", *rest, "--fail-on", how).exit_code == status


def test_written_files_hold_what_the_screen_shows(tmp_path, card):
    text, kept = tmp_path / "change.txt", tmp_path / "change.json"
    asked = ("change", "--card", card, "--to-fps", "48")
    assert run(*asked, "--output", text).stdout == text.read_text(encoding="utf-8")
    run(*asked, "--output", kept)
    assert json.loads(kept.read_text(encoding="utf-8")) == table(*asked)


@pytest.mark.parametrize(("rest", "words"), [
    ((), "--to-fps: missing; the new frame rate"),
    (("--to-fps", "0"), "--to-fps: '0' is not accepted; a frame rate above 0"),
    (("--to-fps", "nan"), "--to-fps: 'nan' is not accepted"),
    (("--to-fps", "48", "--to-speed", "1/40"), "--to-speed: '1/40' is not accepted; no longer"),
    (("--to-angle", "180", "--to-speed", "1/50"), "give one of them"),
    (("--to-angle", "361"), "--to-angle: '361' is not accepted"),
    (("--to-fps", "48", "--wall", "side-2.8"), "--wall: given beside --card"),
    (("--to-fps", "48", "--from-speed", "1/20"), "--from-speed: '1/20' is not accepted"),
    (("--to-fps", "48", "--from-fps", "200"), "--from-fps: 200.0 is not accepted"),
    (("--to-fsp", "48"), "did you mean --to-fps?"),
])
def test_options_that_cannot_be(card, rest, words):
    assert words in refused("change", "--card", card, *rest)


def test_without_a_card_the_question_must_be_whole():
    assert "--fps: missing" in refused("change", "--to-fps", "48")
    assert "--from-fps and --fps" in refused(*STAGE, "--from-fps", "24", "--to-fps", "48")
    fast = (*STAGE[:-2], "--from-angle", "180", "--to-fps", "48")
    assert "--from-fps: 200.0 is not accepted" in refused(*fast, "--from-fps", "200")
    assert "bandcheck: --fps: 200.0 is not accepted" in refused(*fast, "--fps", "200")


def spoilt(card, tmp_path, change):
    kept = json.loads(card.read_text(encoding="utf-8"))
    change(kept)
    path = tmp_path / "spoilt.json"
    path.write_text(json.dumps(kept), encoding="utf-8")
    return refused("change", "--card", path, "--to-fps", "48")


@pytest.mark.parametrize(("change", "words"), [
    (lambda card: card.update(schema="bandcheck.check/1"), "schema: "),
    (lambda card: card["question"].update(shape="round"), "question.shape: no such key"),
    (lambda card: card["question"].pop("fps"), "question.fps: missing"),
    (lambda card: card["question"].update(fps="0"), "question.fps: '0' is not accepted"),
    (lambda card: card["question"].update(exposure_s="1/60"), "input_hash: does not belong"),
])
def test_cards_that_were_changed(card, tmp_path, change, words):
    assert words in spoilt(card, tmp_path, change)


@pytest.mark.parametrize(("content", "words"), [
    (b"not a card", "not JSON"), (b"[1]", "not a card"), (b"", "not JSON"), (b"\xff", "not UTF-8"),
    (b"[" * 10_000_000, "not JSON"), (b'{"schema": "' + b"x" * 10_000_000 + b'"}', "schema: "),
], ids=["text", "list", "empty", "bytes", "10 MB of brackets", "10 MB of x"])
def test_files_that_are_no_card(tmp_path, content, words):
    path = tmp_path / "card.json"
    path.write_bytes(content)
    assert words in refused("change", "--card", path, "--to-fps", "48")


def test_no_such_card(tmp_path):
    assert "cannot be read" in refused("change", "--card", tmp_path / "no.json", "--to-fps", "48")
    assert "is a directory" in refused("change", "--card", tmp_path, "--to-fps", "48")
