"""A shot whose optics are all known, for tests of moire in the verdict."""

from dataclasses import replace

from plain_shots import plain_camera, plain_optics, plain_shot, plain_wall

__all__ = ["lens_shot", "with_optics"]


def lens_shot(*, wall=None, camera=None, **optics):
    """35 mm at f/2.8 from 6 m, focused on 4 m: 2.8 mm LEDs on photosites of 5 um."""
    return plain_shot(
        wall=plain_wall(**{
            "pitch_mm": 2.8, "emitter_fill": 0.4, "emitter_shape": "square", **(wall or {}),
        }),
        camera=plain_camera(**{
            "columns_px": 4096, "sensor_width_mm": 20.48, "sensor_height_mm": 10.8,
            "mosaic": "bayer", "low_pass_px": 0.5, "photosite_fill": 0.9,
            "delivery_columns_px": 4096, "delivery_filter": "box", **(camera or {}),
        }),
        optics=plain_optics(**{"f_number": 2.8, "focus_mm": 4000.0, **optics}),
    )


def with_optics(shot, **changed):
    """The same shot through other optics."""
    return replace(shot, optics=replace(shot.optics, **changed))
