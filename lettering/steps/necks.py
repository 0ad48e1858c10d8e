"""The necks of a finished spread: two bubbles of one speaker drawn as one outline."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from lettering.bubbles.bubble import Bubble
from lettering.bubbles.join import lined
from lettering.bubbles.joined import necked
from lettering.checks.finished import FinishedLine
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point
from lettering.geometry.region import Region

LONGEST_X_HEIGHTS = 3.0
"""Longest neck that is drawn, in x-heights: bubbles that were moved farther apart stand by themselves."""


def nearer(own: Contour, partner: Contour | None, tip: Point) -> Contour:
    """Return the body that a tail ending at `tip` springs from."""
    if partner is None:
        return own
    return min((own, partner), key=lambda body: Region.polygon(body.flattened()).distance_to(tip))


def necked_lines(lines: Sequence[FinishedLine], *, x_height_mm: float, life: float) -> Iterator[FinishedLine]:
    """Yield the lines; those that a neck joins both have the outline of the two, drawn twice in one place."""
    changed: dict[int, Bubble] = {}
    for first, second in pairwise(lines):
        if second.line.joint != "neck" or first.bubble is None or second.bubble is None:
            continue
        areas = [Region.polygon(one.body.flattened()) for one in (first.bubble, second.bubble)]
        if 0 < areas[0].distance(areas[1]) <= LONGEST_X_HEIGHTS * x_height_mm:
            both = _joined(first, (first.bubble, second.bubble), x_height_mm, life)
            changed |= dict(zip((first.number, second.number), both, strict=True))
    for line in lines:
        yield replace(line, bubble=changed.get(line.number, line.bubble))


def _joined(
    first: FinishedLine, bubbles: tuple[Bubble, Bubble], x_height_mm: float, life: float
) -> Iterator[Bubble]:
    tails = [tail for one in bubbles for tail in one.tails]
    outline = necked([one.body for one in bubbles], tails, x_height_mm=x_height_mm)
    for one in bubbles:
        yield lined(
            one.body,
            one.tails,
            outline,
            line_mm=one.line_mm,
            voice=first.line.voice,
            life=life,
            seed=first.line.says,
        )
