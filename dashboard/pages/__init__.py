"""One folder a screen: what it looks like, and what happens on it."""

from collections.abc import Sequence

from dashboard.pages.card import CARD
from dashboard.pages.measure import MEASURE
from dashboard.pages.on_set import ON_SET
from dashboard.pages.page import Page
from dashboard.pages.plan import PLAN
from dashboard.pages.profiles import PROFILES
from dashboard.pages.seen import SEEN
from dashboard.pages.stage import STAGE

__all__ = ["PAGES", "page_of"]

PAGES: Sequence[Page] = (STAGE, ON_SET, PLAN, SEEN, MEASURE, CARD, PROFILES)
"""Every screen, in the order of the links."""


def page_of(pathname: str | None) -> Page:
    """Screen of an address; the first where there is none of that name."""
    path = (pathname or "/").rstrip("/") or "/"
    return next((each for each in PAGES if each.path == path), PAGES[0])
