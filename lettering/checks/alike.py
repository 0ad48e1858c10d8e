"""Whether the bubbles of one voice look cut from the same paper."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from statistics import median

from lettering.checks.catalogue import finding
from lettering.checks.drawn import DrawnLine
from lettering.checks.finding import Finding
from lettering.geometry.region import Region

LINE_SLACK_MM = 0.02
"""Lines that differ by less look equally thick."""

AIR_SHARE = 0.2
"""How far the least air of a bubble may be off the usual one of its like, in that (house default)."""

LIKE_SIZE = 1.6
"""Bubbles whose areas differ by a factor less than this are of like size (house default)."""

LONE = 2.0
"""Ink narrower than so many times its air leaves the body no choice of air (house default)."""

FEWEST = 3
"""Bubbles of a voice below which none of them is the usual one."""


def check_alike(lines: Sequence[DrawnLine]) -> Iterator[Finding]:
    """Yield bubbles whose line or air is not that of the other bubbles of their voice, over a whole book."""
    voices: dict[str, list[DrawnLine]] = defaultdict(list)
    for line in lines:
        if line.finished.bubble is not None:
            voices[line.finished.line.voice].append(line)
    for voice, own in voices.items():
        if len(own) < FEWEST:
            continue
        lines_mm = [line.finished.bubble.line_mm if line.finished.bubble else 0.0 for line in own]
        yield from _unlike(f"{voice} bubbles have a line", own, lines_mm)
        yield from _airs(voice, own)


def _airs(voice: str, own: Sequence[DrawnLine]) -> Iterator[Finding]:
    """Yield bubbles that have other air than those of like size."""
    judged = [line for line in own if not _lone(line)]
    measured = [(line.body.area, _air(line)) for line in judged]
    for line, (area, air) in zip(judged, measured, strict=True):
        like = [other for size, other in measured if area / LIKE_SIZE < size < area * LIKE_SIZE]
        usual = median(like)
        if len(like) >= FEWEST and abs(air - usual) > AIR_SHARE * usual:
            message = f"{air:.2f} mm of air here, where {voice} bubbles of like size have {usual:.2f} mm."
            yield finding("voices-alike", line.where, message, air, usual)


def _lone(line: DrawnLine) -> bool:
    """Tell whether a line is so short that its body is round for roundness' sake: "!" beside "?!"."""
    return line.ink.width < LONE * _air(line)


def _unlike(what: str, lines: Sequence[DrawnLine], sizes: Sequence[float]) -> Iterator[Finding]:
    usual = median(sizes)
    for line, size in zip(lines, sizes, strict=True):
        if abs(size - usual) > LINE_SLACK_MM:
            message = f"{size:.2f} mm here, where {what} of {usual:.2f} mm."
            yield finding("voices-alike", line.where, message, size, usual)


def _air(line: DrawnLine) -> float:
    """Return the least distance from a letter's box to the body, mm."""
    boxes = Region.union(Region.rectangle(glyph.ink) for glyph in line.finished.stack.glyphs)
    return line.body.depth_of(boxes)
