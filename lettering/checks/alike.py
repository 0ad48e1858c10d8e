"""Whether the bubbles of one voice look cut from the same paper."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from statistics import median

from lettering.checks.catalogue import finding
from lettering.checks.drawn import DrawnLine
from lettering.checks.finding import Finding
from lettering.geometry.region import Region

LINE_SLACK_MM = 0.02
"""Lines that differ by less look equally thick."""

AIR_SHARE = 0.5
"""How far the least air of a bubble may be off the usual one of its voice, in that (house default)."""

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
        yield from _unlike(f"{voice} bubbles have a line", own, lines_mm, slack=lambda _: LINE_SLACK_MM)
        airs = [_air(line) for line in own]
        yield from _unlike(f"{voice} bubbles have air", own, airs, slack=lambda usual: AIR_SHARE * usual)


def _unlike(
    what: str, lines: Sequence[DrawnLine], sizes: Sequence[float], *, slack: Callable[[float], float]
) -> Iterator[Finding]:
    usual = median(sizes)
    for line, size in zip(lines, sizes, strict=True):
        if abs(size - usual) > slack(usual):
            message = f"{size:.2f} mm here, where {what} of {usual:.2f} mm."
            yield finding("voices-alike", line.where, message, size, usual)


def _air(line: DrawnLine) -> float:
    """Return the least distance from a letter's box to the body, mm."""
    boxes = Region.union(Region.rectangle(glyph.ink) for glyph in line.finished.stack.glyphs)
    return line.body.depth_of(boxes)
