"""What a scanner would see of an outline, against closed forms."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import special

from lettering.outlines.light import Kernel, Walk
from lettering.outlines.nodes import Nodes, following


def ring(places: NDArray[np.float64]) -> Nodes:
    """Return the nodes of a polygon of straight pieces."""
    after = following([len(places)])
    step = places[after] - places
    heading, length = np.arctan2(step[:, 1], step[:, 0]), np.hypot(step[:, 0], step[:, 1])
    arrive = np.empty(len(places))
    arrive[after] = heading
    corner = np.ones(len(places), dtype=bool)
    return Nodes(
        places=places, leave=heading, arrive=arrive, first=length / 3, second=length / 3, corner=corner,
        after=after,
    )  # fmt: skip


@pytest.mark.parametrize("blur", [0.5, 0.7, 1.2])
def test_a_blurred_rectangle_is_the_product_of_two_blurred_strips(blur: float) -> None:
    """Coverage of every pixel agrees with the integral of the Gaussian over strip and pixel."""
    x0, y0, x1, y1 = 8.3, 7.6, 20.9, 25.2
    nodes = ring(np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]))

    seen = Kernel.of(Walk.along(nodes), (34, 30), blur).coverage()

    wanted = np.outer(strip(y0, y1, 34, blur), strip(x0, x1, 30, blur))
    assert np.abs(seen - wanted).max() < 4e-3 * (0.7 / blur) ** 3


def strip(low: float, high: float, size: int, blur: float) -> NDArray[np.float64]:
    """Return the coverage of pixels in a row by the blurred strip from `low` to `high`."""

    def area(x: NDArray[np.float64]) -> NDArray[np.float64]:
        # The integral of the normal distribution's Phi(x / s).
        z = x / blur
        return np.asarray(blur * (z * special.ndtr(z) + np.exp(-z * z / 2) / np.sqrt(2 * np.pi)))

    edges = np.arange(size + 1.0)
    until_low, until_high = np.diff(area(edges - low)), np.diff(area(edges - high))
    return np.asarray(until_low - until_high)
