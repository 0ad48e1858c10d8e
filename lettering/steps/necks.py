"""The necks of a finished spread: bubbles of one speaker drawn as one outline."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from lettering.book.line import Voice
from lettering.bubbles.join import lined
from lettering.bubbles.joined import necked
from lettering.checks.finished import FinishedLine
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point
from lettering.geometry.region import Region

LONGEST_X_HEIGHTS = 3.0
"""Longest neck that is drawn, in x-heights: bubbles that were moved farther apart stand by themselves."""


@dataclass(frozen=True, slots=True)
class Partner:
    """A body that may bear a tail, and the voice in which it is drawn."""

    body: Contour
    voice: Voice


def nearest(partners: Sequence[Partner], tip: Point) -> Partner:
    """Return the partner that a tail ending at `tip` springs from."""
    if len(partners) == 1:
        return partners[0]
    return min(partners, key=lambda one: Region.polygon(one.body.flattened()).distance_to(tip))


def necked_lines(lines: Sequence[FinishedLine], *, x_height_mm: float, life: float) -> Iterator[FinishedLine]:
    """Yield the lines; those that necks join all have the outline of the whole, drawn again in one place."""
    for run in _runs(lines, LONGEST_X_HEIGHTS * x_height_mm):
        yield from _joined(run, x_height_mm, life) if len(run) > 1 else run


def _runs(lines: Sequence[FinishedLine], longest: float) -> Iterator[list[FinishedLine]]:
    """Yield the lines in runs that necks join; most run alone."""
    run: list[FinishedLine] = []
    for line in lines:
        if run and not (line.line.joint == "neck" and _within(run[-1], line, longest)):
            yield run
            run = []
        run.append(line)
    if run:
        yield run


def _within(first: FinishedLine, second: FinishedLine, longest: float) -> bool:
    """Tell whether two bubbles lie apart, and no farther than a neck is long."""
    if first.bubble is None or second.bubble is None:
        return False
    areas = [Region.polygon(one.body.flattened()) for one in (first.bubble, second.bubble)]
    return 0 < areas[0].distance(areas[1]) <= longest


def _joined(run: Sequence[FinishedLine], x_height_mm: float, life: float) -> Iterator[FinishedLine]:
    bubbles = [line.bubble for line in run if line.bubble is not None]
    tails = [tail for one in bubbles for tail in one.tails]
    outline = necked([one.body for one in bubbles], tails, x_height_mm=x_height_mm)
    for line, one in zip(run, bubbles, strict=True):
        whole = lined(
            one.body,
            one.tails,
            outline,
            line_mm=one.line_mm,
            voice=run[0].line.voice,
            life=life,
            seed=run[0].line.says,
        )
        yield replace(line, bubble=whole)
