"""A file that was measured: its bands, their figures, and whether they are as predicted."""

from dataclasses import dataclass

from bandcheck.measure.picture_bands import picture_bands
from bandcheck.measure.prediction import predicted_agreement
from bandcheck.measure.readings import picture_readings
from bandcheck.verdict.agreement import Agreement, PictureBands, Reading
from dashboard.pages.measure.asked_measure import AskedMeasure

__all__ = ["LARGEST_FILE_BYTES", "LARGEST_PICTURE_PIXELS", "MeasuredFile", "measured_file"]

LARGEST_FILE_BYTES = 64 * 1024 * 1024
"""Largest file that a browser may send: project choice, 24 megapixels as PNG and room above."""

LARGEST_PICTURE_PIXELS = 64_000_000
"""Largest picture that is decoded for a browser: project choice, above a 60-megapixel sensor."""


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class MeasuredFile:
    """What a file shows.

    Attributes
    ----------
    bands
        Its bands.
    readings
        Their figures, those of the source that was asked for first.
    agreement
        Against the prediction; None where nothing is to be compared with.
    """

    bands: PictureBands
    readings: tuple[Reading, ...]
    agreement: Agreement | None


def measured_file(content: bytes, *, name: str, asked: AskedMeasure) -> MeasuredFile:
    """Measure a file as `bandcheck measure` does.

    Parameters
    ----------
    content
        The file, whole.
    name
        Its name, for messages.
    asked
        What to measure with; without errors.

    Returns
    -------
    MeasuredFile
        Figures, unrounded.

    Raises
    ------
    ProfileError
        The file cannot be measured.
    OutOfRangeError
        A region or a row count that does not fit it.
    """
    bands = picture_bands(
        content, name=name, region=asked.region, along=asked.along, transfer=asked.transfer,
        gamma=asked.gamma, largest_bytes=LARGEST_FILE_BYTES, largest_pixels=LARGEST_PICTURE_PIXELS,
    )
    readings = picture_readings(bands, asked.known)
    agreement = None
    if asked.shot is not None:
        agreement = predicted_agreement(asked.shot, bands, readings[0] if readings else None)
    return MeasuredFile(bands=bands, readings=readings, agreement=agreement)
