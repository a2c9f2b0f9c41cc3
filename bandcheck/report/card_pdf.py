"""A card as PDF, and as PNG of that very PDF."""

from io import BytesIO
from typing import Any

from bandcheck.report.card_blocks import (
    head_pieces,
    heading,
    input_pieces,
    section_pieces,
    signature_piece,
)
from bandcheck.report.card_map import LEGEND, map_columns, map_rows
from bandcheck.report.card_marks import text_at
from bandcheck.report.card_page import Draw, Paper, Sheet
from bandcheck.report.card_rows import rate_rows
from bandcheck.report.card_sections import TITLE, input_lines, sections
from bandcheck.report.card_table import map_pieces, rate_heading, rate_pieces
from bandcheck.report.card_type import PLAIN, REPLACEMENT, printable, text_width
from bandcheck.verdict.card_figures import CardFigures

__all__ = ["card_pdf", "card_png"]

_DOTS_PER_INCH = 150



def _stands_for(figures: CardFigures) -> tuple[tuple[str, str], ...]:
    """Label and name of what the card stands for."""
    shot = figures.shot
    named = (("wall", shot.wall.name), ("camera", shot.camera.name))
    lamps = ", ".join(lamp.name for lamp in shot.lamps)
    return (*named, ("lamps", lamps)) if lamps else named


def _marks(figures: CardFigures) -> tuple[str, ...]:
    """Version, date and the beginning of the hash."""
    return (
        f"version {figures.version or '________'}", f"date {figures.date or '______________'}",
        f"inputs {figures.input_hash[:12]}",
    )


def _letters_missing(figures: CardFigures) -> bool:
    names = (name for _, name in _stands_for(figures))
    sources = (line.source for line in input_lines(figures))
    return any(
        REPLACEMENT in printable(text) and REPLACEMENT not in text
        for text in (*names, *sources, figures.version, figures.date)
    )


def _foot(figures: CardFigures, width: float) -> Any:
    def foot(page: int, pages: int) -> Draw:
        def draw(canvas: Any, left: float, base: float) -> None:
            text = f"inputs SHA-256 {figures.input_hash}"
            if _letters_missing(figures):
                text += f"   {REPLACEMENT} a letter that this print has no shape for"
            text_at(canvas, text, left=left, base=base, size=6.6)
            text = f"page {page} of {pages}"
            if pages > 1 and page < pages:
                text += f", signed on page {pages}"
            wide = text_width(text, font=PLAIN, size=7.4)
            text_at(canvas, text, left=left + width - wide, base=base, size=7.4)

        return draw

    return foot


def card_pdf(figures: CardFigures, *, paper: Paper = "a4") -> bytes:
    """A card to print: one page where it fits, else as many as it needs.

    Parameters
    ----------
    figures
        The card.
    paper
        "a4" or "letter".

    Returns
    -------
    bytes
        PDF; the same bytes for the same card.
    """
    sheet = Sheet(paper)
    width = sheet.room_across
    sheet.below(head_pieces(
        title=TITLE, stands_for=_stands_for(figures), marks=_marks(figures), width=width
    ))
    table_head = rate_heading(width)
    sheet.below([table_head, *rate_pieces(rate_rows(figures), width)], again=table_head)
    columns = map_columns(figures)
    if columns:
        title = heading("If another shutter is asked for", width, note=LEGEND)
        head, *rows = map_pieces(columns, map_rows(figures), width)
        sheet.below([title, head, *rows], again=head)
    column = sheet.column_width()
    parts = sections(figures)
    signed = signature_piece(width)
    sheet.beside([
        *(list(section_pieces([part], column)) for part in parts[:-1]),
        list(input_pieces(input_lines(figures), column)),
        list(section_pieces(parts[-1:], column)),
    ], free_below=signed.height)
    sheet.below([signed])
    return sheet.pdf(title=printable(f"{TITLE}: {figures.shot.wall.name}"),
                     foot=_foot(figures, width))


def card_png(pdf: bytes) -> bytes:
    """The pages of a PDF as one picture, one below the other.

    Parameters
    ----------
    pdf
        The file.

    Returns
    -------
    bytes
        PNG, 150 dots an inch.
    """
    import pypdfium2  # type: ignore[import-untyped]
    from PIL import Image

    document = pypdfium2.PdfDocument(pdf)
    try:
        pages = [
            page.render(scale=_DOTS_PER_INCH / 72).to_pil().convert("RGB") for page in document
        ]
    finally:
        document.close()
    whole = Image.new(
        "RGB", (max(page.width for page in pages), sum(page.height for page in pages)), "white"
    )
    top = 0
    for page in pages:
        whole.paste(page, (0, top))
        top += page.height
    content = BytesIO()
    whole.save(content, format="PNG", dpi=(_DOTS_PER_INCH, _DOTS_PER_INCH))
    return content.getvalue()
