"""Whether every line and every stroke is thick enough to print, and rows keep out of each other's way."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lettering.checks.catalogue import finding
from lettering.checks.drawn import DrawnLine
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedSpread
from lettering.geometry.region import Region
from lettering.hand.hand import Hand
from lettering.hand.hands import Hands
from lettering.setting.stack import Row, SetGlyph
from lettering.units import points_to_mm

THINNEST_PT = 0.5
"""Thinner lines may vanish in print."""

CLEAR_STEMS = 1.0
"""A descender nearer to the row below than one stem seems to touch it (house default)."""


def check_lines(line: DrawnLine) -> Iterator[Finding]:
    """Yield a bubble's line, or the line round open letters, that is too thin to print safely."""
    least = points_to_mm(THINNEST_PT)
    bubble, widths = line.finished.bubble, {}
    if bubble is not None and bubble.line_mm > 0:
        # A line that lives is two edges stroked alike: where they fall together only the pen is left.
        widths["the line of the bubble is"] = bubble.pen_mm if bubble.inked else bubble.line_mm
    if line.finished.stack.outline_mm > 0:
        widths["the line round the letters is"] = line.finished.stack.outline_mm
    for what, width in widths.items():
        if width < least:
            yield finding("thin-line", line.where, f"{what} {width:.2f} mm thick.", width, least)


def check_strokes(spreads: Sequence[FinishedSpread], hands: Hands) -> Iterator[Finding]:
    """Yield takes with a stroke too thin to print, each once, where it is first used.

    A stroke is too thin when shaving half the least width off all round breaks the letter apart or leaves
    nothing of a part of it: pointed ends only grow shorter.
    """
    least = points_to_mm(THINNEST_PT)
    seen: set[tuple[int, str, float]] = set()
    for spread in spreads:
        for line in spread.lines:
            hand, size = id(hands.of(line.line)), round(line.stack.x_height_mm, 2)
            for glyph in line.stack.glyphs:
                if line.stack.outline_mm or (hand, glyph.take, size) in seen:
                    continue
                seen.add((hand, glyph.take, size))
                if breaks(glyph, least):
                    where = f"{spread.spread.label}, line {line.number}"
                    thin = thinnest(glyph, least)
                    message = f"'{glyph.char}' ({glyph.take}) has a stroke {thin:.2f} mm thick."
                    yield finding("thin-line", where, message, thin, least)


def breaks(glyph: SetGlyph, least_mm: float) -> bool:
    """Tell whether a letter falls into more parts, or loses one, when its strokes lose `least_mm`."""
    whole = Region.of_path(glyph.path)
    return whole.buffered(-least_mm / 2).parts != whole.parts


def thinnest(glyph: SetGlyph, most_mm: float) -> float:
    """Return the width of a letter's thinnest stroke, to 0.005 mm, where it is less than `most_mm`."""
    low, high = 0.0, most_mm
    while high - low > 0.005:
        middle = (low + high) / 2
        low, high = (low, middle) if breaks(glyph, middle) else (middle, high)
    return low


def check_rows(line: DrawnLine, hand: Hand) -> Iterator[Finding]:
    """Yield the place where two rows come nearest, when they come too near."""
    stack = line.finished.stack
    wanted = CLEAR_STEMS * hand.metrics.stem * stack.x_height_mm / hand.metrics.x_height
    near = [one for rows in pairwise(stack.rows) for one in _near(*rows, wanted)]
    if near:
        clear, upper, lower = min(near, key=lambda one: one[0])
        message = f"'{upper.char}' comes within {clear:.2f} mm of '{lower.char}' in the row below."
        yield finding("rows-near", line.where, message, clear, wanted)


def _near(upper: Row, lower: Row, wanted: float) -> Iterator[tuple[float, SetGlyph, SetGlyph]]:
    """Yield letters of two rows that are nearer than `wanted` and do not overlap, with their distance, mm."""
    for a in upper.glyphs:
        reach = a.ink.inset(-wanted)
        for b in lower.glyphs:
            if reach.overlaps(b.ink):
                clear = Region.of_path(a.path).distance(Region.of_path(b.path))
                if 0 < clear < wanted:
                    yield clear, a, b
