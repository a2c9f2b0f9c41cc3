"""What each fault looks like on set: one sign for every fault and every observation.

A sign says what the fault itself answers to an observation: "yes", "no", or "either" where it
depends on what the observation does not ask for. Each has a code for its reason, each code a
basis: the module that computes the effect, or "common practice" for a fact of the trade.
"""

from collections.abc import Mapping
from typing import Literal, NamedTuple, get_args

__all__ = [
    "BASIS", "FAULTS", "HELPING_COMMAND", "OBSERVATIONS", "SIDES", "SIGNS", "Answer", "Fault",
    "HelpingCommand", "Observation", "Side", "Sign",
]

Fault = Literal[
    "timing_bands", "uneven_scan_lines", "tear", "wall_fault", "gray_steps", "slow_flicker",
    "moire", "led_grid", "lamp_flicker",
]
"""A tear is one between two pictures; `uneven_scan_lines` are timing bands of a camera whose rows
open all at once; `slow_flicker` is the wall's own, in dark pictures; bands that roll and frames
that differ are `timing_bands` too."""

Observation = Literal[
    "seen_by_eye", "rolls_or_pulses", "moves_with_camera", "stays_on_same_leds",
    "changes_with_shutter", "vanishes_with_focus", "remains_with_wall_black",
    "only_while_picture_moves", "steps_in_ramp",
]
"""What can be seen on set, that first which is the least trouble to find out."""

Answer = Literal["yes", "no", "either"]
Side = Literal["timing", "wall", "lens", "lamp"]
HelpingCommand = Literal["settings", "check", "moire", "profiles"]

FAULTS: tuple[Fault, ...] = get_args(Fault)
OBSERVATIONS: tuple[Observation, ...] = get_args(Observation)


class Sign(NamedTuple):
    """What a fault answers to an observation, and the code of the reason."""

    answer: Answer
    reason: str


SIDES: Mapping[Fault, Side] = {
    "timing_bands": "timing", "uneven_scan_lines": "timing", "tear": "timing",
    "wall_fault": "wall", "gray_steps": "wall", "slow_flicker": "wall",
    "moire": "lens", "led_grid": "lens", "lamp_flicker": "lamp",
}
"""Where a fault is mended: in how camera and wall go together in time, on the wall alone, in where
lens and camera stand and focus, or at a lamp."""

HELPING_COMMAND: Mapping[Fault, HelpingCommand | None] = {
    "timing_bands": "settings", "uneven_scan_lines": "settings", "tear": "check",
    "wall_fault": None, "gray_steps": "profiles", "slow_flicker": "profiles",
    "moire": "moire", "led_grid": "moire", "lamp_flicker": "settings",
}
"""Command that goes on from here. None for what only a technician mends; for what else sits on
the wall the one that shows its gray depth, never one that looks for a shutter."""

SIGNS: Mapping[Fault, Mapping[Observation, Sign]] = {
    "timing_bands": {
        "seen_by_eye": Sign("no", "too_fast_for_eyes"),
        "rolls_or_pulses": Sign("either", "locked_or_not"),
        "moves_with_camera": Sign("either", "broad_or_fine"),
        "stays_on_same_leds": Sign("no", "made_in_rows"),
        "changes_with_shutter": Sign("yes", "refreshes_in_exposure"),
        "vanishes_with_focus": Sign("no", "wider_than_leds"),
        "remains_with_wall_black": Sign("no", "needs_lit_wall"),
        "only_while_picture_moves": Sign("no", "still_picture_too"),
        "steps_in_ramp": Sign("either", "few_refreshes_lit"),
    },
    "uneven_scan_lines": {
        "seen_by_eye": Sign("no", "too_fast_for_eyes"),
        "rolls_or_pulses": Sign("no", "same_lines_in_each_frame"),
        "moves_with_camera": Sign("no", "on_the_wall"),
        "stays_on_same_leds": Sign("yes", "all_rows_at_once"),
        "changes_with_shutter": Sign("yes", "refreshes_in_exposure"),
        "vanishes_with_focus": Sign("no", "wider_than_leds"),
        "remains_with_wall_black": Sign("no", "needs_lit_wall"),
        "only_while_picture_moves": Sign("no", "still_picture_too"),
        "steps_in_ramp": Sign("either", "few_refreshes_lit"),
    },
    "tear": {
        "seen_by_eye": Sign("no", "whole_wall_at_once"),
        "rolls_or_pulses": Sign("either", "locked_or_not"),
        "moves_with_camera": Sign("either", "rows_at_the_change"),
        "stays_on_same_leds": Sign("no", "made_in_rows"),
        "changes_with_shutter": Sign("either", "mixed_zone"),
        "vanishes_with_focus": Sign("no", "wider_than_leds"),
        "remains_with_wall_black": Sign("no", "needs_lit_wall"),
        "only_while_picture_moves": Sign("yes", "needs_two_pictures"),
        "steps_in_ramp": Sign("no", "ramp_stands_still"),
    },
    "wall_fault": {
        "seen_by_eye": Sign("yes", "light_itself"),
        "rolls_or_pulses": Sign("either", "loose_contact"),
        "moves_with_camera": Sign("no", "on_the_wall"),
        "stays_on_same_leds": Sign("yes", "faulty_part"),
        "changes_with_shutter": Sign("no", "shutter_only_dims"),
        "vanishes_with_focus": Sign("no", "wider_than_leds"),
        "remains_with_wall_black": Sign("either", "stuck_or_dead"),
        "only_while_picture_moves": Sign("no", "still_picture_too"),
        "steps_in_ramp": Sign("no", "place_not_gray"),
    },
    "gray_steps": {
        "seen_by_eye": Sign("either", "as_graded"),
        "rolls_or_pulses": Sign("no", "stands_with_picture"),
        "moves_with_camera": Sign("no", "on_the_wall"),
        "stays_on_same_leds": Sign("no", "follows_grays"),
        "changes_with_shutter": Sign("no", "shutter_only_dims"),
        "vanishes_with_focus": Sign("no", "wider_than_leds"),
        "remains_with_wall_black": Sign("no", "needs_lit_wall"),
        "only_while_picture_moves": Sign("no", "still_picture_too"),
        "steps_in_ramp": Sign("yes", "few_counts"),
    },
    "slow_flicker": {
        "seen_by_eye": Sign("yes", "slow_enough_for_eyes"),
        "rolls_or_pulses": Sign("yes", "is_flicker"),
        "moves_with_camera": Sign("either", "pulses_or_bands"),
        "stays_on_same_leds": Sign("no", "follows_grays"),
        "changes_with_shutter": Sign("either", "slow_pulses"),
        "vanishes_with_focus": Sign("no", "wider_than_leds"),
        "remains_with_wall_black": Sign("no", "needs_lit_wall"),
        "only_while_picture_moves": Sign("no", "still_picture_too"),
        "steps_in_ramp": Sign("either", "few_refreshes_lit"),
    },
    "moire": {
        "seen_by_eye": Sign("no", "needs_photosites"),
        "rolls_or_pulses": Sign("no", "nothing_moves"),
        "moves_with_camera": Sign("no", "slides_over_both"),
        "stays_on_same_leds": Sign("no", "slides_over_both"),
        "changes_with_shutter": Sign("no", "place_not_time"),
        "vanishes_with_focus": Sign("yes", "needs_sharp_leds"),
        "remains_with_wall_black": Sign("no", "needs_lit_wall"),
        "only_while_picture_moves": Sign("no", "still_picture_too"),
        "steps_in_ramp": Sign("no", "same_in_all_grays"),
    },
    "led_grid": {
        "seen_by_eye": Sign("either", "near_enough"),
        "rolls_or_pulses": Sign("no", "nothing_moves"),
        "moves_with_camera": Sign("no", "on_the_wall"),
        "stays_on_same_leds": Sign("yes", "leds_themselves"),
        "changes_with_shutter": Sign("no", "place_not_time"),
        "vanishes_with_focus": Sign("yes", "needs_sharp_leds"),
        "remains_with_wall_black": Sign("no", "needs_lit_wall"),
        "only_while_picture_moves": Sign("no", "still_picture_too"),
        "steps_in_ramp": Sign("no", "same_in_all_grays"),
    },
    "lamp_flicker": {
        "seen_by_eye": Sign("either", "lamp_rate"),
        "rolls_or_pulses": Sign("either", "locked_or_not"),
        "moves_with_camera": Sign("either", "pulses_or_bands"),
        "stays_on_same_leds": Sign("no", "over_everything"),
        "changes_with_shutter": Sign("yes", "ripples_in_exposure"),
        "vanishes_with_focus": Sign("no", "wider_than_leds"),
        "remains_with_wall_black": Sign("yes", "lamp_stays_lit"),
        "only_while_picture_moves": Sign("no", "still_picture_too"),
        "steps_in_ramp": Sign("no", "same_in_all_grays"),
    },
}
"""Every sign, by fault and observation."""

_TRADE = "common practice"

BASIS: Mapping[str, str] = {
    "all_rows_at_once": "hazards.banding",
    "as_graded": "vision.just_noticeable",
    "broad_or_fine": "imaging.rolling_shutter",
    "faulty_part": _TRADE,
    "few_counts": "light.led_drive",
    "few_refreshes_lit": "light.led_drive",
    "follows_grays": "light.led_drive",
    "is_flicker": "hazards.comfort",
    "lamp_rate": _TRADE,
    "lamp_stays_lit": _TRADE,
    "leds_themselves": "imaging.sampling",
    "light_itself": _TRADE,
    "locked_or_not": "timing.genlock",
    "loose_contact": _TRADE,
    "made_in_rows": "imaging.rolling_shutter",
    "mixed_zone": "hazards.tearing",
    "near_enough": _TRADE,
    "needs_lit_wall": _TRADE,
    "needs_photosites": "imaging.sampling",
    "needs_sharp_leds": "imaging.blur",
    "needs_two_pictures": "hazards.tearing",
    "nothing_moves": "imaging.sampling",
    "on_the_wall": _TRADE,
    "over_everything": _TRADE,
    "place_not_gray": _TRADE,
    "place_not_time": "imaging.sampling",
    "pulses_or_bands": "imaging.rolling_shutter",
    "ramp_stands_still": "timing.picture_changes",
    "refreshes_in_exposure": "hazards.banding",
    "ripples_in_exposure": "light.lamps",
    "rows_at_the_change": "hazards.tearing",
    "same_in_all_grays": _TRADE,
    "same_lines_in_each_frame": "hazards.banding",
    "shutter_only_dims": _TRADE,
    "slides_over_both": "imaging.fringes",
    "slow_enough_for_eyes": "hazards.comfort",
    "slow_pulses": "light.window_transfer",
    "stands_with_picture": _TRADE,
    "still_picture_too": _TRADE,
    "stuck_or_dead": _TRADE,
    "too_fast_for_eyes": _TRADE,
    "whole_wall_at_once": "timing.picture_changes",
    "wider_than_leds": "imaging.blur",
}
"""Where each reason comes from: a module of this package that computes it, or the trade."""
