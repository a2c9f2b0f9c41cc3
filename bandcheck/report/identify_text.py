"""What a fault seen on set may be, in the words of the people who look at it."""

import textwrap
from collections.abc import Iterable, Mapping

from bandcheck.report.rounding import number_text
from bandcheck.verdict.fault_signs import FAULTS, HELPING_COMMAND, Fault, Observation
from bandcheck.verdict.identify import Contradiction, FaultTest, Identification, Seen

__all__ = [
    "FAULT_NAMES", "QUESTIONS", "REASONS", "REMEDIES", "SHOWS", "WHY_IT_TELLS", "answer_text",
    "command_line", "fault_list", "identify_text",
]

FAULT_NAMES: Mapping[Fault, str] = {
    "timing_bands": "Timing bands", "uneven_scan_lines": "Uneven scan lines", "tear": "Tear",
    "wall_fault": "Wall fault", "gray_steps": "Gray steps",
    "slow_flicker": "Slow flicker of the wall", "moire": "Moire", "led_grid": "LED grid",
    "lamp_flicker": "Lamp flicker",
}

SHOWS: Mapping[Fault, str] = {
    "timing_bands": "The exposure does not hold whole refreshes of the wall: rows of the picture,"
    " or whole frames, catch unequal light.",
    "uneven_scan_lines": "All rows of the camera open at once and the exposure does not hold whole"
    " refreshes: some scan lines of the wall come out darker.",
    "tear": "The camera looks while the wall changes its picture: one frame holds parts of two.",
    "wall_fault": "A dead driver, a stuck line, a cabinet of another colour.",
    "gray_steps": "The wall has too few steps between dark grays.",
    "slow_flicker": "In dark pictures so few refreshes light that the wall itself flickers slowly.",
    "moire": "LEDs and photosites beat: fringes that neither of them has.",
    "led_grid": "The camera resolves the single LEDs.",
    "lamp_flicker": "A lamp ripples and the exposure does not even it out.",
}
"""What is going on, in a sentence."""

REMEDIES: Mapping[Fault, str] = {
    "timing_bands": "Find a shutter that holds whole refreshes, or what the wall could change.",
    "uneven_scan_lines": "Find a shutter that holds whole refreshes, or what the wall could"
    " change.",
    "tear": "Lock wall and camera to one reference and set a phase at which no row sees the"
    " change.",
    "wall_fault": "Call the wall's technician: module, driver, cable or calibration. No setting of"
    " the camera mends it.",
    "gray_steps": "Lift the dark grays of the picture, or have the wall run with more gray depth;"
    " see how many counts each gray has.",
    "slow_flicker": "Lift the dark grays of the picture, or have the wall dimmed by LED current;"
    " see how many refreshes light at each gray. Mind people who are sensitive to flashing light.",
    "moire": "Focus off the wall, or change distance, lens or angle: see how little is enough.",
    "led_grid": "Focus off the wall or stand farther away: see how little is enough.",
    "lamp_flicker": "Find a shutter that holds whole ripples of the lamp and suits the wall too.",
}
"""What to do about it, in a line."""

_CASE = "--wall WALL --camera CAMERA"
_COMMAND_OPTIONS: Mapping[str, str] = {
    "settings": f"{_CASE} --fps RATE --angle DEG", "check": f"{_CASE} --fps RATE --angle DEG",
    "moire": f"{_CASE} --focal-mm MM --f-number N --distance-m M --focus-m M",
    "profiles": "show WALL",
}

QUESTIONS: Mapping[Observation, str] = {
    "seen_by_eye": "Look at the wall beside the camera, not through it. Do you see it there too?",
    "rolls_or_pulses": "Lock the camera off. Does it roll through the picture, pulse or flicker?",
    "moves_with_camera": "Tilt the camera slowly. Does it keep its place in the frame while the"
    " wall passes behind it?",
    "stays_on_same_leds": "Tilt the camera a little, then move the picture on the wall. Does it sit"
    " on the same LEDs all the time?",
    "changes_with_shutter": "Change the shutter by a third and make up for it with the iris. Does"
    " it change its number, place or strength?",
    "vanishes_with_focus": "Focus just so far off the wall that single LEDs melt together. Does it"
    " vanish?",
    "remains_with_wall_black": "Have the wall show black and leave the lamps on. Does it remain, on"
    " the wall or on anything else?",
    "only_while_picture_moves": "Freeze the picture on the wall. Does it vanish, and come back only"
    " when the picture moves?",
    "steps_in_ramp": "Have the wall show a slow ramp from black to gray. Does it rise in steps,"
    " each at a gray of its own?",
}
"""Each observation as one would ask for it on set."""

WHY_IT_TELLS: Mapping[Observation, str] = {
    "seen_by_eye": "What the eye sees beside the camera is in the light; what it does not see is"
    " made by the camera.",
    "rolls_or_pulses": "What stands as long as camera and picture stand has nothing to do with"
    " time; what runs or pulses has.",
    "moves_with_camera": "What the camera's rows make stays in the frame; what is on the wall"
    " leaves with it.",
    "stays_on_same_leds": "What is mounted in the wall stays there, whatever camera and picture"
    " do.",
    "changes_with_shutter": "The shutter decides how much of fast light is caught; what lies in the"
    " wall's picture or in the lens it leaves alone.",
    "vanishes_with_focus": "Moire and the LED grid need LEDs that are sharp; nothing else does.",
    "remains_with_wall_black": "A black wall gives no light of its own: what is left comes from"
    " elsewhere, or from LEDs that are stuck.",
    "only_while_picture_moves": "A tear lies between two pictures; with a still one they are the"
    " same.",
    "steps_in_ramp": "Steps at fixed grays are the wall's counts; what sits at a place or in time"
    " cuts through all grays.",
}
"""Why the answer tells faults apart."""

REASONS: Mapping[str, str] = {
    "all_rows_at_once": "All rows open at once, so it is always the same scan lines that differ.",
    "as_graded": "The eye sees large steps; smaller ones come up when the picture is brightened.",
    "broad_or_fine": "Broad bands keep to the rows of the frame; fine ones depend on the wall's"
    " scan lines as well and slide against both.",
    "faulty_part": "A faulty part stays where it is mounted.",
    "few_counts": "Between dark grays the wall has few counts, and each is a step.",
    "few_refreshes_lit": "In dark grays few refreshes light, and one more of them can show as a"
    " step.",
    "follows_grays": "It follows the grays of the picture over the wall.",
    "is_flicker": "It is a flicker.",
    "lamp_rate": "Ripple at twice the mains is too fast for the eye; a faulty lamp or dimmer can be"
    " slower.",
    "lamp_stays_lit": "The lamp lights everything else as before.",
    "leds_themselves": "It is the LEDs themselves.",
    "light_itself": "The light of the wall itself is wrong, and the eye sees that too.",
    "locked_or_not": "With rates that fit each other it stands, with others it rolls or pulses.",
    "loose_contact": "A broken part stands still, a loose contact flickers.",
    "made_in_rows": "It is made where the rows of the camera are, not at any one LED.",
    "mixed_zone": "A longer exposure makes the mixed zone taller, but hardly moves it.",
    "near_enough": "From near the wall the eye sees single LEDs too, from farther away it does"
    " not.",
    "needs_lit_wall": "It is made of the wall's light: black leaves nothing of it.",
    "needs_photosites": "It takes photosites; the eye has no grid that beats with the LEDs.",
    "needs_sharp_leds": "It lives on LEDs that are sharp: a blur as wide as their pitch takes it"
    " away.",
    "needs_two_pictures": "It lies between two pictures: with a still one both are the same.",
    "nothing_moves": "It comes of where LEDs and photosites lie, and those stand still.",
    "on_the_wall": "It is on the wall and leaves the frame with it.",
    "over_everything": "It lies over everything that the lamp lights, not on single LEDs.",
    "place_not_gray": "It sits at a place, not at a gray.",
    "place_not_time": "It comes of where LEDs and photosites lie, not of when LEDs are lit.",
    "pulses_or_bands": "A rolling shutter draws bands of it in the frame; a global one, or slow"
    " light, lets whole areas pulse.",
    "ramp_stands_still": "A ramp stands still, and a tear needs a change of picture.",
    "refreshes_in_exposure": "The exposure decides how many refreshes are caught.",
    "ripples_in_exposure": "The exposure decides how much of the ripple evens out: whole ripples"
    " leave none.",
    "rows_at_the_change": "A rolling shutter tears at rows of the frame; a global one mixes the"
    " whole frame.",
    "same_in_all_grays": "It is the same at every gray that the wall shows.",
    "same_lines_in_each_frame": "Locked, the same scan lines differ in every frame; lines that"
    " crawl count as timing bands.",
    "shutter_only_dims": "The shutter dims it with everything else and leaves its form.",
    "slides_over_both": "Fringes slide over frame and wall alike and belong to neither.",
    "slow_enough_for_eyes": "At the wall's frame rate, or a few times it, the eye still sees"
    " flicker.",
    "slow_pulses": "The camera catches more or less of a slow pulse; beside it nothing changes.",
    "stands_with_picture": "Steps stand as long as the picture does.",
    "still_picture_too": "It is there with a still picture as well.",
    "stuck_or_dead": "What is stuck stays lit in black; what is dead, or of another colour, is not"
    " to be seen there.",
    "too_fast_for_eyes": "Refreshes are far too fast for the eye; only a short exposure tells them"
    " apart.",
    "whole_wall_at_once": "The wall changes all of its picture at once; only the camera looks"
    " meanwhile.",
    "wider_than_leds": "It is wider than the blur of single LEDs, which leaves it.",
}
"""Why a fault answers an observation as it does, by the reason's code."""

_WIDTH = 80
_MOST_REMEDIES = 3


def _wrapped(text: str, indent: str = "  ", first: str | None = None) -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, initial_indent=indent if first is None else first, subsequent_indent=indent,
        break_on_hyphens=False,
    )


def fault_list(faults: Iterable[Fault]) -> str:
    """Names of faults in a row."""
    return ", ".join(FAULT_NAMES[fault] for fault in faults)


def command_line(fault: Fault) -> str | None:
    """Command that goes on from a fault, with what it needs in capitals; None: none does."""
    command = HELPING_COMMAND[fault]
    if command is None:
        return None
    lamp = " --lamp LAMP" if fault == "lamp_flicker" else ""
    return f"bandcheck {command} {_COMMAND_OPTIONS[command]}{lamp}"


def answer_text(seen: Seen, observation: Observation) -> str:
    """An observation and its answer as they are typed."""
    return f"{observation}={'yes' if seen[observation] else 'no'}"


def _ruled_out(found: Identification) -> list[str]:
    """What it is not: faults with one reason together, by the observation that told."""
    lines = []
    for observation in found.seen:
        together: dict[str, list[Fault]] = {}
        for each in found.ruled_out:
            if each.observation == observation:
                together.setdefault(each.sign.reason, []).append(each.fault)
        if together:
            lines.append(f"  {answer_text(found.seen, observation)}")
        for reason, faults in together.items():
            lines += _wrapped(f"{fault_list(faults)}. {REASONS[reason]}", "      ", "    - ")
    return ["", "It is not", *lines] if lines else []


def _remedy(fault: Fault, indent: str) -> list[str]:
    command = command_line(fault)
    return [
        *_wrapped(REMEDIES[fault], indent),
        *(_wrapped(command, f"{indent}    ", f"{indent}  ") if command else ()),
    ]


def _next(test: FaultTest) -> list[str]:
    key = test.observation
    return [
        "", f"Next test: {key}", *_wrapped(QUESTIONS[key]), *_wrapped(WHY_IT_TELLS[key]),
        *_wrapped(f"yes leaves {len(test.if_yes)}: {fault_list(test.if_yes)}", "      ", "    "),
        *_wrapped(f"no leaves {len(test.if_no)}: {fault_list(test.if_no)}", "      ", "    "),
        f"  Answer with --seen {key}=yes or =no.",
    ]


def _others(tests: Iterable[FaultTest]) -> list[str]:
    lines = []
    for test in tests:
        left = number_text(test.expected_left, decimals=1)
        lines.append(f"  {test.observation} (leaves {left} on average)")
        lines += _wrapped(QUESTIONS[test.observation], "    ")
    return ["", "Other tests that tell", *lines] if lines else []


def _possible(found: Identification) -> list[str]:
    with_remedy = len(found.possible) <= _MOST_REMEDIES
    lines = ["", "It may be"]
    for fault in found.possible:
        lines += _wrapped(f"{FAULT_NAMES[fault]}. {SHOWS[fault]}", "      ", "  - ")
        if with_remedy:
            lines += _remedy(fault, "      ")
    return lines


def _contradictory(found: Identification, clash: Contradiction) -> list[str]:
    *most, last = [answer_text(found.seen, each) for each in clash.observations]
    lines = _wrapped(f"No single fault explains {', '.join(most)} and {last}.", "", "")
    lines += _wrapped(
        "Look again at these, one at a time. Or there are two faults at once: then tell what you"
        " see of one of them alone."
    )
    for each in clash.observations:
        lines += ["", *_wrapped(QUESTIONS[each], "    ", "  ? ")]
        left = clash.without[each]
        lines += _wrapped(
            f"Without this answer: {fault_list(left) if left else 'still no single fault'}.", "    "
        )
    return lines


def identify_text(found: Identification) -> str:
    """What the observations come to, for people: the answer first, then what to do next.

    Parameters
    ----------
    found
        What `identify` gives.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    if found.contradiction is not None:
        return "\n".join(_contradictory(found, found.contradiction))
    if found.found is not None:
        lines = [FAULT_NAMES[found.found], *_wrapped(SHOWS[found.found]), "", "What to do"]
        lines += _remedy(found.found, "  ")
    else:
        count = f"{len(found.possible)} of {len(FAULTS)} faults may be it"
        lines = [f"{count}." if found.seen else f"Nothing seen yet: {count}."]
        lines += [*_next(found.tests[0]), *_possible(found), *_others(found.tests[1:])]
    return "\n".join([*lines, *_ruled_out(found)])
