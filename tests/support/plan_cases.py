"""Plans made in text for tests: a head with one camera, one surface, one lamp."""

from fractions import Fraction

import numpy as np
import pytest
from plain_shots import plain_camera, plain_wall

from bandcheck.errors import ProfileError
from bandcheck.shoot.plan import Plan, PlannedCamera, PlannedLamp, SetUp, Stated, Surface
from bandcheck.shoot.plan_file import parse_plan
from bandcheck.shoot.plan_shots import setup_sights
from bandcheck.verdict.exposure_grades import exposure_grades

__all__ = [
    "HEAD", "coarse_wall", "coded_plan", "faults_of", "pair_shots", "plan_of", "scanned_safe",
]

HEAD = """
[plan]
name = "test shoot"
[defaults]
rates = [24]
angle_deg = 172.8
levels_pct = [100, 50]
lamps = ["desk"]
[[surface]]
name = "main"
wall = "side-2.8"
[[camera]]
name = "A"
profile = "cine-a-wide"
[[lamp]]
name = "desk"
profile = "mains-50-tungsten"
"""


def plan_of(text):
    """Plan of a text."""
    return parse_plan(text, file="test.toml")


def faults_of(text):
    """Faults that a plan is refused for."""
    with pytest.raises(ProfileError) as caught:
        plan_of(text)
    return caught.value.faults


def coarse_wall(refreshes=8, **changed):
    """A wall of few refreshes, whole pulses and few lines: cheap to compute, wide of null."""
    return plain_wall(**{
        "name": f"coarse {refreshes}", "scan_lines": 4, "drive": "repeated",
        "counts_per_refresh": 256, "refreshes_per_frame": refreshes, "dealing": None, **changed,
    })


def coded_plan(*, walls, cameras=None, lamps=(), rates=(24,), roles=None, **given):
    """Plan of one set-up, made in code: every camera sees every wall, under every lamp."""
    cameras = cameras or {"A": plain_camera(rows_px=200)}
    said = {"levels": (1.0,), "angle_deg": Fraction(180), **given}
    return Plan(
        name="coded", defaults={key: Stated(value=each, by="test") for key, each in said.items()},
        surfaces={name: Surface(name=name, wall=wall) for name, wall in walls.items()},
        cameras={name: PlannedCamera(name=name, camera=each) for name, each in cameras.items()},
        lamps={each.name: PlannedLamp(name=each.name, lamp=each) for each in lamps},
        setups=(SetUp(
            name="one", cameras=tuple(cameras), lamps=tuple(each.name for each in lamps),
            surfaces={name: (roles or {}).get(name, "in_shot") for name in walls},
            rates=tuple(Fraction(rate) for rate in rates),
        ),),
    )


def pair_shots(plan, rate=24):
    """Every camera and surface of a coded plan as shots."""
    return [each.shot for each in setup_sights(plan, plan.setups[0], fps=Fraction(rate))]


def scanned_safe(shots, angles_deg):
    """Whether each angle is safe for every shot: graded one shot after the other, and all."""
    safe = np.ones(len(angles_deg), dtype=bool)
    for shot in shots:
        exposure = np.asarray(angles_deg) / 360 / float(shot.fps)
        safe &= exposure_grades(shot, exposure).severity == 0
    return safe
