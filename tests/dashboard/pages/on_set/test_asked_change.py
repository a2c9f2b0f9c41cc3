"""What is typed on the quick screen against the command's answer to the same question."""

import json
from fractions import Fraction

import pytest
from cli_run import run

from bandcheck.report.change_json import change_values
from dashboard.pages.on_set.asked_change import asked_change
from dashboard.state import asked

WHOLE = {"wall": "stage-main-2.6", "camera": "cine-a-wide", "fps": "24", "shutter": "172.8"}
STAGE = ("--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "24", "--angle", "172.8")


def found(**typed):
    question = {**WHOLE, **typed}
    return asked_change(asked(question).shot, question)


@pytest.mark.parametrize(("typed", "options"), [
    ({"to_fps": "48"}, ("--to-fps", "48")),
    ({"to_fps": "25", "to_shutter": "1/50"}, ("--to-fps", "25", "--to-speed", "1/50")),
    ({"to_shutter": "144°"}, ("--to-angle", "144")),
    ({"to_fps": "100"}, ("--to-fps", "100")),  # beyond this mode: another of the body runs it
])
def test_it_answers_what_the_command_answers(typed, options):
    said = json.loads(run("change", *STAGE, *options, "--json").stdout)
    assert json.loads(json.dumps(change_values(found(**typed).change))) == said


def test_nothing_is_answered_before_it_is_asked():
    assert found().change is None
    assert found(to_fps=" ").errors == {}


def test_a_rate_beyond_the_mode_names_another_mode():
    modes = found(to_fps="100").change.other_modes
    assert [each.name for each in modes] == ["cinema body A, fast"]


@pytest.mark.parametrize(("field", "text", "said"), [
    ("to_fps", "fast", "a frame rate above 0"),
    ("to_fps", "0", "a frame rate above 0"),
    ("to_fps", "1e999", "a frame rate above 0"),
    ("to_shutter", "361", "an angle above 0 and up to 360"),
    ("to_shutter", "1/0", "an angle above 0"),
    ("to_shutter", "1/10", "no longer than the new frame, 41.6667 ms"),
])
def test_a_slip_is_said_beside_its_field(field, text, said):
    read = found(**{field: text})
    assert read.change is None
    assert list(read.errors) == [field]
    assert said in read.errors[field]
    assert not read.errors[field].startswith("to_")


def test_a_time_fits_the_new_frame_or_not():
    # 1/30 s: in a frame of 1/25 s, not in one of 1/50 s.
    assert found(to_fps="25", to_shutter="1/30").change.exposure_s == Fraction(1, 30)
    assert "20 ms at 50" in found(to_fps="50", to_shutter="1/30").errors["to_shutter"]
