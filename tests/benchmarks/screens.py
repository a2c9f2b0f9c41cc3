"""The server's share of an answer on the main screen: what is left without bandcheck's own work.

Posted as a browser does, to the app without a network; in ratio to a callback that does nothing.
"""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from stopwatch import best_of

from bandcheck.verdict.assess import assess
from dashboard.app import create_app
from dashboard.pages.stage.shutter_rows import map_columns, map_levels, map_rates, map_row
from dashboard.state import asked

sys.path.append(str(Path(__file__).parents[1] / "support"))  # pytest finds it by itself

from dash_posts import callbacks, posted

__all__ = ["screen_figures"]

QUESTION = {
    "wall": "stage-main-2.6", "camera": "cine-a-wide", "shutter": "172.8",
    "lamp": "mains-50-tungsten",
}
DRAWN_MAP = (
    "..map-graph.figure...map-graph.style...map-told.children...map-progress.children.."
)


def screen_figures(*, quick: bool) -> dict[str, dict[str, float]]:
    """Seconds of a whole answer, of bandcheck's share, and the rest in ratio to no work at all."""
    client, times = create_app().server.test_client(), 3 if quick else 10
    every = callbacks(client)
    known = {"question.data": QUESTION, "answer.data": {"search": ""}, "theme.data": "dark"}

    def ask(output: str, **values: Any) -> Any:
        answer = posted(client, every[output], {**known, **values})
        assert answer.status_code == 200, answer.text
        return answer.json

    empty = best_of(20 * times, lambda: ask("map-row.data", **{"map-task.data": None}))
    verdict = best_of(times, lambda: ask("..verdict.children...answer.data.."))
    own = best_of(times, lambda: assess(asked(QUESTION).shot))
    map_s, map_own = _map(ask, times)
    return {
        "screen, a callback that does nothing": {"seconds": empty},
        "screen, verdict": {
            "seconds": verdict, "of_bandcheck": own, "server_times_nothing": (verdict - own) / empty
        },
        "screen, map of shutters": {
            "seconds": map_s, "of_bandcheck": map_own,
            "server_times_nothing": (map_s - map_own) / empty,
        },
    }


def _map(ask: Callable[..., Any], times: int) -> tuple[float, float]:
    """Seconds of a whole map, rate by rate and drawn once, and of its cells alone."""
    read = asked(QUESTION)
    rates = map_rates(read)
    columns = map_columns(read.given, rates)

    def cells() -> list[Any]:
        levels = map_levels(read.shot, "worst")
        return [map_row(columns, index=place, fps=rate, levels=levels)
                for place, rate in enumerate(rates)]

    def whole() -> None:
        rows: list[Any] = [None] * len(rates)
        for step in range(len(rates)):
            task = {"run": 1, "step": step, "level": "worst"}
            got = ask("map-row.data", **{"map-task.data": task})["response"]["map-row"]["data"]
            rows[got["place"]] = got["row"]
        ask(DRAWN_MAP, **{"map-rows.data": {"run": 1, "fps": got["fps"], "rows": rows}})

    return best_of(times, whole), best_of(times, cells)

