"""Glyph names, against the Adobe Glyph List as fontTools reads it."""

import pytest
from fontTools.agl import toUnicode

from lettering.hand.names import glyph_name, take_name, take_number


@pytest.mark.parametrize("char", ["a", "Z", "!", "’", "…", "é", "ą", "€", "☃", "q̂", "😀", "ﬁ"])
def test_names_mean_their_characters(char: str) -> None:
    """Every name is read back as its character by the rules of the Adobe Glyph List."""
    assert toUnicode(glyph_name(char)) == char
    assert toUnicode(take_name(char, 3)) == char


def test_take_numbers_are_read_from_names() -> None:
    """The usual name is take 1; another suffix is no take."""
    assert [take_number(name) for name in ("a", "a.take2", "a.take12", "a.alt")] == [1, 2, 12, 1]
