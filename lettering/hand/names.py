"""Glyph names: those every font editor knows, and the hand's further takes."""

import re

from fontTools.agl import UV2AGL, toUnicode

TAKE = ".take"
ASIDE = ".aside"
UNNAMED = "\N{REPLACEMENT CHARACTER}"
"""Stands for what ink draws that the reading does not name (Unicode: a character that is not known)."""
_NUMBERED = re.compile(rf"(.+){re.escape(TAKE)}([1-9][0-9]*)")


def glyph_name(char: str) -> str:
    """Return the usual glyph name of a character or cluster: `a`, `exclam`, `q_uni0302`, `u1F600`.

    Names are those of the Adobe Glyph List, and by its rules (`uniXXXX`, `uXXXXX`, parts joined by `_`)
    for what is not listed.
    """
    return "_".join(_part(ord(point)) for point in char)


def take_name(char: str, number: int) -> str:
    """Return the name of a take: the usual name for number 1, `a.take2` and so on for the others."""
    base = glyph_name(char)
    return base if number == 1 else f"{base}{TAKE}{number}"


def aside_name(char: str, number: int) -> str:
    """Return the name of a drawing that was set aside: `a.aside1`."""
    return f"{glyph_name(char)}{ASIDE}{number}"


def take_number(name: str) -> int:
    """Return which take a glyph name means: 1 for `a`, 2 for `a.take2`."""
    match = _NUMBERED.fullmatch(name)
    return int(match[2]) if match else 1


def named_char(name: str) -> str:
    """Return the character that a glyph name means by the rules of the Adobe Glyph List, or nothing."""
    return str(toUnicode(name))


def _part(point: int) -> str:
    if point in UV2AGL:
        return str(UV2AGL[point])
    return f"uni{point:04X}" if point <= 0xFFFF else f"u{point:04X}"
