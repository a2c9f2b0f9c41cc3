"""The quick screen for the set: the rate or the shutter changes, and somebody waits."""

from dashboard.pages.on_set.callbacks import register
from dashboard.pages.on_set.layout import layout
from dashboard.pages.page import Page

__all__ = ["ON_SET"]

ON_SET = Page(path="/set", title="On set", name="set", layout=layout, register=register)
