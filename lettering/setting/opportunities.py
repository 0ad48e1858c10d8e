"""Where a row may end: Unicode line breaking (UAX #14), tailored to lettering.

Tailored, each with its reason:
- none before a dash, spaced or not: a row that opens with a dash reads as a new speaker;
- none after a hyphen inside a word, nor at a slash: stammers (Gr-r-r) and compounds are said in one breath, and
  nothing is hyphenated; U+200B still allows a break there;
- none between a number and its unit;
- none before a mark that a plain space parts from its word, as French sets ! ? ; : and », nor after «;
- a hyphen, an ellipsis or a straight quote that starts a word stays with it.
"""

import re
from dataclasses import dataclass

from uniseg.linebreak import line_break_breakables

UNITS = frozenset(
    "mm cm dm m km in ft yd mi g kg mg lb oz l ml cl dl s min h hr hrs am pm a.m. p.m. °C °F % € $ £ kr zł".split()
)
"""What may follow a number as its unit."""

_NUMBER = re.compile(r"(?:^|.*\s)[€$£]?\d[\d.,:/]*$", re.DOTALL)
_DASHES = "–—―"


@dataclass(frozen=True, slots=True)
class Piece:
    """Words that stay together: from one place where a row may end to the next."""

    text: str
    """Without the space that parts it from the next."""
    start: int
    """Index of its first character in the line's shown words."""
    spaced: bool
    """Whether a space parts it from the next piece when both stand in one row."""
    forced: bool
    """Whether the row must end after it."""


def pieces(text: str) -> tuple[Piece, ...]:
    """Return the pieces of shown words, in order; U+200B is dropped, for it draws nothing."""
    cuts = [*opportunities(text), len(text)]
    found = []
    for start, end in zip([0, *cuts], cuts, strict=False):
        raw = text[start:end]
        words = raw.rstrip(" \n\u200b")
        if words:
            tail = raw[len(words) :]
            found.append(Piece(words, start, " " in tail, "\n" in tail))
    return tuple(found)


def opportunities(text: str) -> tuple[int, ...]:
    """Return the indices before which a new row may or must begin, rising, ends excluded."""
    allowed = enumerate(line_break_breakables(text))
    return tuple(at for at, free in allowed if free and at and not _kept(text[:at], text[at:]))


def _kept(before: str, after: str) -> bool:
    """Tell whether the tailoring forbids a break that Unicode allows."""
    last = before[-1]
    if last in "\n\u200b":
        return False
    if after[0] in _DASHES or _opens_nothing(before, after):
        return True
    return last in "-‐/" or _parts_number(before, after)


def _opens_nothing(before: str, after: str) -> bool:
    """Tell whether `after` begins with a mark that closes what stands before the space."""
    return before[-1] == " " and re.match(r"[!?;:»…]+(\s|$)|\.{2,}(\s|$)", after) is not None


def _parts_number(before: str, after: str) -> bool:
    unit = re.match(r"[^\s!?,;:”\"’')]+", after)
    if unit is None or before[-1] != " " or not _NUMBER.match(before.rstrip(" ")):
        return False
    return unit[0] in UNITS or unit[0].rstrip(".") in UNITS
