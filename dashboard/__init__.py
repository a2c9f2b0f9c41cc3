"""Screens for bandcheck: they ask its questions and show its answers, and compute nothing."""
