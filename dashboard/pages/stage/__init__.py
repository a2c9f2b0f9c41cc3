"""The main screen: is this setting safe, what may I set instead, what will it look like."""

from dashboard.pages.page import Page
from dashboard.pages.stage.callbacks import register
from dashboard.pages.stage.layout import layout

__all__ = ["STAGE"]

STAGE = Page(path="/", title="Shot", name="stage", layout=layout, register=register)
