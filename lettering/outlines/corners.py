"""Corners: where an edge turns faster than its arms on both sides would lead it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage, special

from lettering.geometry.contour import Points
from lettering.outlines.edge import Edge

SHARP = np.radians(28.0)
"""Least turn of a corner that its arms do not account for: under it a reader sees a bend."""

ARM = 4.0
"""Length of edge on each side from which the corner is judged, px."""

GAP = 1.5
"""Reach of blur to each side of a corner, in standard deviations of the edge's blur."""

GATHERED = 2.3
"""At least one part in so many of a corner's turn is in one place; an arc's turn is spread out."""

LEAST_SUDDEN = np.radians(16.0)
"""Least part of the turn that is in one place, three times what the noise of a usual scan feigns."""

FILLET = 2.2
"""Blur rounds a corner no farther along its arms, in reaches of blur: arms that meet beyond make none."""

DRAWN_BACK = 1.2
"""Blur draws a corner back by this times the cotangent of half its angle, in standard deviations, at most.

For a right angle by closed form 0.77; for a narrow wedge, a strip of which half is covered, 0.68.
"""

NARROW = 0.5
"""Arms of a narrow corner blur into each other as far as this over the sine of half its angle, likewise."""

STIFF = 20.0
"""How much an arm is held straight: noise of 0.05 px beside a bend of 0.03 a px, squared."""

WIDEST_GAP = 3.0
"""No arm is left out farther than this from its corner, in usual gaps."""

LOOSE = 1.0
"""Where the edge turns most suddenly, and where its arms turn most, lie so far apart at most, px."""

APART = 3.5
"""Least distance between two corners along the edge, px."""


@dataclass(frozen=True, slots=True, eq=False)
class Corners:
    """The corners of one edge."""

    index: NDArray[np.intp]
    """Shape (k,), ascending: the point of the edge nearest to each."""
    points: Points
    """Shape (k, 2): where the arms meet, px."""
    gaps: NDArray[np.float64]
    """Shape (k,): length of edge on each side that blur has rounded, not believed, px."""

    @classmethod
    def none(cls) -> "Corners":
        """Return the corners of an edge that has none."""
        return cls(np.zeros(0, dtype=np.intp), np.zeros((0, 2)), np.zeros(0))


def corners_of(edge: Edge, gap: float, sharp: float = SHARP) -> Corners:
    """Return the corners of `edge`; blur rounds `gap` px on each side of a right angle."""
    index, turns = _suspected(edge, gap, sharp)
    for _ in range(2):
        gaps = _gaps(turns, gap)
        points, turns = _met(edge, index, gaps, turns, gap)
    index, off = _nearest(edge, index, points)
    index, which = np.unique(index, return_index=True)
    near = off[which] <= _farthest(turns[which], gap)
    index, which = index[near], which[near]
    alone = _alone(edge, index, off[which])
    return Corners(index[alone], points[which[alone]], gaps[which[alone]])


def _suspected(edge: Edge, gap: float, sharp: float) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Return the points where the edge turns most suddenly, and the turns of its arms there, radians."""
    turn, sudden = unaccounted_turn(edge, gap), sudden_turn(edge, gap / GAP)
    nearby = 2 * max(1, round(LOOSE / edge.step)) + 1
    right, left = (ndimage.maximum_filter1d(side * turn, nearby, mode="wrap") for side in (1, -1))
    turn, sudden = np.where(sudden > 0, right, left), np.abs(sudden)
    sudden = np.where((turn >= sharp) & (sudden >= np.maximum(LEAST_SUDDEN, turn / GATHERED)), sudden, 0.0)
    tallest = ndimage.maximum_filter1d(sudden, 2 * max(1, round(APART / edge.step)) + 1, mode="wrap")
    index = np.flatnonzero((sudden > 0) & (sudden == tallest))
    return index, turn[index]


def _nearest(
    edge: Edge, index: NDArray[np.intp], points: Points
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Return the edge point nearest to each of `points`, near `index`, and how far it lies, px."""
    reach = round(APART / 2 / edge.step)
    around = index[:, None] + np.arange(-reach, reach + 1)
    away = np.linalg.norm(edge.points[around % len(edge.points)] - points[:, None], axis=2)
    best = away.argmin(axis=1)
    return np.take_along_axis(around, best[:, None], 1)[:, 0] % len(edge.points), away.min(axis=1)


def _alone(edge: Edge, index: NDArray[np.intp], off: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Tell which corners stay where two came to lie in one place: of each two the one nearer to the edge."""
    steps = np.diff(index, append=index[:1] + len(edge.points))
    met = (steps * edge.step < LOOSE) & (len(index) > 1)
    farther = off > np.roll(off, -1)
    stays: NDArray[np.bool_] = ~((met & farther) | np.roll(met & ~farther, 1))
    return stays


def _gaps(turns: NDArray[np.float64], gap: float) -> NDArray[np.float64]:
    """Return how far from each corner its arms are not believed, px."""
    narrow = NARROW * (gap / GAP) / np.maximum(np.cos(turns / 2), 1e-3)
    return np.clip(narrow, gap, WIDEST_GAP * gap)


def _farthest(turns: NDArray[np.float64], gap: float) -> NDArray[np.float64]:
    """Return how far each corner may lie from its blurred edge, px.

    A fillet that begins so far from a corner passes it at the distance of the bisector of its circle.
    """
    drawn_back = DRAWN_BACK * (gap / GAP) * np.tan(turns / 2)
    return np.maximum(FILLET * gap * np.tan(turns / 4), np.minimum(drawn_back, 4 * gap))


def unaccounted_turn(edge: Edge, gap: float) -> NDArray[np.float64]:
    """Return for each point, radians, the turn left when both arms are led on to it along their circles."""
    arrive = _extrapolated(edge.points[::-1], edge.step, gap)[::-1] + np.pi
    leave = _extrapolated(edge.points, edge.step, gap)
    turn: NDArray[np.float64] = (leave - arrive + np.pi) % (2 * np.pi) - np.pi
    return turn


def sudden_turn(edge: Edge, spread: float) -> NDArray[np.float64]:
    """Return for each point, radians, how much of the turn round it looks like a corner under blur.

    Least squares of the headings over 3 px each way by an arc (heading in proportion to length) and
    a blurred corner (heading as the integral of a Gaussian of `spread` px).
    """
    ahead = np.roll(edge.points, -1, axis=0) - edge.points
    heading = np.arctan2(ahead[:, 1], ahead[:, 0])
    bends = (np.diff(heading, append=heading[:1]) + np.pi) % (2 * np.pi) - np.pi
    reach = round(3.0 / edge.step)
    s = (np.arange(-reach, reach) + 0.5) * edge.step
    arc, sudden = s, special.ndtr(s / spread) - 0.5
    # Least squares by two vectors, in closed form: the weights that give the second one's share.
    both, arcs = arc @ sudden, arc @ arc
    weights = (sudden * arcs - arc * both) / (arcs * (sudden @ sudden) - both**2)
    # The weights are odd, so that only differences of headings count: bends, summed from the middle.
    tails = np.cumsum(weights[::-1])[::-1][1:]
    # Bend k lies between chords k and k + 1, at point k + 1.
    return np.asarray(np.roll(ndimage.correlate1d(bends, tails, mode="wrap"), 1))


def _extrapolated(points: Points, step: float, gap: float) -> NDArray[np.float64]:
    """Return the heading at each point as the arm ahead of it, taken for a circle, would have it there."""
    start, half = round(gap / step), max(2, round(ARM / 2 / step))
    near = _heading(points, start, half)
    far = _heading(points, start + half, half)
    bend = (far - near + np.pi) % (2 * np.pi) - np.pi
    heading: NDArray[np.float64] = near - bend * (start + half / 2) / half
    return heading


def _heading(points: Points, start: int, count: int) -> NDArray[np.float64]:
    """Return the least-squares heading of the `count` steps of edge that begin `start` steps ahead."""
    weights = np.arange(count + 1) - count / 2
    run = ndimage.correlate1d(points, weights, axis=0, mode="wrap", origin=-((count + 1) // 2))
    return np.roll(np.arctan2(run[:, 1], run[:, 0]), -start)


def _met(
    edge: Edge, index: NDArray[np.intp], gaps: NDArray[np.float64], turns: NDArray[np.float64], usual: float
) -> tuple[Points, NDArray[np.float64]]:
    """Return where the parabolas through both arms of each corner meet, and the turn there, radians."""
    if not len(index):
        return np.zeros((0, 2)), turns
    back, ahead = (_parabolas(edge, index, gaps, sign, usual) for sign in (-1, 1))
    most = np.maximum(2 * gaps, _farthest(turns, usual))[:, None]
    reach = np.zeros((len(index), 2))
    for _ in range(6):
        miss = _on(ahead, reach[:, 1]) - _on(back, reach[:, 0])
        slopes = np.stack([_slope(back, reach[:, 0]), -_slope(ahead, reach[:, 1])], axis=2)
        reach = np.clip(reach + _solved(slopes, miss), -most, most)
    found = (_on(ahead, reach[:, 1]) + _on(back, reach[:, 0])) / 2
    near = np.linalg.norm(found - edge.points[index], axis=1) < most[:, 0]
    into, out = -_slope(back, reach[:, 0]), _slope(ahead, reach[:, 1])
    turned = np.abs(np.arctan2(into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0], (into * out).sum(axis=1)))
    return np.where(near[:, None], found, edge.points[index]), np.where(near, turned, turns)


def _parabolas(
    edge: Edge, index: NDArray[np.intp], gaps: NDArray[np.float64], sign: int, usual: float
) -> NDArray[np.float64]:
    """Return coefficients, shape (k, 3, 2), of a parabola in arc length through one arm of each corner."""
    neighbours = np.diff(np.concatenate([index, index[:1] + len(edge.points)]))
    room = neighbours if sign > 0 else np.roll(neighbours, 1)
    found = []
    for i, space, gap in zip(index, room, gaps, strict=True):
        first = min(round(gap / edge.step), int(space * 0.2))
        last = min(round((2 * gap + ARM - usual) / edge.step), max(first + 3, int(space * 0.45)))
        k = np.arange(first, last + 1)
        powers = (k[:, None] * edge.step) ** np.arange(3)
        arm = edge.points[(i + sign * k) % len(edge.points)]
        known = powers.T @ powers
        known[2, 2] += STIFF
        found.append(np.linalg.solve(known, powers.T @ arm))
    return np.array(found)


def _on(parabolas: NDArray[np.float64], s: NDArray[np.float64]) -> Points:
    s = s[:, None]
    return np.asarray(parabolas[:, 0] + s * parabolas[:, 1] + s * s * parabolas[:, 2])


def _slope(parabolas: NDArray[np.float64], s: NDArray[np.float64]) -> Points:
    return np.asarray(parabolas[:, 1] + 2 * s[:, None] * parabolas[:, 2])


def _solved(matrices: NDArray[np.float64], right: Points) -> Points:
    """Solve 2 x 2 systems; a nearly singular one moves little."""
    ridge = matrices.transpose(0, 2, 1) @ matrices + 1e-3 * np.eye(2)
    return np.asarray(np.linalg.solve(ridge, matrices.transpose(0, 2, 1) @ right[:, :, None])[:, :, 0])
