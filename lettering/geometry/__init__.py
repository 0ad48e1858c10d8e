"""Shapes that know nothing of letters."""
