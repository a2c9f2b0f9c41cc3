"""What the figures on the page were begun from, and whether they were changed since."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass

from bandcheck.errors import ProfileError
from bandcheck.shoot.profiles import KINDS, KindName
from dashboard.controls.form import shipped_titles
from dashboard.pages.profiles.own_question import chosen_shipped, shipped_text
from dashboard.pages.profiles.sheet import Sheet, sheet_of, sheet_text
from dashboard.state import toml_key

__all__ = [
    "Begun", "begun_told", "empty_sheet", "kind_told", "opened", "own_sheet", "shipped_sheet",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class Begun:
    """Where a sheet comes from.

    Attributes
    ----------
    kind
        What it describes.
    shipped
        Shipped profile that it was begun from; empty if from none.
    text
        TOML that it began with.
    touched
        Whether it holds figures of the user's own.
    """

    kind: KindName
    shipped: str = ""
    text: str = ""
    touched: bool = False

    def data(self) -> dict[str, object]:
        """As a browser keeps it."""
        return asdict(self)

    def words(self) -> str:
        """Where the figures come from, as a sentence."""
        title = shipped_titles(self.kind).get(self.shipped)
        if title is None:
            return "Your own figures." if self.touched else "An empty sheet."
        if self.touched:
            return f"Your own figures, begun from “{title}”."
        return f"The shipped “{title}”, as it is."


def kind_told(data: object) -> KindName:
    """Kind of profile that a browser names; a wall where it names none."""
    return next((kind for kind in KINDS if kind == data), "wall")


def begun_told(data: object) -> Begun:
    """What a browser sends back, of which nothing is taken for granted."""
    told = data if isinstance(data, dict) else {}
    kind, shipped, text = kind_told(told.get("kind")), told.get("shipped"), told.get("text")
    return Begun(
        kind=kind, text=text if isinstance(text, str) else "",
        shipped=next((name for name in shipped_titles(kind) if name == shipped), ""),
        touched=told.get("touched") is True,
    )


def empty_sheet(kind: KindName) -> tuple[Sheet, Begun]:
    """A sheet without figures."""
    sheet = Sheet(kind=kind, figures={}, sources={})
    return sheet, Begun(kind=kind, text=sheet_text(sheet))


def shipped_sheet(kind: KindName, name: str) -> tuple[Sheet, Begun]:
    """Figures of a shipped profile."""
    sheet = sheet_of(shipped_text(kind, name), kind, file=name)
    return sheet, Begun(kind=kind, shipped=name, text=sheet_text(sheet))


def own_sheet(sheet: Sheet) -> tuple[Sheet, Begun]:
    """Figures of the user's own."""
    return sheet, Begun(kind=sheet.kind, text=sheet_text(sheet), touched=True)


def opened(question: Mapping[str, str], kind: KindName) -> tuple[Sheet, Begun, tuple[str, ...]]:
    """Sheet of what the question has: figures of the user's own, or else a shipped profile.

    Parameters
    ----------
    question
        Texts as typed.
    kind
        What is wanted.

    Returns
    -------
    sheet, begun, faults
        An empty sheet where it has none; faults say why figures that it has cannot be shown.
    """
    text = question.get(toml_key(kind))
    shipped = chosen_shipped(question, kind)
    faults: tuple[str, ...] = ()
    if text:
        try:
            return *own_sheet(sheet_of(text, kind, file=kind)), ()
        except ProfileError as error:
            faults = ("the figures in this link cannot be shown:", *error.faults)
    sheet, begun = shipped_sheet(kind, shipped) if shipped else empty_sheet(kind)
    return sheet, begun, faults
