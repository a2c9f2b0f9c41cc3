"""Questions about single shots that the agreement of a plan asks, each answered once.

What is asked depends on earlier answers, so that the work is written as generators that yield the
questions they need and go on when those are answered. All of them together are answered in rounds,
on as many cores as there are.
"""

from collections.abc import Callable, Generator, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack
from typing import Any, Literal, NamedTuple, TypeVar

from bandcheck.shoot.shot import Shot
from bandcheck.verdict.plan_ramp import RampFigures, RampQuestion, ramp_figures
from bandcheck.verdict.plan_strip import StripFigures, strip_figures
from bandcheck.verdict.plan_window import (
    Wanted,
    Window,
    refresh_options,
    safe_window,
    safe_within,
    wanted_grade,
)
from bandcheck.verdict.processes import process_pool
from bandcheck.verdict.safe_ranges import Range

__all__ = ["Ledger", "Progress", "Question", "Work", "settled", "together"]

_FEW = 8
"""Questions that are answered before a second process has started: project choice."""

T = TypeVar("T")


class Question(NamedTuple):
    """A shot, and what is asked of it: `within` ranges [s], or about a ramp."""

    kind: Literal["window", "within", "wanted", "refreshes", "ramp", "strip"]
    shot: Shot
    within: tuple[Range, ...] = ()
    ramp: RampQuestion | None = None


Work = Generator[Sequence[Question], None, T]
"""Yields questions, is sent nothing, and returns what it was for."""

Progress = Callable[[Iterable[Any], int], Iterable[Any]]
"""Passes on items, given how many there are, and may show how far it is."""

_ANSWERED_BY: Mapping[str, Callable[[Shot], Any]] = {
    "window": safe_window, "wanted": wanted_grade, "refreshes": refresh_options,
    "strip": strip_figures,
}


def _answer(question: Question) -> Any:
    if question.kind == "within":
        return safe_within(question.shot, question.within)
    if question.ramp is not None:
        return ramp_figures(question.ramp)
    return _ANSWERED_BY[question.kind](question.shot)


def _key(question: Question) -> str:
    # A shot holds mappings, which have no hash; its text tells everything that it holds.
    return f"{question.kind} {question.within} {question.ramp} {question.shot!r}"


class Ledger:
    """Answers that are known.

    Parameters
    ----------
    workers
        Most processes that answer at a time.
    progress
        Shows how far a round of questions is.
    """

    def __init__(self, *, workers: int = 1, progress: Progress | None = None) -> None:
        self._workers = workers
        self._progress = progress
        self._known: dict[str, Any] = {}
        self._pool: ProcessPoolExecutor | None = None
        self._open = ExitStack()

    def __enter__(self) -> "Ledger":
        return self

    def __exit__(self, *error: Any) -> None:
        self._open.__exit__(*error)

    def __len__(self) -> int:
        return len(self._known)

    def window(self, shot: Shot) -> Window:
        """Answer to a question that has been asked: safe exposures near the shot's own."""
        found: Window = self._known[_key(Question("window", shot))]
        return found

    def within(self, question: Question) -> tuple[Range, ...]:
        """Answer to a question that has been asked: safe exposures inside ranges."""
        found: tuple[Range, ...] = self._known[_key(question)]
        return found

    def ramp(self, question: Question) -> RampFigures:
        """Answer to a question that has been asked: what becomes of a ramp."""
        found: RampFigures = self._known[_key(question)]
        return found

    def strip(self, shot: Shot) -> StripFigures | None:
        """Answer to a question that has been asked: figures beside the verdict."""
        found: StripFigures | None = self._known[_key(Question("strip", shot))]
        return found

    def wanted(self, shot: Shot) -> Wanted:
        """Answer to a question that has been asked: the grade of the shot's own setting."""
        found: Wanted = self._known[_key(Question("wanted", shot))]
        return found

    def refreshes(self, shot: Shot) -> tuple[int, ...]:
        """Answer to a question that has been asked: what the wall's refreshes could be."""
        found: tuple[int, ...] = self._known[_key(Question("refreshes", shot))]
        return found

    def ask(self, questions: Iterable[Question]) -> None:
        """Have questions answered; those whose answers are known cost nothing."""
        open_ones = {_key(each): each for each in questions}
        open_ones = {key: each for key, each in open_ones.items() if key not in self._known}
        if not open_ones:
            return
        answers: Iterable[Any] = self._answers(list(open_ones.values()))
        if self._progress is not None:
            answers = self._progress(answers, len(open_ones))
        self._known.update(zip(open_ones, answers, strict=True))

    def _answers(self, questions: Sequence[Question]) -> Iterator[Any]:
        if self._workers < 2 or (self._pool is None and len(questions) < _FEW):
            return map(_answer, questions)
        if self._pool is None:
            self._pool = self._open.enter_context(process_pool(self._workers))
        return self._pool.map(_answer, questions)


def together(works: Sequence[Work[T]]) -> Work[list[T]]:
    """Several pieces of work as one, whose questions come together.

    Parameters
    ----------
    works
        Generators.

    Yields
    ------
    sequence of Question
        What any of them has to have answered.

    Returns
    -------
    list
        What each of them returned, in their order.
    """
    results: dict[int, T] = {}
    asked: dict[int, Sequence[Question]] = dict.fromkeys(range(len(works)), ())
    while asked:
        for place in list(asked):
            try:
                asked[place] = works[place].send(None)
            except StopIteration as end:
                results[place] = end.value
                del asked[place]
        if asked:
            yield [question for questions in asked.values() for question in questions]
    return [results[place] for place in range(len(works))]


def settled(work: Work[T], ledger: Ledger) -> T:
    """Result of a piece of work.

    Parameters
    ----------
    work
        Generator.
    ledger
        Answers its questions.

    Returns
    -------
    object
        What it returned.
    """
    while True:
        try:
            questions = work.send(None)
        except StopIteration as end:
            result: T = end.value
            return result
        ledger.ask(questions)
