"""Whether every tail finds its speaker and disturbs nobody else."""

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from lettering.book.cast import Figure
from lettering.bubbles.bubble import Tail
from lettering.checks.catalogue import finding
from lettering.checks.drawn import FLATNESS_MM, DrawnLine
from lettering.checks.finding import Finding
from lettering.geometry.contour import Points
from lettering.geometry.point import Point, Vector
from lettering.geometry.region import Region

AIM_DEGREES = 10.0
"""A tail that misses the mouth by more than this points at something else (house default)."""

END_SHARE = 0.3
"""The last part of a tail, by which its aim is judged."""

SLACK_MM = 1.0
"""A tip that is nearer to another by less than this is as near to both."""

SLACK_MM2 = 0.05
"""Areas smaller than this are not seen."""


def check_tails(line: DrawnLine, others: Sequence[DrawnLine]) -> Iterator[Finding]:
    """Yield tails of `line` that are missing, aim wrongly or cross what they must not."""
    bubble, speakers = line.finished.bubble, line.speakers
    if bubble is None:
        return
    if line.finished.line.joint == "neck" and not bubble.tails:
        return  # the bubble that it is joined to points for both
    if len(bubble.tails) != len(speakers):
        message = f"{len(speakers)} speak and {len(bubble.tails)} tails point."
        yield finding("tail-missing", line.where, message, len(bubble.tails), len(speakers))
        return
    for tail, area, speaker in zip(bubble.tails, line.tails, speakers, strict=True):
        yield from _aim(line, tail, speaker)
        yield from _nearest(line, tail, speaker)
        yield from _faces(line, area)
        yield from _crossed(line, area, others)


def _aim(line: DrawnLine, tail: Tail, speaker: Figure | None) -> Iterator[Finding]:
    wanted = line.aim(speaker) - tail.tip
    if wanted.length < 1e-6:
        return
    off = _angle(_heading(tail), wanted)
    if off > AIM_DEGREES:
        whom = speaker.who if speaker else "the speaker's edge"
        message = f"the tail misses {whom} by {off:.0f} degrees."
        yield finding("tail-aim", line.where, message, off, AIM_DEGREES)


def _nearest(line: DrawnLine, tail: Tail, speaker: Figure | None) -> Iterator[Finding]:
    """Yield a tail that ends nearer to the head of a character who does not speak here."""
    if speaker is None:
        return
    own = _away(tail.tip, speaker)
    others = [one for one in line.spread.spread.figures if one.who not in line.finished.line.who]
    nearest = min(others, key=lambda one: _away(tail.tip, one), default=None)
    if nearest is not None and (away := _away(tail.tip, nearest)) < own - SLACK_MM:
        message = f"the tail ends {away:.0f} mm from {nearest.who}, and {own:.0f} mm from {speaker.who}."
        yield finding("tail-nearest", line.where, message, away, own)


def _away(tip: Point, figure: Figure) -> float:
    """Return how far a tip is from a figure's head, mm."""
    return (tip - figure.head.nearest(tip)).length


def _heading(tail: Tail) -> Vector:
    """Return the way in which the last part of the drawn tail points."""
    if tail.puffs:
        return tail.tip - tail.puffs[-1].bounds.centre
    corners = tail.outline.flattened(FLATNESS_MM)
    length = (tail.tip - tail.root).length
    reach = np.hypot(*(corners - (tail.tip.x, tail.tip.y)).T)
    start = _middle(corners, reach, END_SHARE * length)
    return tail.tip - start if start else tail.tip - tail.root


def _middle(corners: Points, reach: NDArray[np.float64], at: float) -> Point | None:
    """Return the middle of the two places where the outline, out and back, is `at` from its tip."""
    beyond = reach > at
    cuts = np.flatnonzero(beyond != np.roll(beyond, -1))
    if len(cuts) != 2:
        return None
    after = (cuts + 1) % len(corners)
    share = ((at - reach[cuts]) / (reach[after] - reach[cuts]))[:, None]
    x, y = (corners[cuts] + share * (corners[after] - corners[cuts])).mean(axis=0)
    return Point(float(x), float(y))


def _angle(one: Vector, other: Vector) -> float:
    """Return the angle between two vectors, degrees."""
    cross, dot = one.x * other.y - one.y * other.x, one.x * other.x + one.y * other.y
    return abs(math.degrees(math.atan2(cross, dot)))


def _faces(line: DrawnLine, tail: Region) -> Iterator[Finding]:
    for figure in line.spread.spread.figures:
        if figure.face is not None and tail.overlaps(face := Region.rectangle(figure.face)):
            message = f"the tail touches the face of {figure.who}."
            yield finding("tail-face", line.where, message, -math.sqrt(tail.intersection(face).area), 0.0)


def _crossed(line: DrawnLine, tail: Region, others: Sequence[DrawnLine]) -> Iterator[Finding]:
    speaking = set(line.finished.line.who)
    things = [
        (f"the box of {figure.who}", Region.rectangle(figure.box))
        for figure in line.spread.spread.figures
        if figure.who not in speaking
    ]
    things += [
        (f"the bubble of line {other.number}", other.body) for other in others if not line.necked(other)
    ]
    things += [
        (f"the tail of line {o.number}", tail_) for o in others for tail_ in o.tails if o.number > line.number
    ]
    for what, area in things:
        if (shared := tail.intersection(area).area) > SLACK_MM2:
            yield finding("tail-crosses", line.where, f"the tail crosses {what}.", shared, 0.0)
