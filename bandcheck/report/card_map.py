"""The map of a card: verdicts at other shutter settings, put into words."""

from collections.abc import Sequence
from dataclasses import dataclass

from bandcheck.report.rounding import rate_words, shutter_text, visibility_text
from bandcheck.verdict.card_figures import CardFigures
from bandcheck.verdict.card_shutters import dial_shows_times
from bandcheck.verdict.settings import DialSetting
from bandcheck.vision.level import Level

__all__ = ["LEGEND", "MapCell", "MapRow", "map_columns", "map_rows"]

LEGEND = (
    "Timing alone: visibility V there. Solid frame safe, dashed marginal, filled visible, dotted "
    "unknown"
)


@dataclass(frozen=True, kw_only=True, slots=True)
class MapCell:
    """One cell of the map: its verdict and its number."""

    level: Level
    text: str


@dataclass(frozen=True, kw_only=True, slots=True)
class MapRow:
    """One rate of the map; None where a setting does not exist at that rate."""

    fps: str
    cells: tuple[MapCell | None, ...]


def map_columns(figures: CardFigures) -> tuple[str, ...]:
    """Headings of the map: shutter settings as the dial shows them."""
    in_time = dial_shows_times(figures.shot.camera)
    columns: dict[int, str] = {}
    for rate in figures.rates:
        for place, cell in enumerate(rate.map_cells):
            if cell is not None:
                columns.setdefault(place, shutter_text(
                    exposure_s=cell.exposure_s, fps=rate.fps, in_time=in_time
                ).removesuffix(" s"))
    return tuple(columns[place] for place in sorted(columns))


def _cell(each: DialSetting | None, limits: Sequence[float]) -> MapCell | None:
    if each is None:
        return None
    torn = each.level is Level.VISIBLE and not each.visibility >= limits[1]
    text = "tear" if torn else visibility_text(each.visibility, limits=tuple(limits))
    return MapCell(level=each.level, text=text)


def map_rows(figures: CardFigures) -> tuple[MapRow, ...]:
    """Every rate of the map; rates that cannot be run are left out."""
    viewing = figures.shot.viewing
    limits = (viewing.safe_below, viewing.visible_from)
    used = [
        place for place in range(max(len(each.map_cells) for each in figures.rates))
        if any(each.map_cells and each.map_cells[place] for each in figures.rates)
    ]
    return tuple(
        MapRow(
            fps=rate_words(rate.fps),
            cells=tuple(_cell(rate.map_cells[place], limits) for place in used),
        )
        for rate in figures.rates if rate.map_cells
    )
