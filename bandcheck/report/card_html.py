"""A card as one HTML page that needs no network: the pocket card, and the whole card below it."""

from base64 import b64encode
from collections.abc import Iterable, Iterator
from hashlib import sha256
from html import escape

from bandcheck.report.card_map import LEGEND, map_columns, map_rows
from bandcheck.report.card_pocket import pocket_html, pocket_script, pocket_style
from bandcheck.report.card_rows import RateRow, rate_rows
from bandcheck.report.card_sections import ROLES, TITLE, input_lines, sections
from bandcheck.verdict.card_figures import CardFigures

__all__ = ["RATE_HEADINGS", "card_html", "html_table", "of_its_own", "rate_cells"]

RATE_HEADINGS = (
    "frames/s", "dial this", "verdict", "shutter may be", "phase without tear",
    "largest angle, no tear", "lowest wall level, 8·10·12 bit", "roll test", "measured",
)


def of_its_own(text: str) -> str:
    """Entry of a security policy that allows one style or script and no other."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


def _cells(tag: str, texts: Iterable[str]) -> str:
    return "".join(f"<{tag}>{text}</{tag}>" for text in texts)


def html_table(headings: Iterable[str], rows: Iterable[str]) -> str:
    """Table that scrolls where a screen is narrow; rows are cells already."""
    head = _cells('th scope="col"', map(escape, headings)).replace("</th scope=\"col\">", "</th>")
    body = "\n".join(f"<tr>{row}</tr>" for row in rows)
    return f'<div class="scroll"><table><tr>{head}</tr>\n{body}</table></div>'


def _tag(level: str, text: str = "") -> str:
    return f'<span class="tag {level}">{escape(text or level.upper())}</span>'


def _with_note(main: str, note: str) -> str:
    return f"{escape(main)}<small>{escape(note)}</small>"


def rate_cells(row: RateRow) -> str:
    """Cells of one rate, escaped."""
    if row.refused:
        return (f'<td class="big">{escape(row.fps)}</td>'
                f'<td colspan="8">cannot be run: {escape(row.refused)}</td>')
    also = f"Also safe: {'; '.join(row.also)}." if row.also else ""
    beside = (f"{row.wanted}.", *row.reasons, also)
    return (
        f'<td class="big">{escape(row.fps)}</td>'
        f'<td class="big">{_with_note(row.dial, row.dial_note)}</td>'
        f"<td>{_tag(row.level.value)}<small>{escape(row.level_note)}</small></td>"
        + _cells("td", (
            _with_note(row.allowed, row.room), _with_note(row.phase, row.phase_note),
            escape(row.clean_angle), _with_note(row.lowest, row.codes), escape(row.roll),
        ))
        + '<td class="blank"></td></tr>'
        + f'<tr><td></td><td colspan="8">{escape(" ".join(filter(None, beside)))}</td>'
    )


def _map(figures: CardFigures) -> str:
    columns = map_columns(figures)
    if not columns:
        return ""
    rows = (
        _cells("td", [f"<b>{escape(row.fps)}</b>", *(
            "—" if cell is None else _tag(cell.level.value, cell.text) for cell in row.cells
        )])
        for row in map_rows(figures)
    )
    return (f"<h3>If another shutter is asked for</h3><p>{LEGEND}</p>"
            + html_table(["frames/s", *columns], rows))


def _beside(figures: CardFigures) -> Iterator[str]:
    for part in sections(figures):
        lines = "".join(f"<li>{escape(line)}</li>" for line in part.lines)
        yield f"<h3>{escape(part.title)}</h3><ul>{lines}</ul>"
    yield "<h3>Inputs and where they come from</h3>"
    yield html_table(("about", "figure", "value", "source", "measured"), (
        _cells("td", map(escape, (line.about, line.what, line.value, line.source)))
        + '<td class="blank"></td>'
        for line in input_lines(figures)
    ))


def _card(figures: CardFigures) -> str:
    shot = figures.shot
    lamps = "".join(f"<li>lamp: <b>{escape(lamp.name)}</b></li>" for lamp in shot.lamps)
    signed = "".join(f"<div>{escape(role)}: name, signature, date</div>" for role in ROLES)
    rates = html_table(RATE_HEADINGS, map(rate_cells, rate_rows(figures)))
    return f"""<article class="card">
<h2>{escape(TITLE)}</h2>
<ul><li>wall: <b>{escape(shot.wall.name)}</b></li><li>camera: <b>{escape(shot.camera.name)}</b></li>
{lamps}<li>version {escape(figures.version or "—")}, date {escape(figures.date or "—")}</li></ul>
{rates}
{_map(figures)}
{"".join(_beside(figures))}
<div class="sign">{signed}</div>
<p class="hash">inputs SHA-256 {escape(figures.input_hash)}</p>
</article>"""


def card_html(figures: CardFigures) -> str:
    """A card as one HTML page.

    Parameters
    ----------
    figures
        The card.

    Returns
    -------
    str
        The page: no request leaves it, nothing but its own script and style is allowed, and
        every text from a profile is escaped.
    """
    style, script = pocket_style(), pocket_script()
    policy = (f"default-src 'none'; style-src {of_its_own(style)}; "
              f"script-src {of_its_own(script)}; base-uri 'none'; form-action 'none'")
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{escape(TITLE)}: {escape(figures.shot.wall.name)}</title>
<style>{style}</style>
</head>
<body>
{pocket_html(figures)}{_card(figures)}
<script>{script}</script>
</body>
</html>
"""
