"""Projective maps of the plane: how a flat paper is seen by a camera."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def projective(on_paper: Floats, in_picture: Floats) -> Floats:
    """Return the projective map (3, 3) that takes n >= 4 points (n, 2) to others (direct linear)."""
    before, after = _normal(on_paper), _normal(in_picture)
    p, q = mapped(before, on_paper), mapped(after, in_picture)
    ones, zeros = np.ones((len(p), 1)), np.zeros((len(p), 3))
    rows = np.concatenate([p, ones], axis=1)
    u, v = q[:, :1], q[:, 1:]
    system = np.concatenate(
        [np.concatenate([rows, zeros, -u * rows], axis=1), np.concatenate([zeros, rows, -v * rows], axis=1)]
    )
    solution = np.linalg.svd(system)[2][-1].reshape(3, 3)
    matrix: Floats = np.linalg.inv(after) @ solution @ before
    scaled: Floats = matrix / matrix[2, 2]
    return scaled


def mapped(matrix: Floats, points: Floats) -> Floats:
    """Return the images (n, 2) of points (n, 2)."""
    images = np.concatenate([points, np.ones((len(points), 1))], axis=1) @ matrix.T
    flat: Floats = images[:, :2] / images[:, 2:]
    return flat


def _normal(points: Floats) -> Floats:
    """Return the map (3, 3) that brings points about the origin, as far from it as 1 (Hartley 1997)."""
    middle = points.mean(axis=0)
    scale = 1.0 / max(float(np.abs(points - middle).mean()), 1e-9)
    return np.array([[scale, 0, -scale * middle[0]], [0, scale, -scale * middle[1]], [0, 0, 1]])
