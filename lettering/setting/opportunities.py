"""Where a row may end: Unicode line breaking (UAX #14), tailored to lettering.

Tailored, each with its reason:
- none before a dash, spaced or not: a row that opens with a dash reads as a new speaker;
- none after a hyphen inside a word, nor at a slash: stammers (Gr-r-r) and compounds are said in one breath,
  and nothing is hyphenated; U+200B still allows a break there;
- none between a number and its unit;
- none before a mark that a plain space parts from its word, as French sets ! ? ; : and », nor after «;
- a hyphen, an ellipsis or a straight quote that starts a word stays with it.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from uniseg.linebreak import line_break_breakables

UNITS = frozenset(
    ("mm", "cm", "dm", "m", "km", "in", "ft", "yd", "mi", "mg", "g", "kg", "oz", "lb", "ml", "cl", "dl", "l")
    + ("s", "min", "h", "hr", "hrs", "am", "pm", "a.m.", "p.m.", "°C", "°F", "%", "€", "$", "£", "kr", "zł")
)
"""What may follow a number as its unit."""

_NUMBER = re.compile(r"(?:^|.*\s)[€$£]?\d[\d.,:/]*$", re.DOTALL)
_DASHES = "–—―"
_LATIN = "[A-Za-zÀ-ɏ]"
_PLAIN = re.compile(rf"{_LATIN}+ ?")
_SEAM = re.compile(rf"(?:(?<={_LATIN})|(?<={_LATIN}[.,!?])) (?={_LATIN})")
"""A space between plain words: it always allows a break (LB18), and no rule looks across it, so that each
stretch between two such spaces can be looked at alone, which is quick."""


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
    seams = [0, *(space.end() for space in _SEAM.finditer(text)), len(text)]
    free = (a + at for a, b in pairwise(seams) for at in ((0,) if a else ()) + _free(text[a:b]))
    return tuple(at for at in free if not _kept(text[:at], text[at:]))


@lru_cache(maxsize=4096)
def _free(stretch: str) -> tuple[int, ...]:
    """Return where Unicode allows a break inside a stretch of text."""
    if _PLAIN.fullmatch(stretch):
        return ()
    return tuple(at for at, free in enumerate(line_break_breakables(stretch)) if free and at)


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
