"""The calmest convex outline that keeps between a least and a most air round some ink.

An outline is held by its support function h(φ), how far it reaches in each direction, as a Fourier
series. "At least so much air" is then h >= (that of the ink's hull) + air in every direction, "at most so
much" is the same with <=, and the radius of curvature is h + h'': all linear. The most is measured from the
hull of the ink and its mirror image, upside down: a stack that narrows would drag its body into a bucket,
where a letterer draws an even round and leaves more air beside the short rows. Among all outlines that keep
these the one is taken that departs least from the hand's own idea of round, weighted by how fast its
radius changes: a least-distance programme.

All this happens in a frame stretched so that the ink's box is square. An ellipse is a circle there, and the
support function goes through the stretch unharmed: h(u) of the stretched outline is h(stretched u).
"""

from functools import cache
from itertools import product

import numpy as np

from lettering.bubbles.air import MOST_AIR, SIDE_SHARE
from lettering.bubbles.round import Floats, Round, harmonics
from lettering.bubbles.shortest import shortest
from lettering.errors import LetteringError
from lettering.geometry.contour import Points
from lettering.geometry.hull import hull_of

DIRECTIONS = 40
"""Least number of directions, even in the frame, in which the air is asked for, and as many again even on
paper, and those that the hull's sides face; between them it is measured and corrected afterwards."""

ATTEMPTS = ((12, 1.4), (16, 1.4), (20, 1.4), (24, 1.2), (32, 1.2), (48, 1.0))
"""Highest harmonic and least radius of curvature in airs, tried in turn: nothing pointed. A lens of rows
needs few harmonics; one long row, or a block of equal ones, has corners that need more."""

WIDENED = (1.0, 1.1, 1.25, 2.0, 4.0)
"""By how much the band is widened, in turn, when nothing fits it."""

BENDING = 0.03
"""What falling short of the least radius by all of it counts for in half sizes, when the solver asks which
demand is missed most: reach first, then bends, gets it to the same outline in half the steps."""

SHARPEST = 1e-6
"""Least radius of curvature between the directions asked for, in half sizes: a turn, not a corner."""

FARTHEST = 300.0
"""Departure after which a band counts as too tight; the calmest outline of a hard block departs by 90."""

UPENDED, LOPSIDED = 4.0, 5.0
"""How much dearer a departure is that makes top unlike bottom, or that leans or makes left unlike right: a
bubble sits square however its rows' ascenders happen to fall."""


def calmest(ink: Points, *, air: float, most: float = MOST_AIR, round_: Floats | None = None) -> Round:
    """Return the calmest outline at `air` or more round the convex polygon `ink` (n, 2), mm.

    It reaches at most `most` x `air` beyond the hull of the ink and its mirror image upside down.
    `round_` is the hand's idea of round: cosines 2..4, then sines 2..4, in shares of the half size. When
    no outline of the allowed harmonics fits the band, the band is widened outward until one does. Raises
    LetteringError when the ink is so long and flat that none does.
    """
    centre = (ink.min(axis=0) + ink.max(axis=0)) / 2
    stretch = ink.max(axis=0) - centre + air * 1.2
    wanted = np.zeros(6) if round_ is None else round_
    hulls = ink - centre, _evened(ink - centre)
    for factor, (order, sharpest) in product(WIDENED, ATTEMPTS):
        series = _least(hulls, stretch, (air, most * factor, sharpest * air), order, wanted)
        if series is None:
            continue
        outline = Round(series, stretch, centre)
        if outline.radius(np.linspace(0, 2 * np.pi, 8 * order)).min() > SHARPEST:
            return outline
    raise LetteringError(
        "no bubble fits round a row as long as this.", hint="Part its words, or make two lines of them."
    )


def _evened(ink: Points) -> Points:
    """Return the hull of the ink and its mirror image, (n, 2), about a height of 0."""
    return hull_of(np.concatenate([ink, ink * (1, -1)]))


def _least(
    hulls: tuple[Points, Points],
    stretch: Floats,
    limits: tuple[float, float, float],
    order: int,
    wanted: Floats,
) -> Floats | None:
    """Return the series of least departure inside the band, or none when the band holds none.

    `hulls` are what to keep the air from and what to stay near; `limits` are the air, mm, the most of it as
    a multiple, and the least radius of curvature, mm.
    """
    air, most, sharpest = limits
    ink, evened = hulls
    phi = _directions(evened, stretch, max(DIRECTIONS, 4 * order))
    across, along = np.cos(phi), np.sin(phi)
    scale = np.hypot(across / stretch[0], along / stretch[1])
    normals = np.stack([across / stretch[0], along / stretch[1]]) / scale
    hull = (ink @ normals).max(axis=0)
    least = (hull + air * (1 + SIDE_SHARE * normals[0] ** 2)) * scale
    widest = ((evened @ normals).max(axis=0) + air * max(most, 1 + SIDE_SHARE)) * scale
    # A radius r in the frame is r |stretched tangent| / (turn of the normal on paper) in mm.
    tangents = np.hypot(along * stretch[0], across * stretch[1])
    radius = tangents * stretch.prod() * scale**2 * BENDING / sharpest
    weights, target = _weights(order), np.zeros(1 + 2 * order)
    target[[2, 3, 4, order + 2, order + 3, order + 4]] = wanted
    reach = harmonics(phi, order).T / weights[:, None]
    bend = reach * _bends(order)[:, None] * radius
    columns = np.concatenate([reach, bend], axis=1)
    already = (target * weights) @ columns
    low = np.concatenate([least, np.full(len(phi), BENDING)]) - already
    high = np.concatenate([widest, np.full(len(phi), np.inf)]) - already
    step = shortest(columns, low, high, FARTHEST)
    return None if step is None else step / weights + target


def _directions(hull: Points, stretch: Floats, count: int) -> Floats:
    """Return angles in the frame: even ones, those of normals even on paper, and those of the hull's sides.

    A hull reaches least, for what lies beside it, just where one of its sides faces: there an outline would
    go too far.
    """
    even, paper = _even(count)
    side = np.diff(hull, axis=0, append=hull[:1])
    normals = np.concatenate([paper, side[:, ::-1] * (1, -1)]) * stretch
    return np.concatenate([even, np.arctan2(normals[:, 1], normals[:, 0])])


@cache
def _even(count: int) -> tuple[Floats, Floats]:
    """Return `count` even angles, and as many even directions (count, 2)."""
    even = np.linspace(0, 2 * np.pi, count, endpoint=False)
    # Half a step on, so that no two directions are the same along the axes.
    paper = even + np.pi / count
    return even, np.stack([np.cos(paper), np.sin(paper)], axis=1)


@cache
def _bends(order: int) -> Floats:
    """Return what each harmonic of reach comes to in the radius: itself and its second derivative."""
    n = np.arange(1.0, order + 1)
    return 1 - np.concatenate([[0.0], n, n]) ** 2


@cache
def _weights(order: int) -> Floats:
    """Return what each harmonic costs: how fast it makes the radius change, size and shift nearly free."""
    n = np.arange(2, order + 1)
    change = n * (n**2 - 1.0)
    cosines, sines = np.where(n % 2, LOPSIDED, 1.0), np.where(n % 2, UPENDED, LOPSIDED)
    return np.concatenate([[0.3, 0.3], change * cosines, [0.3], change * sines])
