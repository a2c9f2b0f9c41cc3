"""The shot that the benchmarks ask about."""

from fractions import Fraction

from bandcheck.shoot.profiles import load_camera, load_wall
from bandcheck.shoot.shot import Optics, Shot

__all__ = ["OPTIONS", "demo_shot"]

OPTIONS = ("--wall", "stage-main-2.6", "--camera", "cine-a-wide", "--fps", "24", "--angle", "172.8")


def demo_shot(*, optics: bool = True) -> Shot:
    """Shot of the demo stage at 24 frames/s, with or without a lens and a place for it."""
    rate = Fraction(24)
    return Shot(
        wall=load_wall("stage-main-2.6"), camera=load_camera("cine-a-wide"), fps=rate,
        wall_fps=rate, content_fps=rate, exposure_s=Fraction(1, 50),
        optics=Optics(
            focal_mm=35, f_number=2.8, distance_mm=6000, focus_mm=4000
        ) if optics else None,
    )
