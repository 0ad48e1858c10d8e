"""Cubic pieces through samples of a curve, their handles along given tangents.

The handles are found by least squares, the samples being assigned to the piece anew by Newton's step between
rounds, after P. J. Schneider, "An Algorithm for Automatically Fitting Digitized Curves", Graphics Gems, 1990.
A point is one complex number here: scalar products are real parts.
"""

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.compiled import compiled
from lettering.geometry.contour import Points

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]

ROUNDS = 4
"""Newton rounds between least squares; more move a handle by less than a hundredth of the tolerance."""

RING_ROUNDS = 6
"""Newton rounds, at most, for a stretch of a ring: they end when it is close enough."""

HOPELESS = 6.0
"""A stretch whose piece strays by so many tolerances will not come within one in later rounds."""

SAMPLES = 9
"""Points of a stretch of a ring that its piece is fitted to."""

BETWEEN = 0.88
"""How much of the tolerance the samples may use up: between them a piece strays a little farther."""

SHORT = 0.2
"""Least length of a handle in chords; an arc's are a third, and shorter ones turn hard at the joint."""

DEGENERATE = 1e-12
"""Share of a least-squares determinant under which the two tangents are one."""


def fit_pieces(
    samples: Floats, leaving: Points, arriving: Points, rounds: int = ROUNDS
) -> tuple[Floats, Floats]:
    """Return one cubic for each row of samples, shape (k, 4, 2), and how far its samples stray, shape (k,).

    `samples` has shape (k, m, 2), m >= 3, first and last met exactly; `leaving` and `arriving` (k, 2) are
    the unit tangents there, both in the direction of travel.
    """
    off = np.empty(len(samples))
    controls = np.empty((len(samples), 4), dtype=np.complex128)
    _fit_all(_complex(samples), _complex(leaving), _complex(arriving), rounds, controls, off)
    return np.stack([controls.real, controls.imag], axis=2), off


def few_pieces(ring: Points, along: Points, tolerance: float, longest: int) -> Floats:
    """Return the fewest calm pieces, shape (k, 4, 2), that follow a closed convex curve from knot to knot.

    `ring` (f * knots, 2) are points of the curve, every f-th a knot; `along` (knots, 2) the unit tangents at
    the knots. A piece spans `longest` knots at most. A calm piece turns one way only, as its handles do, and
    has none that is short; where not even one step is within `tolerance` or calm, a piece spans that step.
    """
    pieces = np.empty((len(along), 4), dtype=np.complex128)
    count = _few(_complex(ring), _complex(along), tolerance * BETWEEN, longest, pieces)
    return np.stack([pieces[:count].real, pieces[:count].imag], axis=2)


def calm(pieces: Floats) -> NDArray[np.bool_]:
    """Tell which of `pieces` (k, 4, 2) turn one way only and have no short handle."""
    tells = np.empty(len(pieces), dtype=np.bool_)
    _calm_all(_complex(pieces), tells)
    return tells


def _complex(xy: Floats) -> Complex:
    z: Complex = np.ascontiguousarray(xy).view(np.complex128)[..., 0]
    return z


@compiled
def _fit_all(z: Complex, out: Complex, into: Complex, rounds: int, controls: Complex, off: Floats) -> None:
    for i in range(len(z)):
        piece, off[i] = _fitted(z[i], out[i], into[i], rounds, 0.0)
        for k in range(4):
            controls[i, k] = piece[k]


@compiled
def _calm_all(pieces: Complex, tells: NDArray[np.bool_]) -> None:
    for i in range(len(pieces)):
        tells[i] = _calm(pieces[i])


@compiled
def _few(ring: Complex, along: Complex, tolerance: float, longest: int, pieces: Complex) -> int:
    """Fill in the pieces of the way round that has the fewest, the last with most room; return how many."""
    knots = len(along)
    reach = _reaches(ring, along, tolerance, longest)
    fewest, room, best = knots + 1, 0, 0
    for start in range(knots):
        at, count = start, 0
        while at < start + knots:
            at, count = at + reach[at % knots], count + 1
        if count < fewest or (count == fewest and at - start > room):
            fewest, room, best = count, at - start, start
    at = best
    for i in range(fewest):
        steps = min(reach[at % knots], best + knots - at)
        piece, _ = _spanning(ring, along, at % knots, steps, tolerance)
        for k in range(4):
            pieces[i, k] = piece[k]
        at += steps
    return fewest


@compiled
def _reaches(ring: Complex, along: Complex, tolerance: float, longest: int) -> NDArray[np.int64]:
    """Return how many knots a piece may span from each."""
    found = np.ones(len(along), np.int64)
    reach = 1
    for knot in range(len(along)):
        # One knot on, a piece to where the last one ended mostly fits, and one that reaches further may.
        reach = max(reach - 1, 1)
        while reach > 1 and not _fits(ring, along, knot, reach, tolerance):
            reach -= 1
        while reach < longest and _fits(ring, along, knot, reach + 1, tolerance):
            reach += 1
        found[knot] = reach
    return found


@compiled
def _fits(ring: Complex, along: Complex, knot: int, steps: int, tolerance: float) -> bool:
    piece, off = _spanning(ring, along, knot, steps, tolerance)
    return off <= tolerance and _calm(piece)


@compiled
def _spanning(
    ring: Complex, along: Complex, knot: int, steps: int, tolerance: float
) -> tuple[Complex, float]:
    """Return the piece over so many steps from a knot, and how far it strays."""
    fine = len(ring) // len(along)
    z = np.empty(SAMPLES, dtype=np.complex128)
    for i in range(SAMPLES):
        z[i] = ring[(knot * fine + steps * fine * i // (SAMPLES - 1)) % len(ring)]
    return _fitted(z, along[knot], along[(knot + steps) % len(along)], RING_ROUNDS, tolerance)


@compiled
def _fitted(z: Complex, out: complex, into: complex, rounds: int, enough: float) -> tuple[Complex, float]:
    """Return the controls (4,) of the piece that comes closest to `z`, and how far it strays from it."""
    t = np.zeros(len(z))
    for i in range(1, len(z)):
        t[i] = t[i - 1] + abs(z[i] - z[i - 1])
    t /= t[-1]
    piece, off = np.empty(4, dtype=np.complex128), np.inf
    for _ in range(rounds):
        _least_squares(z, out, into, t, piece)
        _nearer(piece, z, t)
        off = 0.0
        for i in range(len(z)):
            off = max(off, abs(_on(piece, t[i])[0] - z[i]))
        if off <= enough or off > HOPELESS * enough > 0:
            break
    return piece, off


@compiled
def _least_squares(z: Complex, out: complex, into: complex, t: Floats, piece: Complex) -> None:
    start, end = z[0], z[-1]
    aa = bb = ab = 0.0
    on_a = on_b = 0j
    for i in range(len(z)):
        s = 1 - t[i]
        a, b = 3 * s * s * t[i], 3 * s * t[i] * t[i]
        rest = z[i] - (s**3 + a) * start - (b + t[i] ** 3) * end
        on_a, on_b = on_a + a * rest, on_b - b * rest
        aa, bb, ab = aa + a * a, bb + b * b, ab - a * b
    ra, rb = (on_a * np.conj(out)).real, (on_b * np.conj(into)).real
    ab *= (out * np.conj(into)).real
    det = aa * bb - ab * ab
    chord = abs(end - start)
    forth = back = chord / 3
    if det > DEGENERATE * aa * bb:
        first, second = (bb * ra - ab * rb) / det, (aa * rb - ab * ra) / det
        # Handles that shrink to nothing or turn back are no use to anyone: a third of the chord is.
        if min(first, second) > 1e-3 * chord:
            forth, back = first, second
    piece[0], piece[1], piece[2], piece[3] = start, start + out * forth, end - into * back, end


@compiled
def _nearer(piece: Complex, z: Complex, t: Floats) -> None:
    """Move the parameters one Newton step toward each point of `z`."""
    for i in range(1, len(z) - 1):
        on, first, second = _on(piece, t[i])
        off = on - z[i]
        square = (first * np.conj(first)).real
        slope = square + (off * np.conj(second)).real
        if slope <= 0.1 * square:
            slope = max(square, 1e-24)
        t[i] = min(max(t[i] - (off * np.conj(first)).real / slope, 0.0), 1.0)


@compiled
def _on(piece: Complex, t: float) -> tuple[complex, complex, complex]:
    """Return the point of a piece at `t`, and its first and second derivatives."""
    p, q, r, end = piece[0], piece[1], piece[2], piece[3]
    c1, c2, c3 = 3 * (q - p), 3 * (r - 2 * q + p), end - 3 * r + 3 * q - p
    return p + t * (c1 + t * (c2 + t * c3)), c1 + t * (2 * c2 + 3 * t * c3), 2 * c2 + 6 * t * c3


@compiled
def _calm(piece: Complex) -> bool:
    """Tell whether a piece turns one way only, as its handles do, without the kink of a short handle."""
    out, across, into = piece[1] - piece[0], piece[2] - piece[1], piece[3] - piece[2]
    turn = min((np.conj(out) * across).imag, (np.conj(across) * into).imag)
    return bool(turn > 0 and min(abs(out), abs(into)) > SHORT * abs(piece[3] - piece[0]))
