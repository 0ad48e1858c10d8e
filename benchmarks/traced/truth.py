"""Where a typeface's own outline runs, and where it turns."""

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import ndimage

from tests.outlines.scanned import Scan

CALM = 1.5
"""Gaussian under which curvatures are compared, px: what is finer no eye sees as a wave."""


def walk(line: shapely.Geometry, step: float) -> tuple[NDArray[np.float64], float]:
    """Return points at equal arc length on a closed line, about `step` px apart, and their exact step."""
    corners = shapely.get_coordinates(line)
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(corners, axis=0), axis=1))])
    count = max(8, math.ceil(along[-1] / step))
    at = np.arange(count) * (along[-1] / count)
    return np.stack([np.interp(at, along, corners[:, k]) for k in (0, 1)], axis=1), along[-1] / count


def unrest(line: shapely.Geometry) -> float:
    """Return the total variation of a line's curvature, as it is under a Gaussian of CALM px, a px.

    What turns evenly has little of it, what wavers much: an ellipse four times what its curvatures differ by.
    """
    total = 0.0
    for part in shapely.get_parts(line):
        points, step = walk(part, 0.25)
        ahead = np.roll(points, -1, axis=0) - points
        heading = np.arctan2(ahead[:, 1], ahead[:, 0])
        turns = (np.diff(heading, append=heading[:1]) + np.pi) % (2 * np.pi) - np.pi
        bend = ndimage.gaussian_filter1d(turns / step, CALM / step, mode="wrap")
        total += float(np.abs(np.diff(bend, append=bend[:1])).sum())
    return total


def windows(scan: Scan) -> list[tuple[NDArray[np.float64], NDArray[np.float64], float]]:
    """Return for each true boundary dense points, their headings (degrees, unwrapped) and the step."""
    found = []
    for part in shapely.get_parts(shapely.boundary(scan.truth)):
        points, step = walk(part, 0.1)
        d = np.roll(points, -1, axis=0) - points
        heading = np.degrees(np.unwrap(np.arctan2(d[:, 1], d[:, 0])))
        found.append((points, heading, step))
    return found


def true_corners(scan: Scan) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return isolated corners (k, 2) and their turns (k,) in degrees.

    A corner turns by 40 degrees or more within 0.1 mm each way, between arms that turn less than 15
    as far as 0.3 mm.
    """
    corners, turns = [], []
    for points, heading, step in windows(scan):
        inner, outer = round(0.1 * scan.px_per_mm / step), round(0.3 * scan.px_per_mm / step)
        if len(points) < 4 * outer:
            continue

        def swing(a: int, b: int, heading: NDArray[np.float64] = heading) -> NDArray[np.float64]:
            ahead, back = np.roll(heading, -b), np.roll(heading, -a)
            return np.asarray((ahead - back + 180) % 360 - 180)

        turn = swing(-inner, inner)
        quiet = (np.abs(swing(-outer, -inner)) < 15) & (np.abs(swing(inner, outer)) < 15)
        local = np.abs(swing(-2, 2))
        top = np.max([np.roll(local, k) for k in range(-outer, outer + 1)], axis=0)
        chosen = np.flatnonzero((np.abs(turn) >= 40) & quiet & (local == top) & (local > 20))
        for i in chosen[np.concatenate([[True], np.diff(chosen) > outer])] if len(chosen) else []:
            corners.append(points[i])
            turns.append(turn[i])
    return np.array(corners).reshape(-1, 2), np.array(turns)


def near_turn(
    nodes: NDArray[np.float64], windows: list[tuple[NDArray[np.float64], NDArray[np.float64], float]]
) -> NDArray[np.bool_]:
    """Tell for each node whether the truth turns by 20 degrees within 0.4 px, less than 2 px away."""
    sharp = []
    for points, heading, step in windows:
        reach = max(1, round(0.4 / step))
        turn = (np.roll(heading, -reach) - np.roll(heading, reach) + 180) % 360 - 180
        sharp.append(points[np.abs(turn) > 20])
    places = np.concatenate(sharp)
    if not len(places):
        return np.zeros(len(nodes), dtype=bool)
    return np.asarray(np.linalg.norm(nodes[:, None] - places, axis=2).min(axis=1) < 2)
