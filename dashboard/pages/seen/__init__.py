"""What is it: from what is seen on set to which fault it is, and what to look at next."""

from dashboard.pages.page import Page
from dashboard.pages.seen.callbacks import register
from dashboard.pages.seen.layout import layout

__all__ = ["SEEN"]

SEEN = Page(path="/seen", title="What is it?", name="seen", layout=layout, register=register)
