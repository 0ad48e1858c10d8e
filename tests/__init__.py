"""Tests, in the same tree as the program."""
