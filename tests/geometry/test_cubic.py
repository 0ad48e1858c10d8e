"""Cubic pieces follow curves whose shape is known in closed form."""

import numpy as np
import pytest
from numpy.typing import NDArray

from lettering.geometry.contour import Contour, at
from lettering.geometry.cubic import calm, few_pieces, fit_pieces

Floats = NDArray[np.float64]


def circle(count: int, radius: float = 20.0) -> tuple[Floats, Floats]:
    """Return points and unit tangents of a circle, turning from x toward y."""
    phi = np.linspace(0, 2 * np.pi, count, endpoint=False)
    out = np.stack([np.cos(phi), np.sin(phi)], axis=1)
    return out * radius, np.stack([-out[:, 1], out[:, 0]], axis=1)


def test_a_cubic_is_found_again() -> None:
    """Samples of a cubic, not evenly spaced along it, give its handles back."""
    piece = np.array([(0.0, 0.0), (3.0, 5.0), (9.0, 6.0), (12.0, 1.0)])
    t = np.linspace(0, 1, 30) ** 1.2
    samples = at(np.repeat(piece[None], 30, axis=0), t)
    leaving, arriving = (piece[b] - piece[a] for a, b in ((0, 1), (2, 3)))

    found, off = fit_pieces(
        samples[None],
        leaving[None] / np.hypot(*leaving),
        arriving[None] / np.hypot(*arriving),
        rounds=3000,
    )

    assert found[0] == pytest.approx(piece, abs=1e-3)
    assert off[0] < 1e-5


def test_a_quarter_circle_has_the_handles_that_are_known_for_it() -> None:
    """Handles of a quarter are 0.5523 radii within a hundredth; it strays by about 0.03 % (Goldapp 1991)."""
    points, along = circle(64, radius=1.0)

    found, off = fit_pieces(points[None, :17], along[None, 0], along[None, 16])

    assert np.hypot(*(found[0, 1] - found[0, 0])) == pytest.approx(0.5523, abs=0.005)
    assert off[0] < 5e-4


@pytest.mark.parametrize(("tolerance", "pieces"), [(0.02, 4), (0.002, 9)])
def test_a_circle_is_drawn_in_few_pieces(tolerance: float, pieces: int) -> None:
    """A circle of 20 mm needs four pieces for a hair's width: a quarter strays by 0.00027 radii, 0.0054 mm.

    The error falls with the sixth power of the angle (Goldapp 1991): six would do for 0.002 mm, and
    rounds that end early ask for a few more.
    """
    points, along = circle(4 * 72)

    found = few_pieces(points, along[::4], tolerance, 18)

    radii = np.hypot(*Contour(found[:, :3]).flattened(1e-5).T)
    assert len(found) <= pieces
    assert np.abs(radii - 20).max() < 1.2 * tolerance
    assert calm(found).all()


def test_pieces_follow_one_another_round_the_ring() -> None:
    """Each piece starts where the one before ends, with no kink between."""
    points, along = circle(4 * 72)
    found = few_pieces(points * (1.0, 0.5), along[::4] * (1.0, 0.5), 0.01, 15)

    assert np.roll(found[:, 3], 1, axis=0) == pytest.approx(found[:, 0])
