"""The screen for profiles: every figure of a wall, a camera or a lamp, and where it is from."""

from dashboard.pages.page import Page
from dashboard.pages.profiles.callbacks import register
from dashboard.pages.profiles.layout import layout

__all__ = ["PROFILES"]

PROFILES = Page(
    path="/profiles", title="Profiles", name="profiles", layout=layout, register=register
)
