"""The fields of the question: their words, units and explanations, and how each is written."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final, Literal

from bandcheck.shoot.shot import DEFAULT_LEVELS, Viewing
from bandcheck.shoot.written import (
    ANGLE,
    CARD_DATE,
    CARD_VERSION,
    CONTENT_RATE,
    LEVELS,
    RATE,
    RATES,
    REGION,
    SPEED,
    Written,
    number,
    whole,
)

__all__ = ["APART", "FIELDS", "OWN", "PROFILE_FIELDS", "Field", "Part", "shutter_given"]

Part = Literal["stage", "timing", "wall", "lens", "viewer", "map", "change", "card", "seen",
               "plan", "measure"]

APART: Final[tuple[Part, ...]] = ("change", "card", "seen", "plan", "measure")
"""Parts that say nothing about the shot: a slip there leaves the shot's verdict as it is."""

OWN: Final = "own"
"""Choice of a profile that stands for figures of the user's own."""

PROFILE_FIELDS: Final = ("wall", "camera", "lamp")

_VIEWING = Viewing()


@dataclass(frozen=True, kw_only=True, slots=True)
class Field:
    """One field.

    Attributes
    ----------
    name
        Its key in the question and in the address; where one exists, the name of the command's
        option.
    label, unit, explanation
        The trade's word, the unit of what is typed, and one line on what it is.
    part
        Group that it stands in.
    kind
        How it is written; None where it is chosen.
    usual
        What an empty field means, as it would be typed; empty where it means "not known".
    choices
        What may be chosen, value to words; empty where it is typed.
    """

    name: str
    label: str
    unit: str = ""
    explanation: str
    part: Part
    kind: Written[Any] | None = None
    usual: str = ""
    choices: Mapping[str, str] | None = None


def shutter_given(text: str, *, argument: str) -> tuple[Literal["angle", "speed"], Fraction]:
    """Shutter as it is typed in one field: an angle in degrees, or a time such as 1/50.

    Parameters
    ----------
    text
        As typed.
    argument
        Field, for the message.

    Returns
    -------
    way, value
        "angle" and degrees, or "speed" and seconds, exact.

    Raises
    ------
    OutOfRangeError
        Neither; says what is accepted.
    """
    way: Literal["angle", "speed"] = "speed" if "/" in text else "angle"
    kind = _SPEED if way == "speed" else _SHUTTER
    value: Fraction = kind.value(text.strip().removesuffix("°").strip(), argument=argument)
    return way, value


_SAID = "an angle above 0 and up to 360 degrees such as 172.8, or a time such as 1/50"
_SHUTTER = Written("SHUTTER", _SAID, ANGLE.read)
_SPEED = Written("SHUTTER", _SAID, SPEED.read)


_STAGE = (
    Field(name="wall", label="Wall", part="stage",
          explanation="The LED wall that is filmed: panel, processor settings, refresh."),
    Field(name="camera", label="Camera mode", part="stage",
          explanation="Body, sensor mode and resolution: each mode reads in its own time."),
    Field(name="fps", label="Camera rate", unit="frames/s", part="stage", kind=RATE, usual="24",
          explanation="Frame rate that the camera records: 24, 23.976, 24000/1001."),
    Field(name="shutter", label="Shutter", unit="° or s", part="stage",
          kind=_SHUTTER, usual="180",
          explanation="As the dial says it: an angle such as 172.8, or a time such as 1/50."),
    Field(name="lamp", label="Lamps in shot", part="stage",
          explanation="Lamps that light what is filmed: each ripples in its own way."),
)

_TIMING = (
    Field(name="wall_fps", label="Wall rate", unit="frames/s", part="timing", kind=RATE,
          explanation="Frame rate that the wall is fed with; empty: the camera's."),
    Field(name="content_fps", label="Content rate", unit="frames/s", part="timing",
          kind=CONTENT_RATE,
          explanation="Rate at which the picture on the wall changes; 0: a still; empty: the"
          " wall's."),
    Field(name="genlock", label="Genlock", part="timing", usual="locked",
          choices={"locked": "locked to one reference", "free": "running free"},
          explanation="Whether camera and wall follow one reference."),
    Field(name="phase_ms", label="Genlock phase", unit="ms", part="timing",
          kind=number("MS", at_least=0, unit="of milliseconds"),
          explanation="From the start of a wall frame to the first row's opening; empty: not"
          " known."),
    Field(name="change_spread_ms", label="Spread of the change", unit="ms", part="timing",
          kind=number("MS", at_least=0, unit="of milliseconds"), usual="0",
          explanation="Time over which the wall's picture changes to the next."),
)

_WALL = (
    Field(name="levels", label="Gray levels", unit="% signal", part="wall", kind=LEVELS,
          usual=",".join(f"{100 * level:g}" for level in DEFAULT_LEVELS),
          explanation="Signal levels that decide, with commas between: those the content uses."),
    Field(name="brightness_pct", label="Brightness", unit="%", part="wall",
          kind=number("PCT", above=0, at_most=100), usual="100",
          explanation="Brightness setting of the wall; dimming may cost gray counts."),
    Field(name="panel_rotation", label="Panels hang", part="wall", usual="0",
          choices={"0": "upright", "90": "turned 90°", "180": "upside down", "270": "turned 270°"},
          explanation="How the panels hang: it decides how scan lines meet the camera's rows."),
)

_METRES = number("M", above=0, unit="of metres")
_LENS = (
    Field(name="focal_mm", label="Focal length", unit="mm", part="lens",
          kind=number("MM", above=0, unit="of millimetres"),
          explanation="Focal length of the lens, as engraved."),
    Field(name="f_number", label="F-number", part="lens", kind=number("N", above=0),
          explanation="Aperture, such as 2.8: it sets how fast focus softens."),
    Field(name="distance_m", label="Wall distance", unit="m", part="lens",
          kind=_METRES, explanation="From the sensor plane to the wall."),
    Field(name="focus_m", label="Focus distance", unit="m", part="lens",
          kind=_METRES,
          explanation="Distance focused on, from the sensor plane; empty: not known."),
    Field(name="yaw_deg", label="Wall turned", unit="°", part="lens", usual="0",
          kind=number("DEG", above=-90, below=90),
          explanation="Turn of the wall about the vertical, against facing the camera."),
    Field(name="tilt_deg", label="Wall leaning", unit="°", part="lens", usual="0",
          kind=number("DEG", above=-90, below=90),
          explanation="Lean of the wall, or tilt of the camera."),
    Field(name="roll_deg", label="Camera rolled", unit="°", part="lens", usual="0",
          kind=number("DEG", at_least=-180, at_most=180),
          explanation="Turn of the camera about its own axis."),
    Field(name="squeeze", label="Squeeze", part="lens", usual="1",
          kind=number("RATIO", above=0),
          explanation="Horizontal squeeze of an anamorphic lens; 1: spherical."),
)

_VIEWER = (
    Field(name="view_heights", label="Viewing distance", unit="picture heights", part="viewer",
          kind=number("HEIGHTS", above=0), usual=f"{_VIEWING.view_heights:g}",
          explanation="How far the viewer sits from the delivered picture."),
    Field(name="flare_nits", label="Viewer's flare", unit="cd/m²", part="viewer",
          kind=number("NITS", at_least=0, unit="of cd/m2"), usual=f"{_VIEWING.flare_nits:g}",
          explanation="Light added to the viewer's black by the room."),
    Field(name="push_stops", label="Push in the grade", unit="stops", part="viewer",
          kind=number("STOPS", at_least=-20, at_most=20), usual=f"{_VIEWING.push_stops:g}",
          explanation="Stops by which the picture may be brightened later."),
    Field(name="grade_contrast", label="Contrast in the grade", part="viewer",
          kind=number("FACTOR", above=0), usual=f"{_VIEWING.grade_contrast:g}",
          explanation="Factor by which the grade multiplies contrast."),
    Field(name="safe_below", label="Safe below", unit="V", part="viewer",
          kind=number("V", above=0), usual=f"{_VIEWING.safe_below:g}",
          explanation="Visibility below which a fault counts as safe; 1 is just seen."),
    Field(name="visible_from", label="Visible from", unit="V", part="viewer",
          kind=number("V", above=0), usual=f"{_VIEWING.visible_from:g}",
          explanation="Visibility from which a fault counts as visible."),
)

_MAP = (
    Field(name="rates", label="Rates to compare", unit="frames/s", part="map", kind=RATES,
          usual="23.976,24,25,29.97,30,48,50,60",
          explanation="Frame rates of the map, with commas between."),
)

_CHANGE = (
    Field(name="to_fps", label="New rate", unit="frames/s", part="change", kind=RATE,
          explanation="Frame rate that the camera goes to; empty: the old one."),
    Field(name="to_shutter", label="New shutter", unit="° or s", part="change", kind=_SHUTTER,
          explanation="An angle or a time; empty: what the camera makes of the old one unasked."),
)

_CARD = (
    Field(name="card_rates", label="Rates on the card", unit="frames/s", part="card", kind=RATES,
          explanation="With commas between, at most 10; empty: the shot's rate, which is always on"
          " it."),
    Field(name="date", label="Date", unit="year-month-day", part="card", kind=CARD_DATE,
          explanation="Date to print, such as 2026-03-02; empty: a blank to fill in."),
    Field(name="card_version", label="Version", part="card", kind=CARD_VERSION,
          explanation="Version of the card to print; empty: a blank to fill in."),
    Field(name="paper", label="Paper", part="card", usual="a4",
          choices={"a4": "A4", "letter": "Letter"},
          explanation="Paper of the PDF and of the picture of it."),
)

_SEEN = (
    Field(name="seen", label="What was seen", part="seen",
          kind=Written("LIST", "observations and their answers with commas between", str),
          explanation="Each observation with yes or no, such as seen_by_eye=no."),
)

_PLAN = (
    Field(name="plan", label="Shoot plan", part="plan",
          kind=Written("NAME", "the name of a shipped plan", str),
          explanation="All set-ups of a shoot with their surfaces, cameras, lamps and rates."),
)

_HZ = number("HZ", above=0, at_most=10_000_000, unit="of hertz")
_ROWS = whole("N", at_least=1, at_most=200_000)
_MEASURE = (
    Field(name="source_hz", label="Light known", unit="Hz", part="measure",
          kind=Written("LIST", f"{_HZ.accepted}, or several with commas between",
                       lambda text: tuple(_HZ.read(part) for part in text.split(","))),
          explanation="Frequency of the light that draws the bands: it gives the readout."),
    Field(name="readout_ms", label="Readout known", unit="ms", part="measure",
          kind=number("MS", above=0, at_most=1000, unit="of milliseconds"),
          explanation="For all rows that are read: it gives the light; empty: the camera's."),
    Field(name="readout_error_ms", label="± of the readout", unit="ms", part="measure", usual="0",
          kind=number("MS", at_least=0, at_most=1000, unit="of milliseconds"),
          explanation="One standard deviation of the readout that is known."),
    Field(name="from_shot", label="Known from the shot", part="measure", usual="camera",
          choices={"camera": "its camera", "wall": "camera and wall", "lamp": "camera and lamps",
                   "all": "camera, wall and lamps", "nothing": "nothing"},
          explanation="What of the shot was in the picture; what is typed has the last word."),
    Field(name="region", label="Region", unit="px", part="measure", kind=REGION,
          explanation="Left, top, width, height; empty: the largest clear part is found."),
    Field(name="along", label="Sensor's rows", part="measure", usual="rows",
          choices={"rows": "lie across the picture", "columns": "stand upright in it"},
          explanation="Upright where the camera was turned by 90 degrees."),
    Field(name="transfer", label="Codes to light", part="measure", usual="assumed",
          choices={"assumed": "not known: sRGB, CSV linear", "srgb": "sRGB", "bt709": "BT.709",
                   "linear": "linear", "gamma": "gamma"},
          explanation="How light became codes: contrast hangs on it, pitch hardly."),
    Field(name="gamma", label="Gamma", part="measure", usual="2.2",
          kind=number("GAMMA", at_least=0.1, at_most=10),
          explanation="Exponent where codes to light is gamma."),
    Field(name="rows_read", label="Rows read", part="measure", kind=_ROWS,
          explanation="Rows that the sensor reads; empty: the camera's, else the picture's."),
    Field(name="rows_kept", label="Rows kept", part="measure", kind=_ROWS,
          explanation="Rows of these that the picture shows, after a crop; empty: all."),
    Field(name="row_scale", label="Sensor rows in a row", part="measure",
          kind=number("ROWS", above=0, at_most=1000),
          explanation="In a row of the picture; instead of the rows kept."),
    Field(name="measured_on", label="Measured on", unit="year-month-day", part="measure",
          kind=CARD_DATE,
          explanation="Date that is noted with the figure in the profile."),
)

FIELDS: Mapping[str, Field] = {
    each.name: each
    for each in (
        *_STAGE, *_TIMING, *_WALL, *_LENS, *_VIEWER, *_MAP, *_CHANGE, *_CARD, *_SEEN, *_PLAN,
        *_MEASURE,
    )
}
"""Every field, in the order of the screen."""
