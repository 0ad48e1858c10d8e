"""Tests of the hand's slip on the light table."""
