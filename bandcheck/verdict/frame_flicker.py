"""Light that changes from frame to frame, averaged over the rows of a frame."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bandcheck.hazards.banding import visibility_over_phase
from bandcheck.light.pulse_train import single_level
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.light_cases import LightCase, primaries
from bandcheck.verdict.light_harmonics import level_harmonics
from bandcheck.verdict.recorded_rows import linear_levels, pwm_brightness
from bandcheck.verdict.row_sampling import row_sampling
from bandcheck.vision.contrast_sensitivity import largest_sensitivity, picture_width_deg
from bandcheck.vision.just_noticeable import displayed_luminance_nits, modulation_reaching_the_eye

__all__ = ["frame_flicker"]

FloatArray = NDArray[np.float64]


def frame_flicker(
    shot: Shot, *, cases: Sequence[LightCase], levels: Sequence[float], exposure_s: FloatArray
) -> FloatArray:
    """Visibility of the change of the whole frame's light from frame to frame.

    Harmonics that fall on whole multiples of the camera's rate give every frame the same light.
    The others change it, by what averaging over all rows leaves of them, and are met with the
    largest sensitivity there is (physics page 7: pessimistic, project choice).

    Parameters
    ----------
    shot
        The shot.
    cases
        Ways in which the wall may pulse.
    levels
        Signal levels 0..1.
    exposure_s
        Exposures [s], shape (A,).

    Returns
    -------
    ndarray
        V, the worst of levels, cases and colours, shape (A,).
    """
    rows, viewing = row_sampling(shot), shot.viewing
    worst = np.zeros(len(exposure_s))
    if all(rows.clock_shared and case.locked_to_frame for case in cases) and (
        (shot.wall_fps / shot.fps).denominator == 1
    ):
        return worst
    light = linear_levels(shot, np.asarray(levels, dtype=np.float64))
    shown = displayed_luminance_nits(
        linear_level=light, peak_nits=viewing.peak_nits, push_stops=viewing.push_stops
    )
    largest = viewing.grade_contrast * modulation_reaching_the_eye(
        modulation=largest_sensitivity(
            luminance_nits=shown + viewing.flare_nits,
            field_deg=picture_width_deg(
                view_heights=viewing.view_heights, picture_aspect=viewing.picture_aspect
            ),
        ),
        luminance_nits=shown, flare_nits=viewing.flare_nits,
    )
    for case in cases:
        for duty, shortest in primaries(shot.wall).values():
            counts = case.counts(light, pwm_share=pwm_brightness(shot) * duty)
            for index in np.flatnonzero(counts):
                train = case.train(counts[index : index + 1], min_pulse_counts=shortest)
                harmonics = level_harmonics(
                    next(single_level(train)), case=case, rows=rows,
                    luminance_nits=float(shown[index]), viewing=viewing,
                )
                # A frame's rows together are one more window: as long as the readout.
                left = np.sinc(harmonics.cycles_per_row * rows.rows_px)
                worst = np.maximum(worst, visibility_over_phase(
                    relative=harmonics.relative * left,
                    sensitivity=np.where(harmonics.standing, 0.0, largest[index]),
                    light_hz=harmonics.light_hz, exposure_s=exposure_s,
                    tolerance=rows.rate_tolerance,
                ))
    return worst
