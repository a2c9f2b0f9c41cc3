"""Pieces that several screens are made of."""
