"""The shoot plan: what suits all in every set-up, what differs from another plan, the card."""

from dashboard.pages.page import Page
from dashboard.pages.plan.callbacks import register
from dashboard.pages.plan.layout import layout

__all__ = ["PLAN"]

PLAN = Page(path="/plan", title="Plan", name="plan", layout=layout, register=register)
