"""Measure: a frame grab back into numbers, and its readout into the camera's profile."""

from dashboard.pages.measure.callbacks import register
from dashboard.pages.measure.layout import layout
from dashboard.pages.page import Page

__all__ = ["MEASURE"]

MEASURE = Page(path="/measure", title="Measure", name="measure", layout=layout, register=register)
