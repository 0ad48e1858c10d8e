"""From traced pixels to glyph space: font units, y up, as UFO and CFF like their outlines."""

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour, Points, extrema_parameters
from lettering.geometry.outline import Outline
from lettering.geometry.point import Vector

LEAST_PIECE = 3.0
"""No extremum is split off that would leave a shorter piece, font units: a thirtieth of a stem."""

NUDGE = 0.75
"""Farthest a handle may be moved, font units, to make the end of a piece its extremum: under the grid."""

SMOOTH = math.radians(2.0)
"""Two handles in line within this angle are one smooth join: no eye sees the kink."""


def glyph_outline(
    contours: Iterable[Contour],
    *,
    units_per_px: float,
    baseline: float,
    slope: float = 0.0,
    origin: float = 0.0,
) -> Outline:
    """Return traced contours (px, y down) as an outline in font units.

    `baseline`: y of the baseline, px, at x = `origin`, which becomes the glyph's (0, 0). `slope`:
    dy/dx of the baseline; the letter is turned so that it lies level. Outer outlines run
    counter-clockwise and holes clockwise, and every piece is monotone in x and y.
    """
    level = Affine.rotation(-math.atan(slope)) @ Affine.translation(Vector(-origin, -baseline))
    place = Affine.scaling(units_per_px, -units_per_px) @ level
    return Outline(tuple(with_extrema(contour.transformed(place).reversed()) for contour in contours))


def with_extrema(contour: Contour, least: float = LEAST_PIECE) -> Contour:
    """Return the contour divided where x or y turns back, in the unit of `least`.

    Where handles need only a nudge to lie level or upright, the end of the piece becomes the
    extremum instead. What turns back nearer than `least` to an end is left: it is not to be seen.
    """
    pieces = contour.pieces
    smooth = smooth_joins(contour)
    for _ in range(2):
        pieces = _level_ends(pieces, smooth)
    parts = [_split(p, _kept(p, t, least)) for p, t in zip(pieces, extrema_parameters(pieces), strict=True)]
    return Contour(np.concatenate(parts)[:, :3])


def smooth_joins(contour: Contour, within: float = SMOOTH) -> NDArray[np.bool_]:
    """Return for each start of a piece, shape (n,), whether the handles on both sides are in line."""
    p = contour.pieces
    into, out = np.roll(p[:, 3] - p[:, 2], 1, axis=0), p[:, 1] - p[:, 0]
    turn = np.arctan2(into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0], (into * out).sum(axis=1))
    live = (np.hypot(into[:, 0], into[:, 1]) > 0) & (np.hypot(out[:, 0], out[:, 1]) > 0)
    return np.asarray((np.abs(turn) <= within) & live)


def _level_ends(pieces: NDArray[np.float64], smooth: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Lay handles level or upright at ends that are within a nudge of being extrema."""
    pieces = pieces.copy()
    for i, parameters in enumerate(extrema_parameters(pieces)):
        for t in parameters:
            axis = int(np.argmin(np.abs(_velocity(pieces[i], t))))
            sides = _sides(i, float(t), smooth)
            off = [abs(pieces[k][h, axis] - pieces[k][0 if h == 1 else 3, axis]) for k, h in sides]
            if max(off) <= NUDGE:
                for piece, handle in sides:
                    _lay(pieces[piece], handle, axis)
    return pieces


def _sides(piece: int, t: float, smooth: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return which handles, as (piece, index), turn together at the end of `piece` that `t` is nearer to."""
    n = len(smooth)
    node = piece if t < 0.5 else (piece + 1) % n
    if smooth[node]:
        return [(node, 1), ((node - 1) % n, 2)]
    return [(piece, 1 if t < 0.5 else 2)]


def _lay(piece: Points, handle: int, axis: int) -> None:
    """Lay one handle of a piece along the other axis, its length kept."""
    end = piece[0 if handle == 1 else 3]
    reach = piece[handle] - end
    along = math.copysign(float(np.hypot(*reach)), reach[1 - axis])
    piece[handle, axis] = end[axis]
    piece[handle, 1 - axis] = end[1 - axis] + along


def _kept(piece: Points, parameters: NDArray[np.float64], least: float) -> list[float]:
    """Return the parameters at which a piece is divided: none too near its ends or each other."""
    kept: list[float] = []
    last = piece[0]
    for t in parameters:
        at = _point(piece, t)
        if np.linalg.norm(at - last) >= least and np.linalg.norm(at - piece[3]) >= least:
            kept.append(float(t))
            last = at
    return kept


def _split(piece: Points, parameters: list[float]) -> NDArray[np.float64]:
    """Divide a piece by de Casteljau's construction; the handles at each division lie level or upright."""
    parts, rest, done = [], piece, 0.0
    for t in parameters:
        share = (t - done) / (1 - done)
        a = rest[:-1] + share * np.diff(rest, axis=0)
        b = a[:-1] + share * np.diff(a, axis=0)
        c = b[0] + share * (b[1] - b[0])
        axis = int(np.argmin(np.abs(b[1] - b[0])))
        b[:, axis] = c[axis]
        parts.append(np.array([rest[0], a[0], b[0], c]))
        rest, done = np.array([c, b[1], a[2], rest[3]]), t
    return np.array([*parts, rest])


def _point(piece: Points, t: float) -> Points:
    s = 1 - t
    return np.asarray(s**3 * piece[0] + 3 * s * s * t * piece[1] + 3 * s * t * t * piece[2] + t**3 * piece[3])


def _velocity(piece: Points, t: float) -> Points:
    s, d = 1 - t, np.diff(piece, axis=0)
    return np.asarray(s * s * d[0] + 2 * s * t * d[1] + t * t * d[2])
