"""What was measured, in words, in lines of 80 columns."""

import math
from collections.abc import Iterator, Sequence

from bandcheck.report.rounding import number_text
from bandcheck.report.verdict_text import wrapped
from bandcheck.report.wording import CAUTIONS
from bandcheck.verdict.agreement import Measured, PictureBands, Reading

__all__ = ["bands_text", "figure_text", "limit_text", "reading_lines"]

_MOST_DECIMALS = 6
_TRANSFERS = {"srgb": "sRGB", "bt709": "BT.709", "linear": "linear", "gamma": "gamma"}
_LEAST_CLIPPED = 0.002
_SIGMAS = 2.0


def figure_text(figure: Measured, unit: str, *, scale: float = 1.0) -> str:
    """Figure and uncertainty to two digits of the latter, which is never shown as 0.

    Parameters
    ----------
    figure
        Value and standard deviation.
    unit
        Unit after them; empty for none.
    scale
        Factor on both.

    Returns
    -------
    str
        Such as "50.94 ± 0.03 ms".
    """
    value, error = figure.value * scale, figure.uncertainty * scale
    after = f" {unit}" if unit else ""
    if error <= 0:
        return f"{number_text(value, decimals=_MOST_DECIMALS)}{after}"
    decimals = min(_MOST_DECIMALS, max(0, 1 - math.floor(math.log10(error))))
    error = max(error, 10.0**-decimals)
    shown = round(value, decimals) + 0.0  # no "-0.0"
    return f"{shown:.{decimals}f} ± {error:.{decimals}f}{after}"


def _about(bands: PictureBands, reading: Reading | None) -> Iterator[str]:
    """What was looked at, and how it was read."""
    columns, rows = bands.size
    left, top, width, height = bands.region
    if bands.form == "CSV":
        part = "all of them" if height == rows else f"from row {top} on, {height} of them"
        yield f"{bands.name}: {rows} row means, {part}"
    else:
        how = "found; --region x,y,w,h takes another" if bands.region_found else "as given"
        yield f"{bands.name}: {bands.form}, {columns} x {rows}"
        yield f"Region {left},{top},{width},{height} ({how})"
    name = _TRANSFERS[bands.transfer]
    name += f" {bands.gamma:g}" if bands.gamma is not None else ""
    assumed = "" if bands.transfer_given else (
        "; assumed, --transfer says otherwise; contrast hangs on it, pitch hardly"
    )
    yield f"Codes to light: {name}{assumed}"
    if bands.along == "columns":
        yield "The sensor's rows are taken to stand upright in this picture."
    if reading is not None and (reading.readout_s or reading.source_hz):
        yield _rows(reading)


def _rows(reading: Reading) -> str:
    read, scale = reading.rows_read, reading.sensor_rows
    of = "one row" if scale == 1 else f"{number_text(scale, decimals=4)} rows"
    return (
        f"A row of the picture is taken for {of} of the sensor, which reads {read}; --rows-read,"
        " --rows-kept and --row-scale say otherwise."
    )


def _warnings(bands: PictureBands) -> Iterator[str]:
    for share, what in ((bands.clipped_top, "at the top"), (bands.clipped_bottom, "at 0")):
        if share > _LEAST_CLIPPED:
            yield (
                f"{number_text(100 * share, decimals=1)} % of the region's codes stand {what}:"
                " clipped light makes bands look weaker than they are."
            )
    for each in bands.uneven:
        yield (
            f"Something repeats every {number_text(1 / each, decimals=2)} rows but not alike across"
            " the picture: moire or a pattern, not bands of a rolling shutter."
        )
    if bands.form == "JPEG":
        yield (
            "JPEG works in blocks of 8 rows: lines at 8, 4 and 2.67 rows, and weak ones beside a"
            " strong one, are taken for its own."
        )


def _source(bands: PictureBands, reading: Reading, number: int, count: int) -> list[str]:
    source = reading.source
    height = bands.region[3] if bands.along == "rows" else bands.region[2]
    name = f"Bands {number} of {count}" if count > 1 else "Bands"
    waves = height * source.cycles_per_row.value
    lines = ["", f"{name}: every {figure_text(source.period_rows, 'rows')},"
                 f" {number_text(waves, decimals=1)} in the region"]
    contrast = figure_text(source.contrast, "%", scale=100)
    lines += wrapped(f"Contrast {contrast}, (most - least) / (most + least)")
    if len(source.orders) > 1:
        told = ", ".join(map(str, source.orders[1:]))
        lines += wrapped(f"Not a plain wave: harmonics {told} were seen as well.")
    return [*lines, *(line for each in reading_lines(reading) for line in wrapped(each))]


def reading_lines(reading: Reading) -> list[str]:
    """What follows for readout and source, a paragraph each."""
    return [each for each in (_readout(reading), _frequency(reading)) if each]


def _readout(reading: Reading) -> str:
    if reading.readout_s is None or reading.light_hz is None or reading.line_time_s is None:
        return ""
    light = reading.light_hz
    exact = " (taken as exact)" if light.uncertainty == 0 else ""
    name = f"the light of {reading.light_name}," if reading.light_name else "a light of"
    text = (
        f"If {name} {figure_text(light, 'Hz')}{exact} draws them: readout"
        f" {figure_text(reading.readout_s, 'ms', scale=1e3)} for {reading.rows_read} rows, line"
        f" time {figure_text(reading.line_time_s, 'us', scale=1e6)}."
    )
    known = reading.known_readout_s
    if known is None:
        return text
    apart = abs(known.value - reading.readout_s.value)
    both = math.hypot(known.uncertainty, reading.readout_s.uncertainty)
    agrees = "agrees" if apart <= _SIGMAS * both else "does not agree"
    return f"{text} The readout given, {figure_text(known, 'ms', scale=1e3)}, {agrees}."


def _frequency(reading: Reading) -> str:
    if reading.source_hz is None or reading.known_readout_s is None:
        return ""
    others = ", ".join(number_text(each.value, decimals=0) for each in reading.aliases_hz)
    return (
        f"If the readout is {figure_text(reading.known_readout_s, 'ms', scale=1e3)}: a source of"
        f" {figure_text(reading.source_hz, 'Hz')}; {others} Hz would draw the same bands."
    )


def _nothing(bands: PictureBands) -> list[str]:
    limit = limit_text(bands.detectable)
    return ["", *wrapped(
        f"No periodic bands found; anything above {limit} contrast would have been seen (95 times"
        " in 100).", "  ", "",
    ), *wrapped("Bands fewer than 2.5 in the region cannot be told from shading.", "  ", "")]


def limit_text(share: float) -> str:
    """Share as a percentage with two digits."""
    value = 100 * share
    if value <= 0:
        return "0 %"
    if value < 10.0**-_MOST_DECIMALS:
        return f"under {10.0**-_MOST_DECIMALS:.{_MOST_DECIMALS}f} %"
    decimals = min(_MOST_DECIMALS, max(0, 1 - math.floor(math.log10(value))))
    return f"{number_text(value, decimals=decimals)} %"


def bands_text(bands: PictureBands, readings: Sequence[Reading]) -> str:
    """What one picture shows, for people.

    Parameters
    ----------
    bands
        What it shows.
    readings
        Its figures.

    Returns
    -------
    str
        Lines of at most 80 columns; "±" is one standard deviation.
    """
    first = readings[0] if readings else None
    lines = [line for each in _about(bands, first) for line in wrapped(each, "  ", "")]
    for number, reading in enumerate(readings, start=1):
        lines += _source(bands, reading, number, len(readings))
    if not readings:
        lines += _nothing(bands)
    notes = [*_warnings(bands)]
    if readings:
        if first is not None and not (first.readout_s or first.source_hz):
            notes.append(
                "Say what is known and the rest follows: --source-hz, --lamp or --wall with --fps"
                " give the readout, --readout-ms or --camera the source."
            )
        notes += [
            "± is one standard deviation of what the picture's noise does to a figure.",
            "A pattern in what was filmed, or moire, looks like bands in one picture: bands change"
            " with the shutter, a pattern does not.",
            "An LED wall lights its lines in turn, which shifts the count of its bands where rows"
            " see different lines; a second picture with the camera upside down takes the shift out"
            " (--series upside-down).",
        ]
    if notes:
        lines += ["", *(line for each in notes for line in wrapped(each, "    ", "  - "))]
    return "\n".join([*lines, "", *wrapped(CAUTIONS[0], "  ", "")])
