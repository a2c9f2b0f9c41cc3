"""The card of a plan in whichever form the ending of a file's name asks for."""

import csv
import json
import math
from collections.abc import Iterator, Mapping, Sequence
from html import escape
from io import StringIO
from typing import Any

from bandcheck.report.card_csv import harmless, rate_items
from bandcheck.report.card_html import RATE_HEADINGS, html_table, of_its_own, rate_cells
from bandcheck.report.card_page import Paper
from bandcheck.report.card_pocket import pocket_style
from bandcheck.report.card_sections import ROLES
from bandcheck.report.plan_card_rows import (
    PLAN_TITLE,
    plan_inputs,
    plan_sections,
    plan_strips,
)
from bandcheck.report.plan_table import plan_json
from bandcheck.verdict.plan_card import PlanCard

__all__ = ["PLAN_CARD_SCHEMA", "plan_card_file", "plan_card_values"]

PLAN_CARD_SCHEMA = "bandcheck.plan_card/1"

_HEADINGS = ("part", "set-up", "rate", "item", "value", "source", "measured")


def plan_card_file(card: PlanCard, *, ending: str, paper: Paper = "a4") -> bytes:
    """The card of a plan as a whole file.

    Parameters
    ----------
    card
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
    if ending in (".pdf", ".png"):
        from bandcheck.report.card_pdf import card_png
        from bandcheck.report.plan_card_pdf import plan_card_pdf

        pdf = plan_card_pdf(card, paper=paper)
        return pdf if ending == ".pdf" else card_png(pdf)
    if ending == ".html":
        return _html(card).encode()
    if ending == ".csv":
        return _csv(card).encode("utf-8-sig")  # the mark tells spreadsheets the encoding
    if ending == ".json":
        return (json.dumps(plan_card_values(card), indent=2, allow_nan=False) + "\n").encode()
    raise ValueError(ending)


def plan_card_values(card: PlanCard) -> dict[str, Any]:
    """The card of a plan as plain values (schema `bandcheck.plan_card/1`), unrounded."""
    values: dict[str, Any] = _plain({
        "schema": PLAN_CARD_SCHEMA, "version": card.version, "date": card.date,
        "input_hash": card.input_hash, "level": card.level.value,
        "agreement": plan_json(card.agreement),
        "sections": [
            {"title": each.title, "lines": each.lines} for each in plan_sections(card)
        ],
        "inputs": [
            {"about": each.about, "what": each.what, "value": each.value, "source": each.source,
             "measured": None}
            for each in plan_inputs(card)
        ],
        "question": card.question,
    })
    return values


def _plain(value: Any) -> Any:
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(each) for each in value]
    return value


def _rows(card: PlanCard) -> Iterator[tuple[str, ...]]:
    for item, value in (("shoot", card.plan.name), ("version", card.version),
                        ("date", card.date), ("inputs SHA-256", card.input_hash)):
        yield "card", "", "", item, value, ""
    for strip in plan_strips(card):
        yield "set-up", strip.name, "", "who sees what", strip.seen, ""
        for row in strip.rows:
            for item, value in rate_items(row):
                yield "rate", strip.name, row.fps, item, value, ""
        for line in strip.lines:
            yield "set-up", strip.name, "", "to be known", line, ""
    for each in plan_inputs(card):
        yield "input", "", "", f"{each.about}: {each.what}", each.value, each.source
    for section in plan_sections(card):
        for line in section.lines:
            yield section.title, "", "", "", line, ""
    for role in ROLES:
        yield "agreed", "", "", f"{role}: name, signature, date", "", ""


def _csv(card: PlanCard) -> str:
    content = StringIO()
    writer = csv.writer(content, lineterminator="\r\n")
    writer.writerow(_HEADINGS)
    for row in _rows(card):
        writer.writerow([harmless(each) for each in (*row, "")])
    return content.getvalue()


def _html_strips(card: PlanCard) -> Iterator[str]:
    for strip in plan_strips(card):
        lines = "".join(f"<li>{escape(line)}</li>" for line in strip.lines)
        yield (f"<h3>{escape(strip.name)}</h3><p>{escape(strip.seen)}</p>"
               + html_table(RATE_HEADINGS, map(rate_cells, strip.rows))
               + (f"<ul>{lines}</ul>" if lines else ""))
    for part in plan_sections(card):
        lines = "".join(f"<li>{escape(line)}</li>" for line in part.lines)
        yield f"<h3>{escape(part.title)}</h3><ul>{lines}</ul>"


def _html_inputs(card: PlanCard) -> str:
    return html_table(("about", "figure", "value", "source", "measured"), (
        "".join(f"<td>{escape(text)}</td>" for text in (
            line.about, line.what, line.value, line.source
        )) + '<td class="blank"></td>'
        for line in plan_inputs(card)
    ))


def _html(card: PlanCard) -> str:
    """One page that needs no network, and allows nothing but its own style."""
    style, title = pocket_style(), f"{PLAN_TITLE}: {card.plan.name}"
    policy = (f"default-src 'none'; style-src {of_its_own(style)}; base-uri 'none'; "
              "form-action 'none'")
    signed = "".join(f"<div>{escape(role)}: name, signature, date</div>" for role in ROLES)
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{escape(title)}</title>
<style>{style}</style>
</head>
<body>
<article class="card">
<h2>{escape(title)}</h2>
<p>version {escape(card.version or "—")}, date {escape(card.date or "—")}</p>
{"".join(_html_strips(card))}
<h3>Inputs and where they come from</h3>
{_html_inputs(card)}
<div class="sign">{signed}</div>
<p class="hash">inputs SHA-256 {escape(card.input_hash)}</p>
</article>
</body>
</html>
"""
