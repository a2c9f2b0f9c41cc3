"""What was measured as one object for other programs: unrounded, units in the keys."""

from collections.abc import Sequence

from bandcheck.report.tables import Table
from bandcheck.verdict.agreement import Agreement, Measured, PictureBands, Reading, Roll

__all__ = [
    "agreement_table", "bands_table", "levels_table", "roll_table", "turned_table",
]


def _twin(key: str, figure: Measured | None, scale: float = 1.0) -> Table:
    """A figure and its standard deviation; null where it cannot be had."""
    return {
        key: None if figure is None else figure.value * scale,
        f"{key}_uncertainty": None if figure is None else figure.uncertainty * scale,
    }


def _reading(reading: Reading | None) -> Table:
    source = None if reading is None else reading.source
    aliases = () if reading is None else reading.aliases_hz
    known = reading is not None and reading.known_readout_s is not None
    return {
        **_twin("period_rows", None if source is None else source.period_rows),
        **_twin("contrast", None if source is None else source.contrast),
        **_twin("readout_ms", None if reading is None else reading.readout_s, 1e3),
        **_twin("line_time_us", None if reading is None else reading.line_time_s, 1e6),
        **_twin("source_hz", None if reading is None else reading.source_hz),
        "aliases_hz": [each.value for each in aliases] if known else None,
        "aliases_hz_uncertainty": [each.uncertainty for each in aliases] if known else None,
        **_twin("phase_cycles", None if source is None else source.phase),
        "phase_row": None if source is None else source.middle_row,
        "harmonics": None if source is None else list(source.orders),
        "false_alarm": None if source is None else source.false_alarm,
        "light": None if reading is None or reading.light_hz is None else {
            "name": reading.light_name or None, **_twin("frequency_hz", reading.light_hz),
        },
    }


def bands_table(bands: PictureBands, readings: Sequence[Reading]) -> Table:
    """One picture (schema `bandcheck.measure/1`).

    Parameters
    ----------
    bands
        What it shows.
    readings
        Its figures; the keys at the top are those of the first.

    Returns
    -------
    dict
        Keys and numbers; `sources` has all of them.
    """
    first = readings[0] if readings else None
    return {
        "schema": "bandcheck.measure/1", "file": bands.name, "form": bands.form,
        "columns_px": bands.size[0], "rows_px": bands.size[1], "found": bool(readings),
        **_reading(first),
        "detectable_pct": 100 * bands.detectable,
        "region": list(bands.region), "region_found": bands.region_found, "along": bands.along,
        "transfer": bands.transfer, "gamma": bands.gamma, "transfer_given": bands.transfer_given,
        "clipped_pct": 100 * bands.clipped_top, "black_pct": 100 * bands.clipped_bottom,
        "rows_read": None if first is None else first.rows_read,
        "sensor_rows_per_row": None if first is None else first.sensor_rows,
        "uneven_rows": [1 / each for each in bands.uneven],
        "sources": [_reading(each) for each in readings],
    }


def roll_table(roll: Roll, refined_hz: Measured | None) -> Table:
    """Roll between two pictures."""
    return {
        **_twin("moved_cycles", roll.cycles), **_twin("roll_hz", roll.difference_hz),
        "looks_alike_every_hz": roll.step_hz, **_twin("source_hz", refined_hz),
    }


def agreement_table(found: Agreement) -> Table:
    """Measured against predicted contrast."""
    return {
        "verdict": found.verdict, **_twin("measured_contrast", found.measured),
        "predicted_contrast_low": found.predicted_low,
        "predicted_contrast_high": found.predicted_high,
        **_twin("predicted_period_rows", found.predicted_period_rows),
        "period_agrees": found.period_agrees,
    }


def turned_table(pairs: Sequence[tuple[Measured, Measured, Reading | None]]) -> list[Table]:
    """Both readings of two pictures of which the second was taken upside down."""
    return [
        {
            **_twin("cycles_per_row", cycles), **_twin("shift_cycles_per_row", shift),
            **_twin("readout_ms", None if reading is None else reading.readout_s, 1e3),
            **_twin("source_hz", None if reading is None else reading.source_hz),
        }
        for cycles, shift, reading in pairs
    ]


def levels_table(rows: Sequence[tuple[float, Reading | None, float]]) -> list[Table]:
    """Gray levels with the rate of the strongest bands at each."""
    return [
        {"signal_pct": 100 * level, "found": reading is not None, **_reading(reading),
         "detectable_pct": 100 * detectable}
        for level, reading, detectable in rows
    ]
