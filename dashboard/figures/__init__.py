"""Figures as pure functions of arrays: nothing in them asks, and nothing in them decides."""
