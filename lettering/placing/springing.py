"""The tails that the candidates of a line would have, each springing from the body that bears it."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lettering.bubbles.axis import axis_to
from lettering.geometry.contour import Points
from lettering.geometry.support import reach
from lettering.placing.candidates import Candidates
from lettering.placing.placement import Shape, SpreadToPlace
from lettering.placing.tails import Tails, tails

CORNERS = 32
"""Corners of a body while tails are tried on it: of a round of 20 mm they miss 0.1 mm."""

EVERY = 10_000
"""More corners than any body has: chosen tails are drawn from all of them."""


def with_tails(spread: SpreadToPlace, found: Candidates, corners: int = CORNERS) -> Candidates:
    """Return the candidates with the tails they would have, from bodies of at most so many corners."""
    speakers = range(len(found.line.speakers))
    return _with(spread, found, [_tails_to(spread, found, k, corners) for k in speakers])


def ending_at(spread: SpreadToPlace, found: Candidates, tips: Sequence[Points]) -> Candidates:
    """Return the candidates with their tails drawn to `tips` instead: for each speaker (n, 2), mm."""
    return _with(spread, found, [_ending_at(found, k, tip) for k, tip in enumerate(tips)])


def _with(spread: SpreadToPlace, found: Candidates, own: Sequence[Tails]) -> Candidates:
    hulls = [reach(tail.hull(spread.x_height_mm)) for tail in own]
    return replace(found, tails=tuple(own), tail_hulls=np.stack(hulls) if hulls else found.tail_hulls)


def _ending_at(found: Candidates, speaker: int, tip: Points) -> Tails:
    """Return the tails of all candidates that end at `tip` (n, 2), each from the nearest body bearing one."""
    all_ = Tails.empty(len(found))
    for index in np.unique(found.shape):
        here = np.flatnonzero(found.shape == index)
        step, target = found.centre[here], found.tails[speaker].target[here]
        offered = []
        for part, body in _bearing(found.line.shapes[index], speaker):
            axis = axis_to(thinned(body), target - step, tip[here] - step)
            whose = np.full(len(here), part)
            offered.append(Tails(axis.root + step, axis.elbow + step, tip[here], target, whose))
        all_.put(here, _least(offered, [tail.length for tail in offered]))
    return all_


def _tails_to(spread: SpreadToPlace, found: Candidates, speaker: int, corners: int) -> Tails:
    """Return the tails of all candidates toward one speaker, each from the body nearest to the mouth."""
    all_ = Tails.empty(len(found))
    whom = found.line.speakers[speaker]
    for index in np.unique(found.shape):
        here = np.flatnonzero(found.shape == index)
        offered = []
        for part, body in _bearing(found.line.shapes[index], speaker):
            outline = thinned(body, corners)
            own = tails(outline, found.centre[here], whom, spread.frame, spread.x_height_mm)
            offered.append(own.borne_by(part))
        all_.put(here, _least(offered, [tail.way for tail in offered]))
    return all_


def _bearing(shape: Shape, speaker: int) -> list[tuple[int, Points]]:
    """Return the bodies that may bear the tail to a speaker, each with its index among the shape's parts."""
    if not shape.parts:
        return [(0, shape.body)]
    return [(part, shape.parts[part]) for part in shape.springs[speaker]]


def _least(offered: Sequence[Tails], ways: Sequence[NDArray[np.float64]]) -> Tails:
    """Return for each candidate the offered tail with the least way."""
    if len(offered) == 1:
        return offered[0]
    best = Tails.empty(len(ways[0]))
    nearest = np.argmin(ways, axis=0)
    for k, one in enumerate(offered):
        chosen = np.flatnonzero(nearest == k)
        best.put(chosen, one.only(chosen))
    return best


def thinned(body: Points, corners: int = CORNERS) -> Points:
    """Return at most `corners` of the corners of a body."""
    if len(body) <= corners:
        return body
    return body[np.arange(corners) * len(body) // corners]
