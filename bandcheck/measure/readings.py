"""From the bands of a picture and what is known to the figures that people want."""

from bandcheck.measure.figures import Rows, aliases_hz, matched, readout_s, source_hz
from bandcheck.measure.known import Known, Light, picture_scale
from bandcheck.verdict.agreement import BandSource, Measured, PictureBands, Reading

__all__ = ["picture_readings"]


def picture_readings(bands: PictureBands, known: Known) -> tuple[Reading, ...]:
    """Figures of every source in a picture, the one that was asked for first.

    Parameters
    ----------
    bands
        What the picture shows.
    known
        What is known beside it.

    Returns
    -------
    tuple of Reading
        Sources that are matched with a known light first, in the order of the lights; then the
        others, the strongest first.
    """
    rows = picture_scale(known, picture_rows=bands.picture_rows)
    expected = None
    if known.readout is not None:
        expected = known.readout.value / rows.rows_read * rows.sensor_rows
    pairs = matched(
        bands.sources, [each.frequency_hz for each in known.lights],
        expected_cycles_per_hz=expected,
    )
    found = [
        _reading(bands.sources[place], rows, known, known.lights[light]) for light, place in pairs
    ]
    taken = {place for _, place in pairs}
    rest = [each for place, each in enumerate(bands.sources) if place not in taken]
    return (*found, *(_reading(each, rows, known, None) for each in rest))


def _reading(source: BandSource, rows: Rows, known: Known, light: Light | None) -> Reading:
    cycles = source.cycles_per_row
    readout = frequency = line = None
    aliases: tuple[Measured, ...] = ()
    if light is not None:
        readout = readout_s(cycles, light_hz=light.frequency_hz, rows=rows)
        line = Measured(
            value=readout.value / rows.rows_read, uncertainty=readout.uncertainty / rows.rows_read
        )
    if known.readout is not None:
        frequency = source_hz(cycles, readout=known.readout, rows=rows)
        aliases = aliases_hz(cycles, readout=known.readout, rows=rows)
    return Reading(
        source=source, light_name=None if light is None else light.name,
        light_hz=None if light is None else light.frequency_hz, readout_s=readout,
        line_time_s=line, source_hz=frequency, aliases_hz=aliases,
        known_readout_s=known.readout, rows_read=rows.rows_read,
        sensor_rows=rows.sensor_rows,
    )
