"""Fitted curves follow their polylines closely, in few pieces, corners kept."""

import math

import numpy as np
import pytest
import shapely
from scipy.special import gamma

from lettering.geometry.contour import Contour
from lettering.geometry.fit import fit_closed, fit_open

ANGLES = np.linspace(0, 2 * math.pi, 360, endpoint=False)


def apart(points: np.ndarray, outline: Contour) -> float:
    """Return the Hausdorff distance of a polygon and an outline, after shapely."""
    ring = shapely.LinearRing(np.concatenate([points, points[:1]]))
    drawn = shapely.LinearRing(outline.flattened(0.0005))
    return float(shapely.hausdorff_distance(ring, drawn))


def test_a_circle_needs_four_pieces_and_has_its_area() -> None:
    """A circle of 30 mm is fitted within the tolerance by at most five cubics of area 900 pi."""
    points = 30 * np.stack([np.cos(ANGLES), np.sin(ANGLES)], axis=1)
    outline = fit_closed(points, 0.02)

    assert len(outline) <= 5
    assert apart(points, outline) < 0.025
    assert outline.area == pytest.approx(900 * math.pi, rel=1e-3)


def test_a_superellipse_has_its_area() -> None:
    """a = b = 10, q = 4 encloses 4ab G(1+1/q)^2 / G(1+2/q) = 370.81 (closed form)."""
    c, s = np.cos(ANGLES), np.sin(ANGLES)
    points = 10 * np.stack([np.sign(c) * np.abs(c) ** 0.5, np.sign(s) * np.abs(s) ** 0.5], axis=1)
    outline = fit_closed(points, 0.01)

    exact = 400 * gamma(1.25) ** 2 / gamma(1.5)
    assert exact == pytest.approx(370.81, abs=0.01)
    assert outline.area == pytest.approx(exact, rel=2e-3)


def test_corners_are_kept() -> None:
    """A dense square comes back as four straight pieces with its corners where they were."""
    square = np.asarray(shapely.segmentize(shapely.box(0, 0, 20, 20), 0.5).exterior.coords)[:-1]
    outline = fit_closed(square)

    assert len(outline) == 4
    assert outline.straight.all()
    assert {tuple(map(float, k)) for k in outline.knots[:, 0].round(9)} == {
        (0, 0),
        (20, 0),
        (20, 20),
        (0, 20),
    }


def test_smooth_stretches_stay_smooth() -> None:
    """An ellipse has no corner at any joint, and a tighter tolerance takes more pieces."""
    points = np.stack([40 * np.cos(ANGLES), 12 * np.sin(ANGLES)], axis=1)
    coarse, fine = fit_closed(points, 0.1), fit_closed(points, 0.005)

    p = fine.pieces
    arrive, leave = p[:, 3] - p[:, 2], np.roll(p[:, 1] - p[:, 0], -1, axis=0)
    cross = arrive[:, 0] * leave[:, 1] - arrive[:, 1] * leave[:, 0]
    assert np.abs(np.arctan2(cross, (arrive * leave).sum(axis=1))).max() < 1e-6
    assert len(coarse) < len(fine)
    assert apart(points, fine) < 0.03


def test_an_open_line_keeps_its_ends_and_its_corner() -> None:
    """A sine wave with a sharp turn at its end is fitted from end to end."""
    x = np.linspace(0, 30, 150)
    wave = np.stack([x, 5 * np.sin(x / 5)], axis=1)
    line = np.concatenate([wave, wave[-1] + np.outer(np.linspace(0.2, 5, 20), (-1.0, 0.2))])
    pieces = fit_open(line, 0.02)

    assert pieces[0, 0] == pytest.approx(line[0])
    assert pieces[-1, 3] == pytest.approx(line[-1])
    assert any(np.allclose(piece[3], wave[-1]) for piece in pieces)
    assert len(pieces) <= 8


def test_too_few_points_are_refused() -> None:
    """Two points are no outline and one is no curve."""
    with pytest.raises(ValueError, match="three"):
        fit_closed(np.array([(0.0, 0.0), (1.0, 0.0)]))
    with pytest.raises(ValueError, match="two"):
        fit_open(np.array([(0.0, 0.0)]))
