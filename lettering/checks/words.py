"""Whether the lettering says what the book says, in letters that do not run into each other."""

import unicodedata
from collections.abc import Iterator
from itertools import pairwise

from lettering.checks.catalogue import finding
from lettering.checks.drawn import DrawnLine
from lettering.checks.finding import Finding
from lettering.checks.manuscript import edits
from lettering.geometry.region import Region
from lettering.hand.hand import Hand
from lettering.hand.word import pair_takes
from lettering.setting.stack import Row, SetGlyph
from lettering.setting.stand_ins import clusters, lettered, missing
from lettering.setting.words import shown

COLLIDE_SHARE = 0.004
"""Ink that two letters share before they count as colliding, in squared x-heights (house default): 0.06 mm²
at an x-height of 4 mm, about what two strokes share that only just cross."""


def check_words(line: DrawnLine, hand: Hand) -> Iterator[Finding]:
    """Yield words that the rows do not carry, and characters that the hand lacks."""
    wanted = shown(line.finished.line.says).replace("\u200b", "")
    if lacking := missing(wanted, hand):
        message = f"the hand {hand.name} lacks {' '.join(lacking)}. Gather a page that has them."
        yield finding("missing", line.where, message, len(lacking), 0)
    carried = " ".join(row.text for row in line.finished.stack.rows)
    if _plain(carried) != _plain(wanted):
        off = edits(_plain(carried), _plain(wanted))
        yield finding("words", line.where, f"the rows say '{carried}'; the book says '{wanted}'.", off, 0)
        return
    for row in line.finished.stack.rows:
        drawn = "".join(glyph.char for glyph in row.glyphs)
        if drawn != (letters := _letters(row.text, hand)):
            off = edits(drawn, letters)
            yield finding("words", line.where, f"the row '{row.text}' is drawn as '{drawn}'.", off, 0)


def _plain(text: str) -> str:
    """Return `text` with every run of blanks and breaks as one space."""
    return " ".join(unicodedata.normalize("NFC", text).replace("\u200b", "").split())


def _letters(text: str, hand: Hand) -> str:
    """Return what the hand draws for `text`, mark by mark."""
    marks = (c for c in clusters(unicodedata.normalize("NFC", text)) if not c.isspace() and c != "\u200b")
    return "".join("".join(lettered(mark, hand) or (mark,)) for mark in marks)


def check_letters(line: DrawnLine, hand: Hand) -> Iterator[Finding]:
    """Yield letters that run into others, and drawings repeated side by side."""
    stack = line.finished.stack
    most = COLLIDE_SHARE * stack.x_height_mm**2
    pairs = [pair for row in stack.rows for pair in pairwise(row.glyphs)]
    pairs += [(a, b) for upper, lower in pairwise(stack.rows) for a in upper.glyphs for b in lower.glyphs]
    for a, b in pairs:
        if (shared := _shared(a, b)) > most and not _one_drawing(a, b, hand):
            message = f"'{a.char}' and '{b.char}' run into each other."
            yield finding("collide", line.where, message, shared, most, "house default")
    for row in stack.rows:
        yield from _repeated(line, row, hand)


def _one_drawing(a: SetGlyph, b: SetGlyph, hand: Hand) -> bool:
    """Tell whether two letters are a pair that she always draws together."""
    drawn = ((take.name for take in pair.takes) for pair in pair_takes(hand, a.char + b.char))
    return (a.take, b.take) in map(tuple, drawn)


def _shared(a: SetGlyph, b: SetGlyph) -> float:
    """Return the area that the ink of two letters shares, mm²."""
    if not a.ink.overlaps(b.ink):
        return 0.0
    return Region.of_path(a.path).intersection(Region.of_path(b.path)).area


def _repeated(line: DrawnLine, row: Row, hand: Hand) -> Iterator[Finding]:
    for a, b in pairwise(row.glyphs):
        if a.take == b.take and a.char.isalnum() and len(hand.takes.get(a.char, ())) > 1:
            message = f"in '{row.text}' two '{a.char}' are the same drawing."
            yield finding("same-take", line.where, message, 1, 2)
