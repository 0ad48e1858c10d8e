"""Pages without blur or grain, such as a screen saves: FreeType's exact coverage as it is."""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from lettering.outlines.measure import measured
from lettering.outlines.optics import Optics
from lettering.outlines.sample import Sample
from lettering.outlines.trace import trace
from tests.outlines.scanned import Scan, Scanner, scans

CRISP = Scanner(ppi=200, blur=(0, 0), noise=0)
STEP = 1 / 255 / 12**0.5
"""Noise of rounding to 8 bits (standard deviation of an even distribution over one step)."""


def seen(scanner: Scanner, noise: float) -> tuple[list[Scan], Optics]:
    """Return some letters and what is measured on them."""
    some = list(scans("delius", scanner, "aehnR"))
    return some, measured([Sample(coverage=s.coverage, noise=noise) for s in some])


def test_an_outline_follows_a_crisp_edge_no_closer_than_it_can_be_known() -> None:
    """It takes no more pieces than on a scan, and lies within 0.05 px of the typeface’s own."""
    crisp, plain = seen(CRISP, STEP), seen(replace(CRISP, blur=(0.7, 0.7), noise=0.02), 0.02)
    pieces, strays = zip(*(_traced(*crisp, STEP), _traced(*plain, 0.02)), strict=True)

    assert crisp[1].unexplained > 0
    assert pieces[0] <= 1.1 * pieces[1]
    assert strays[0] < 0.05


@pytest.mark.parametrize("noise", [0.01, 0.03])
def test_noise_is_not_taken_for_what_no_outline_explains(noise: float) -> None:
    """On a scan that is blurred as scans are, all that is left along edges is the paper's noise."""
    _, optics = seen(replace(CRISP, blur=(0.7, 0.7), noise=noise), noise)

    assert optics.unexplained == 0


def _traced(some: list[Scan], optics: Optics, noise: float) -> tuple[int, float]:
    """Return how many pieces the letters' outlines have, and how far they lie off on average, px."""
    pieces, away = 0, []
    for scan in some:
        contours = trace(scan.coverage, noise=noise, optics=optics)
        pieces += sum(map(len, contours))
        points = np.concatenate([contour.flattened(0.01) for contour in contours])
        away.append(shapely.distance(shapely.points(points), shapely.boundary(scan.truth)))
    return pieces, float(np.concatenate(away).mean())
