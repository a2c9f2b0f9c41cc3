"""Cards of plain shots, made once and shared by the tests that look at them."""

from dataclasses import replace
from fractions import Fraction
from functools import cache

from plain_shots import mains_lamp, plain_camera, plain_shot, plain_wall

from bandcheck.verdict.card_figures import card_figures

DIAL = tuple(Fraction(text) for text in ("90", "144", "172.8", "180", "270", "360"))
LONG = "Große Wand № 7, Ωμέγα, Київ, 東京, <b>&\"' =1+1 " + "name " * 31
"""A name of 200 letters in several scripts, with marks that mean something elsewhere."""


def wall(**changed):
    """Few refreshes and rows make quick work."""
    return plain_wall(**{
        "refreshes_per_frame": 40, "source": {"scan_lines": "maker's sheet"}, **changed,
    })


def camera(**changed):
    """A dial of six angles."""
    return plain_camera(**{"rows_px": 512, "angles_deg": DIAL, **changed})


def shots(*rates, angle=180, **changed):
    """The same question at several rates."""
    parts = {"wall": wall(), "camera": camera(), **changed}
    return {Fraction(rate): plain_shot(fps=rate, angle=angle, **parts) for rate in rates}


def renamed(shot):
    """The shot with names of 200 letters."""
    return replace(
        shot, wall=replace(shot.wall, name=LONG[:200]),
        camera=replace(shot.camera, name=LONG[:200]),
        lamps=tuple(replace(lamp, name=LONG[:200]) for lamp in shot.lamps),
    )


@cache
def plain_card():
    """Two rates, nothing unusual."""
    return card_figures(shots(24, 25, angle="172.8"), date="2026-03-02", version="3")


@cache
def crowded_card():
    """Ten rates, one of which cannot be run, a lamp, and names of 200 letters."""
    rates = (24, Fraction(24000, 1001), 25, 30, 48, 50, 60, "25/2", 12)
    asked = {
        rate: renamed(shot)
        for rate, shot in shots(*map(Fraction, rates), lamps=(mains_lamp(),)).items()
    }
    return card_figures({**asked, Fraction(200): "--fps: 200 is not accepted; too fast"})
