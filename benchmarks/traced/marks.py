"""What a tracing of a letter is worth beside the truth."""

import math
import os
import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from benchmarks.traced.truth import near_turn, true_corners, unrest, walk, windows
from lettering.geometry.contour import Contour
from tests.outlines.scanned import Scan

SAMPLE = 0.25
"""Distance between the points at which boundaries are compared, px."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """What one tracing of one letter is worth; lengths in px."""

    mean: float
    p95: float
    farthest: float
    bias: float
    perimeter: float
    segments: int
    corners: int
    cuts: tuple[float, ...]
    """Distance from each true corner to the outline."""
    kinks: tuple[float, ...]
    """Error of the kink, degrees, of each corner that was kept."""
    invented: int
    unrest: tuple[float, float]
    """Total variation of curvature, of the tracing and of the truth."""
    topology: bool
    ms: float
    bound: float


def marks(scan: Scan, tracer: Callable[[Scan], tuple[Contour, ...]]) -> Marks:
    """Trace one letter and compare it with the truth."""
    began = _clock()
    contours = tracer(scan)
    ms = (_clock() - began) * 1e3
    rings = [contour.flattened(0.002) for contour in contours]
    traced = shapely.MultiLineString([np.concatenate([ring, ring[:1]]) for ring in rings])
    boundary = shapely.boundary(scan.truth)
    off = np.concatenate([_distances(traced, boundary), _distances(boundary, traced)])
    corners, turns = true_corners(scan)
    nodes, kinks = _nodes(contours)
    near = np.linalg.norm(corners[:, None] - nodes, axis=2) if len(corners) else np.zeros((0, len(nodes)))
    errors = np.abs((kinks - turns[:, None] + 180) % 360 - 180)
    errors = np.where(near <= 2, errors, 360).min(axis=1, initial=360)
    sharp = np.abs(kinks) > 25
    anywhere = windows(scan)
    return Marks(
        mean=float(off.mean()),
        p95=float(np.percentile(off, 95)),
        farthest=float(off.max()),
        bias=float((sum(c.area for c in contours) - scan.truth.area) / boundary.length),
        perimeter=float(boundary.length),
        segments=sum(map(len, contours)),
        corners=len(corners),
        cuts=tuple(shapely.distance(shapely.points(corners), traced)),
        kinks=tuple(errors[errors <= 20]),
        invented=int((sharp & ~near_turn(nodes, anywhere)).sum()),
        unrest=(unrest(traced), unrest(boundary)),
        topology=_topology(contours) == _true_topology(scan),
        ms=ms,
        bound=_bound(contours, scan),
    )


def _clock() -> float:
    """Return the seconds of processor this process and its children have used: others do not disturb it."""
    children = os.times()
    return time.process_time() + children.children_user + children.children_system


def _distances(line: shapely.Geometry, other: shapely.Geometry) -> NDArray[np.float64]:
    """Return how far points along `line`, every quarter px, lie from `other`."""
    points = np.concatenate([walk(part, SAMPLE)[0] for part in shapely.get_parts(line)])
    rings = [walk(part, 0.1)[0] for part in shapely.get_parts(other)]
    starts = np.concatenate(rings)
    steps = np.concatenate([np.roll(ring, -1, axis=0) - ring for ring in rings])
    before = np.concatenate(
        [np.roll(np.arange(len(r)), 1) + n for r, n in zip(rings, _offsets(rings), strict=True)]
    )
    nearest = cKDTree(starts).query(points)[1]
    return np.minimum(*(_to_segment(points, starts[k], steps[k]) for k in (nearest, before[nearest])))


def _offsets(rings: list[NDArray[np.float64]]) -> list[int]:
    return [0, *np.cumsum([len(ring) for ring in rings])[:-1].tolist()]


def _to_segment(
    points: NDArray[np.float64], starts: NDArray[np.float64], steps: NDArray[np.float64]
) -> NDArray[np.float64]:
    share = ((points - starts) * steps).sum(axis=1) / np.maximum((steps**2).sum(axis=1), 1e-18)
    foot = starts + np.clip(share, 0, 1)[:, None] * steps
    return np.asarray(np.linalg.norm(points - foot, axis=1))


def _nodes(contours: tuple[Contour, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    places, kinks = [], []
    for contour in contours:
        p = contour.pieces
        into, out = np.roll(p[:, 3] - p[:, 2], 1, axis=0), p[:, 1] - p[:, 0]
        turn = np.degrees(np.arctan2(out[:, 1], out[:, 0]) - np.arctan2(into[:, 1], into[:, 0]))
        places.append(p[:, 0])
        kinks.append((turn + 180) % 360 - 180)
    return np.concatenate(places), np.concatenate(kinks)


def _topology(contours: tuple[Contour, ...]) -> tuple[int, int]:
    return sum(c.area > 0 for c in contours), sum(c.area < 0 for c in contours)


def _true_topology(scan: Scan) -> tuple[int, int]:
    parts = shapely.get_parts(scan.truth)
    parts = parts[shapely.area(parts) > 1]
    return len(parts), int(shapely.get_num_interior_rings(parts).sum())


def _bound(contours: tuple[Contour, ...], scan: Scan) -> float:
    """Return the mean deviation that noise alone leaves a curve of as many parameters (Cramér-Rao)."""
    sharp = math.sqrt(0.7**2 + 1 / 12)
    kappa = (6 / 210) * math.sqrt(2 * math.sqrt(math.pi) * sharp)
    _, kinks = _nodes(contours)
    parameters = 5 * len(kinks) + int((np.abs(kinks) > 1).sum())
    length = float(shapely.boundary(scan.truth).length)
    return kappa * math.sqrt(parameters / length) * math.sqrt(2 / math.pi)
