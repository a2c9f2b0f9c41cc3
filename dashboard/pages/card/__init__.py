"""The safe-settings card: made, looked at and downloaded."""

from dashboard.pages.card.callbacks import register
from dashboard.pages.card.layout import layout
from dashboard.pages.page import Page

__all__ = ["CARD"]

CARD = Page(path="/card", title="Card", name="card", layout=layout, register=register)
