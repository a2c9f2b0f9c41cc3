"""What a card says beside its figures: how to test it, what voids it, what it stands on."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from bandcheck.report.change_wording import assumption_sentence, not_checked_sentence
from bandcheck.report.profile_sheet import kind_of, profile_figures
from bandcheck.report.rounding import (
    number_text,
    rate_words,
    shutter_text,
    visibility_text,
)
from bandcheck.report.wording import CAUTIONS, HAZARD_NAMES, finding_sentence
from bandcheck.shoot.profiles import Profile
from bandcheck.shoot.shot import Shot
from bandcheck.verdict.card_figures import CardFigures
from bandcheck.verdict.card_shutters import dial_shows_times
from bandcheck.vision.level import Level

__all__ = [
    "ROLES", "TITLE", "InputLine", "Section", "grade_lines", "input_lines", "profile_lines",
    "sections",
]

TITLE = "Safe settings for this wall and camera"

ROLES = ("Director of photography", "LED technician")
"""Those who agree on a card, by signing it."""

_DECIDES_TIMING = {
    "wall": (
        "scan_lines", "drive", "counts_per_refresh", "gray_bits", "refreshes_per_frame",
        "refresh_hz", "rated_fps", "refreshes_per_frame_allowed", "on_rate_change", "clock_mhz",
        "line_switch_us", "frame_end", "dealing", "min_pulse_counts", "refresh_lock",
        "refresh_tolerance_pct", "transfer", "gamma", "white_duty_red", "white_duty_green",
        "white_duty_blue", "brightness_control", "rate_tolerance_ppm",
    ),
    "camera": (
        "rows_px", "shutter", "readout_ms", "readout_tolerance_ms", "shutter_whole_lines",
        "angles_deg", "speeds", "angle_step_deg", "max_fps", "exposure_scheme",
        "rate_tolerance_ppm",
    ),
    "lamp": ("kind", "mains_hz", "mains_tolerance_pct", "modulation", "pulse_hz", "duty"),
}
"""Keys of each profile that the timing hangs on; a value that only stands where nothing is stated
and changes nothing is not told."""


_LONGEST_NAME = 40
_NAMED = {"max_fps": "highest rate", "rated_fps": "rated at", "pulse_hz": "pulses"}
_UNITS = {"mm", "px", "deg", "hz", "mhz", "fps", "ms", "us", "nits", "pct", "ppm"}


@dataclass(frozen=True, kw_only=True, slots=True)
class InputLine:
    """One figure that the card stands on.

    Attributes
    ----------
    about
        "wall", "camera" or "lamp" and its name.
    what, value, source
        The figure, its value with the unit, and where it comes from.
    """

    about: str
    what: str
    value: str
    source: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Section:
    """A heading and what stands below it, a line each."""

    title: str
    lines: tuple[str, ...]


def _plain_key(key: str) -> str:
    """Key without its unit, as words."""
    if key in _NAMED:
        return _NAMED[key]
    stem, _, ending = key.rpartition("_")
    return (stem if stem and ending in _UNITS else key).replace("_", " ")


def profile_lines(profile: Profile, about: str) -> Iterator[InputLine]:
    """Figures of a profile that the timing hangs on, each with its source."""
    wanted = _DECIDES_TIMING[kind_of(profile)]
    for figure in profile_figures(profile):
        if figure.key not in wanted or figure.source.startswith("not stated"):
            continue
        value = figure.written.replace('"', "").replace("_", " ").strip("[]")
        if figure.key.endswith("_fps"):
            value = rate_words(Fraction(value))
        yield InputLine(
            about=about, what=_plain_key(figure.key), value=f"{value} {figure.unit}".strip(),
            source=figure.source,
        )


def input_lines(figures: CardFigures) -> tuple[InputLine, ...]:
    """Every figure that the timing hangs on, with its source."""
    shot = figures.shot
    return (
        *profile_lines(shot.wall, "wall"), *profile_lines(shot.camera, "camera"),
        *(line for lamp in shot.lamps for line in profile_lines(lamp, _short(lamp.name))),
    )


def _short(name: str) -> str:
    """Name that stands in a sentence; the head of the card has it whole."""
    return name if len(name) <= _LONGEST_NAME else f"{name[:_LONGEST_NAME].rstrip()}…"


def _percents(levels: tuple[float, ...]) -> str:
    return ", ".join(number_text(100 * each, decimals=2) for each in levels) + " %"


def _asked(figures: CardFigures) -> Iterator[str]:
    shot = figures.shot
    same_wall = all(
        each.shot is None or each.shot.wall_fps == each.shot.fps for each in figures.rates
    )
    same_content = all(
        each.shot is None or each.shot.content_fps == each.shot.wall_fps for each in figures.rates
    )
    asked = shutter_text(
        exposure_s=shot.exposure_s, fps=shot.fps, in_time=shot.shutter_set_as == "time"
    )
    wall = "the camera's rate" if same_wall else f"{rate_words(shot.wall_fps)} frames/s"
    content = (
        "every wall frame" if same_content else f"{rate_words(shot.content_fps)} times a second"
    )
    if shot.content_fps == 0:
        content = "never: it stands still"
    lock = "genlocked" if shot.genlock == "locked" else "running free"
    yield f"Shutter {asked}; wall at {wall}, {lock}; its picture changes {content}"
    phase = "not known"
    if shot.phase_s is not None:
        phase = f"{number_text(1e3 * shot.phase_s, decimals=3)} ms"
    yield f"Phase {phase}: from a wall frame's start to the first row's opening"
    turned = f", panels turned {shot.panel_rotation_deg}°" if shot.panel_rotation_deg else ""
    yield (f"Must be safe at {_percents(shot.levels)} signal; wall at "
           f"{number_text(100 * shot.brightness, decimals=1)} % brightness{turned}")
    for each in figures.assumptions:
        yield f"Not given: {assumption_sentence(each)}"


def _proof(figures: CardFigures) -> str | None:
    """A setting that must show bands, so that a test that shows none can be believed."""
    viewing = figures.shot.viewing
    worst = max(
        (
            (cell.visibility, rate, cell) for rate in figures.rates for cell in rate.map_cells
            if cell is not None and cell.visibility >= viewing.visible_from
        ),
        key=lambda found: found[0], default=None,
    )
    if worst is None:
        return None
    visibility, rate, cell = worst
    in_time = dial_shows_times(figures.shot.camera)
    shown = shutter_text(exposure_s=cell.exposure_s, fps=rate.fps, in_time=in_time)
    limits = (viewing.safe_below, viewing.visible_from)
    return (f"First see a fault: {shown} at {rate_words(rate.fps)} frames/s must show bands "
            f"(V {visibility_text(visibility, limits=limits)}); if it does not, an input is wrong")


def _tests(figures: CardFigures) -> Iterator[str]:
    shot = figures.shot
    if figures.sensitive_to:
        names = ", ".join(_short(each) for each in figures.sensitive_to)
        yield f"Measure first what decides most: {names}"
    if (proof := _proof(figures)) is not None:
        yield proof
    yield "At each rate dial the setting, read rate and shutter back, and write both down"
    levels = _percents(shot.levels).removesuffix(" %")
    yield (f"Fill the wall with flat gray at {levels} % and at the lowest safe level, focus off "
           "the LEDs, roll as long as told, look at the whole picture for bands, still and moving")
    if shot.content_fps and shot.genlock == "locked":
        yield ("Set the phase told, run a bar that moves in every frame: no frame may hold two of "
               "it; write the phase down")
    if any(
        each.dialled is not None and not each.dialled.roll_test.shows_all
        for each in figures.answers
    ):
        yield from _standing_drifts(figures)


def _standing_drifts(figures: CardFigures) -> Iterator[str]:
    names = dict.fromkeys(
        _short(f"lamp {drift.name}") if drift.name else drift.source.replace("_", " ")
        for each in figures.answers if each.dialled is not None
        for drift in each.dialled.roll_test.drifts if drift.longest_s is None
    )
    yield (f"* {', '.join(names)} may stand still against the camera: no test is long enough to "
           "have seen every state; the time is that of the quickest drift")


def _voids(figures: CardFigures) -> Iterator[str]:
    shot, wall = figures.shot, figures.shot.wall
    yield "Another frame rate, camera mode, or a shutter outside what is allowed"
    yield ("Any change of the wall's refresh, scan, gray depth, gray clock or frame rate: a new "
           "preset, firmware or processor too")
    if wall.brightness_control != "current":
        yield (f"The wall's brightness moved from {number_text(100 * shot.brightness, decimals=1)} "
               "% (it may dim by shorter pulses)")
    if shot.genlock == "locked":
        yield "Camera or wall off the common reference, until tested again"
        if shot.content_fps:
            yield "Phase outside its range: check after each power-up and change of rate"
    else:
        yield "Another clock in the camera or the wall"
    yield "Content darker than the lowest safe level" + (
        f", or pushed by more than {number_text(shot.viewing.push_stops, decimals=1)} stops"
    )
    yield "A lamp added, exchanged or dimmed" if shot.lamps else "Any lamp whose light pulses"
    yield "Panels hung another way, or a test that shows a fault where it says safe"


def grade_lines(shot: Shot) -> Iterator[str]:
    """What the grades mean, and for whom."""
    view = shot.viewing
    safe, visible = (number_text(each, decimals=3) for each in (view.safe_below, view.visible_from))
    yield (f"V is contrast over the eye's threshold. Safe: V below {safe}; marginal: up to "
           f"{visible}; visible: from {visible}; unknown: an input is missing, never safe")
    yield (f"Seen from {number_text(view.view_heights, decimals=2)} picture heights at "
           f"{number_text(view.peak_nits, decimals=1)} cd/m² white, black raised by "
           f"{number_text(view.flare_nits, decimals=3)} cd/m², pushed "
           f"{number_text(view.push_stops, decimals=2)} stops, grade contrast × "
           f"{number_text(view.grade_contrast, decimals=2)}")


def _lamps(figures: CardFigures) -> Iterator[str]:
    for lamp in figures.shot.lamps:
        verdicts = []
        for rate in figures.rates:
            answer = rate.answer
            shown = answer and (answer.dialled.assessment if answer.dialled else answer.wanted)
            level = next(
                (each.finding.level for each in shown.findings if each.lamp == lamp.name),
                Level.UNKNOWN,
            ) if shown else Level.UNKNOWN
            verdicts.append(f"{rate_words(rate.fps)} {level.value}")
        yield f"{_short(lamp.name)}: {', '.join(verdicts)}"


def _moire(figures: CardFigures) -> Iterator[str]:
    """What no shutter changes, and what was not looked at."""
    first = figures.answers[0].wanted
    for each in first.findings:
        if each.finding.hazard in ("moire", "grid"):
            level = each.finding.level.value
            yield f"{HAZARD_NAMES[each.finding.hazard]}: {level}. {finding_sentence(first, each)}"
    if missing := not_checked_sentence(first):
        yield f"Not checked: {missing}"


def _cautions(figures: CardFigures) -> Iterator[str]:
    yield from CAUTIONS
    sentences = dict.fromkeys(
        finding_sentence(answer.wanted, each)
        for answer in figures.answers for each in answer.wanted.findings
        if each.finding.hazard == "comfort" and each.finding.level is not Level.SAFE
    )
    yield from list(sentences)[:1]


def sections(figures: CardFigures) -> tuple[Section, ...]:
    """Everything beside the tables, in the order of print."""
    return tuple(
        Section(title=title, lines=tuple(lines))
        for title, lines in (
            ("Test it before the shoot", _tests(figures)),
            ("What voids this card", _voids(figures)),
            ("Asked for, and taken", _asked(figures)),
            ("Lamps and moire", (*_lamps(figures), *_moire(figures))),
            ("Grades, viewer and cautions", (*grade_lines(figures.shot), *_cautions(figures))),
        )
    )
