"""Sentences: one for every reason code and every key, and no hole left unfilled."""

import ast
import re
from pathlib import Path

import pytest

from bandcheck.report import change_wording, wording
from bandcheck.report.change_wording import assumption_sentence, change_sentence
from bandcheck.verdict.light_cases import Assumption
from bandcheck.verdict.remedies import Change
from bandcheck.vision.level import Level

PACKAGE = Path(wording.__file__).parents[1]
REASONS = set(wording._BANDING) | set(wording._OTHERS)


def texts(*files):
    """All strings in the source of some files."""
    return {
        node.value
        for file in files
        for node in ast.walk(ast.parse((PACKAGE / file).read_text()))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def test_every_reason_code_of_a_hazard_has_a_sentence():
    sources = ["hazards/banding.py", "hazards/tearing.py", "hazards/comfort.py",
               "hazards/moire.py", "verdict/assess.py", "vision/graded.py"]
    known = texts(*sources)
    unsaid = REASONS - known
    assert unsaid == set()
    tearing = set(re.findall(r"`([a-z_]+)`", (PACKAGE / "hazards/tearing.py").read_text()))
    assert {code for code in tearing if "_" in code} & REASONS


def test_every_assumed_key_has_a_sentence():
    keys = {
        key for key in texts("verdict/assumptions.py", "verdict/lamp_cells.py",
                             "verdict/light_cases.py")
        if key in change_wording._ASSUMED
    }
    assert keys == set(change_wording._ASSUMED)


@pytest.mark.parametrize(("value", "expected"), [
    (Assumption(about="wall", key="refresh_tolerance_pct", value=0.01),
     "wall: free refresh known to 1 %"),
    (Assumption(about="camera", key="rate_tolerance_ppm", value=50e-6),
     "camera: clock right to 50 ppm"),
])
def test_assumptions_in_words(value, expected):
    assert assumption_sentence(value) == expected


def changed(**figures):
    return Change(**{
        "side": "camera", "change": "shutter_angle", "value": 173.25, "unit": "deg",
        "level": Level.SAFE, "visibility": 0.55, "mended": Level.SAFE,
        "mended_visibility": 0.55, **figures,
    })


@pytest.mark.parametrize(("change", "expected"), [
    (changed(stops=0.00375, blur=0.96), "Set the shutter to 173.25°: safe, V 0.55;"
     " under 0.01 stop."),
    (changed(level=Level.VISIBLE, stops=-1.0), "Set the shutter to 173.25°: safe (all in all"
     " visible), V 0.55; 1 stop less light."),
    (changed(change="phase", value=6.8, side="wall"), "Genlock phase: open 6.8 ms after the wall"
     " frame starts: no row sees the picture change."),
    (changed(change="focus_mm", value=3085.8), "Focus on 3.09 m: safe, V 0.55."),
    (changed(change="refreshes_per_frame", side="wall", value=150.0,
             figures={"refresh_hz": 3600.0, "gray_bits": 15.997}),
     "Wall: 150 refreshes a frame: safe, V 0.55; refresh 3600 Hz, 16 bit."),
])
def test_changes_in_words(change, expected):
    assert change_sentence(change) == expected


def test_marks_differ_without_colour():
    assert len(set(wording.LEVEL_MARKS.values())) == len(Level)


@pytest.mark.parametrize(("low", "high", "words"), [
    (0.0, 0.0136166, ("0.00", "13.61")), (0.0012345, 0.0136199, ("1.24", "13.61")),
    (0.0012345, 0.0012399, ("1.235", "1.239")), (0.002, 0.002, ("2.000000", "2.000000")),
    (None, None, ("not known", "not known")),
])
def test_a_range_of_phases_is_told_no_wider_than_it_is(low, high, words):
    assert wording.phase_range_ms(low, high) == words
