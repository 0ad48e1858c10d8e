"""Quotation marks as a language draws them, where the manuscript has straight ones.

Straight quotes are a typewriter's makeshift; a hand letters the marks of its language. Marks that are typed
as such are left as they are.
"""

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Quotes:
    """The quotation marks of one language."""

    outer: tuple[str, str]
    """What opens and what closes a quotation."""
    inner: tuple[str, str]
    """What opens and what closes one inside another."""
    spaced: bool = False
    """Whether a narrow space stands inside the marks (common practice, no source)."""


QUOTES = {
    "de": Quotes(("„", "“"), ("‚", "‘")),
    "en": Quotes(("“", "”"), ("‘", "’")),
    "es": Quotes(("«", "»"), ("“", "”")),
    "fi": Quotes(("”", "”"), ("’", "’")),
    "fr": Quotes(("«", "»"), ("«", "»"), spaced=True),
    "it": Quotes(("«", "»"), ("“", "”")),
    "nl": Quotes(("‘", "’"), ("‘", "’")),
    "pl": Quotes(("„", "”"), ("«", "»")),
    "sv": Quotes(("”", "”"), ("’", "’")),
}
"""By language: the delimiters of Unicode CLDR 42."""

APOSTROPHE = "’"
_STRAIGHT = re.compile(r"[\"']")
_ELISION = re.compile(r"(?:tis|twas|twere|em|cause|til|n|round|\d\ds?)\b", re.IGNORECASE)
"""Words that English shortens at their beginning: what stands before them is an apostrophe."""
_OPENERS = "([{-–—/\u00a0\u202f„“‚‘«"


def quotes(language: str) -> Quotes:
    """Return the marks of a language (BCP 47); those of English where it is not listed."""
    return QUOTES.get(language.lower().split("-")[0], QUOTES["en"])


def quoted(text: str, language: str) -> str:
    """Return `text` with its straight quotes as the language draws them, character for character.

    A straight quote opens at the start of a word and closes at its end; a single one that opens nothing is
    an apostrophe.
    """
    if not _STRAIGHT.search(text):
        return text
    marks = quotes(language)
    drawn = list(text)
    opened: list[tuple[int, str]] = []
    for found in _STRAIGHT.finditer(text):
        at, mark = found.start(), found[0]
        if _opens(text, at, after_opener=bool(opened) and opened[-1][0] == at - 1):
            opened.append((at, mark))
        elif opened and opened[-1][1] == mark:
            start, _ = opened.pop()
            drawn[start], drawn[at] = marks.inner if mark == "'" else marks.outer
        elif mark == "'":
            drawn[at] = APOSTROPHE
        else:
            drawn[at] = marks.outer[1]
    for start, mark in opened:
        drawn[start] = APOSTROPHE if mark == "'" else marks.outer[0]
    return "".join(drawn)


def _opens(text: str, at: int, *, after_opener: bool) -> bool:
    """Tell whether a quote at index `at` stands before a word and after none."""
    before, after = text[at - 1 : at], text[at + 1 : at + 2]
    if not after.strip() or (text[at] == "'" and _ELISION.match(text, at + 1)):
        return False
    return not before or before.isspace() or before in _OPENERS or after_opener
