"""What several pictures say together, and how a picture agrees with the prediction, in words."""

from collections.abc import Sequence

from bandcheck.report.measure_text import figure_text, limit_text, reading_lines
from bandcheck.report.rounding import number_text
from bandcheck.report.verdict_text import wrapped
from bandcheck.verdict.agreement import Agreement, Measured, Reading, Roll

__all__ = ["agreement_text", "levels_text", "roll_text", "turned_text"]


def roll_text(roll: Roll, refined_hz: Measured | None) -> str:
    """How bands moved from one picture to the other."""
    moved = figure_text(roll.cycles, "periods")
    lines = wrapped(
        f"Roll: the bands moved {moved} from the first picture to the second, which is"
        f" {figure_text(roll.difference_hz, 'Hz')} from the nearest whole multiple of"
        f" {number_text(roll.step_hz, decimals=4)} Hz.", "  ", "",
    )
    if refined_hz is not None:
        lines += wrapped(f"With the readout as given: a source of {figure_text(refined_hz, 'Hz')}.")
    else:
        lines += wrapped(
            "Which multiple it is takes a known readout and a pitch to a part of it:"
            " --readout-ms or --camera."
        )
    return "\n".join(lines)


def turned_text(pairs: Sequence[tuple[Measured, Measured, Reading | None]]) -> str:
    """What two pictures say of which the second was taken upside down.

    Parameters
    ----------
    pairs
        For each of the two readings the frequency of bands without the scan's shift and the shift
        [cycles per row], and what follows for readout and source.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    lines = wrapped(
        "Upside down: the wall lights its lines in turn, which shifts the count of bands one way in"
        " the one picture and the other way in the other. Without the shift:", "  ", "",
    )
    for number, (cycles, shift, reading) in enumerate(pairs):
        if cycles.value <= 0:
            continue
        period = Measured(value=1 / cycles.value, uncertainty=cycles.uncertainty / cycles.value**2)
        which = "the shift is the smaller part" if number == 0 else "the shift is the larger part"
        lines += wrapped(
            f"- if {which} ({figure_text(shift, 'bands a row')}): a band every"
            f" {figure_text(period, 'rows')}.", "    ", "  ",
        )
        if reading is not None:
            for line in reading_lines(reading):
                lines += wrapped(line, "    ", "    ")
    return "\n".join(lines)


def levels_text(rows: Sequence[tuple[float, Reading | None, float]]) -> str:
    """Rate of the strongest bands at each gray level.

    Parameters
    ----------
    rows
        Signal level, strongest source (None: no bands) and what would have been seen.

    Returns
    -------
    str
        A line for each level.
    """
    lines = ["Signal     pitch [rows]         contrast          rate of the strongest bands"]
    for level, reading, detectable in rows:
        signal = f"{number_text(100 * level, decimals=1)} %"
        if reading is None:
            lines.append(f"{signal:<11}no bands above {limit_text(detectable)}")
            continue
        refresh = "needs the readout" if reading.source_hz is None else figure_text(
            reading.source_hz, "Hz"
        )
        lines.append(
            f"{signal:<11}{figure_text(reading.source.period_rows, ''):<21}"
            f"{figure_text(reading.source.contrast, '%', scale=100):<18}{refresh}"
        )
    return "\n".join(lines)


_AGREEMENT = {
    "agrees": "Agrees with the prediction",
    "differs": "Does not agree with the prediction",
    "unknown": "Cannot tell whether it agrees with the prediction",
}


def agreement_text(found: Agreement) -> str:
    """Measured against predicted contrast, in a sentence or two."""
    low, high = limit_text(found.predicted_low), limit_text(found.predicted_high)
    predicted = low if low == high else f"{low} to {high}"
    measured = (
        f"none found, anything above {limit_text(found.detectable)} would have been seen"
        if found.measured is None
        else f"measured {figure_text(found.measured, '%', scale=100)}"
    )
    text = f"{_AGREEMENT[found.verdict]}: contrast {predicted} predicted, {measured}."
    if found.predicted_period_rows is not None and found.period_agrees is not None:
        same = "agrees" if found.period_agrees else "does not agree"
        period = figure_text(found.predicted_period_rows, "rows")
        text += f" Predicted pitch {period}: {same}."
    return "\n".join(wrapped(text, "  ", ""))
