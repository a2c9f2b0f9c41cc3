"""A safe-settings card in whichever form the ending of a file's name asks for."""

import json

from bandcheck.report.card_page import Paper
from bandcheck.report.card_rows import RateRow, rate_rows
from bandcheck.report.card_sections import sections
from bandcheck.verdict.card_figures import CardFigures
from bandcheck.vision.level import Level, worst_level

__all__ = ["CARD_ENDINGS", "card_file", "card_level", "card_text"]

CARD_ENDINGS = (".pdf", ".png", ".html", ".csv", ".json")


def card_file(figures: CardFigures, *, ending: str, paper: Paper = "a4") -> bytes:
    """A card as a whole file.

    Parameters
    ----------
    figures
        The card.
    ending
        One of `CARD_ENDINGS`.
    paper
        "a4" or "letter"; for PDF, and for PNG, which is a picture of that PDF.

    Returns
    -------
    bytes
        The file; the same for the same card.

    Raises
    ------
    ValueError
        An ending of another kind.
    """
    # Each form's tools are slow to import, and only one is wanted.
    if ending in (".pdf", ".png"):
        from bandcheck.report.card_pdf import card_pdf, card_png

        pdf = card_pdf(figures, paper=paper)
        return pdf if ending == ".pdf" else card_png(pdf)
    if ending == ".html":
        from bandcheck.report.card_html import card_html

        return card_html(figures).encode()
    if ending == ".csv":
        from bandcheck.report.card_csv import card_csv

        return card_csv(figures).encode("utf-8-sig")  # the mark tells spreadsheets the encoding
    if ending == ".json":
        from bandcheck.report.card_json import card_values

        return (json.dumps(card_values(figures), indent=2, allow_nan=False) + "\n").encode()
    raise ValueError(ending)


def card_level(figures: CardFigures) -> Level:
    """Worst level that a card shows beside its rates; a rate that cannot be run is unknown."""
    return worst_level(row.level for row in rate_rows(figures))


def _rate_lines(row: RateRow) -> list[str]:
    if row.refused:
        return [f"{row.fps} frames/s: cannot be run: {row.refused}"]
    note = f" ({row.level_note})" if row.level_note else ""
    phase = f"{row.phase}, {row.phase_note}" if row.phase_note else row.phase
    codes = f" ({row.codes})" if row.codes else ""
    return [
        f"{row.fps} frames/s: dial {row.dial}, {row.level.value}{note}; {row.wanted}",
        f"  shutter may be: {row.allowed}  {row.room}".rstrip(),
        f"  phase {phase}; largest angle {row.clean_angle}",
        f"  lowest wall level {row.lowest}{codes}; roll a test for {row.roll}",
    ]


def card_text(figures: CardFigures) -> str:
    """A card in short, for the screen.

    Parameters
    ----------
    figures
        The card.

    Returns
    -------
    str
        A few lines for each rate, and what voids the card.
    """
    voids = next(part for part in sections(figures) if "voids" in part.title)
    shot = figures.shot
    return "\n".join([
        f"{shot.wall.name}, {shot.camera.name}", "",
        *(line for row in rate_rows(figures) for line in _rate_lines(row)), "",
        f"{voids.title}:", *(f"  {line}" for line in voids.lines), "",
        f"inputs {figures.input_hash}",
    ])
