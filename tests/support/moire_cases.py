"""Walls, sensors and standpoints for tests of moire, and what is asked of them."""

from bandcheck.hazards.moire import Viewer
from bandcheck.imaging.arrangement import LedLattice, Sensor, Standpoint

VIEWER = Viewer()


def a_lattice(**changed):
    return LedLattice.of(**{"pitch_mm": 2.6, "emitter_fill": 0.4, "emitter_shape": "square",
                            **changed})


def a_sensor(**changed):
    return Sensor.of(**{
        "columns_px": 4096, "rows_px": 2160, "width_mm": 4096 * 5e-3, "mosaic": "bayer",
        "low_pass_px": 0.5, "photosite_fill": 0.9, "delivery_columns_px": 4096,
        "delivery_filter": "box", **changed})


def a_standpoint(**changed):
    return Standpoint(**{"focal_mm": 35.0, "f_number": 2.8, "distance_mm": 6000.0,
                         "focus_mm": 5000.0, **changed})


def arrangement(*, lattice=None, sensor=None, **standpoint):
    """Keyword arguments that searches and tables take."""
    return {"lattice": lattice or a_lattice(), "sensor": sensor or a_sensor(),
            "standpoint": a_standpoint(**standpoint)}
