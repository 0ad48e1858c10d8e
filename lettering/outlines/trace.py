"""From the coverage of one letter to its outline: the story of the room."""

import math

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour
from lettering.geometry.point import Vector
from lettering.outlines.corners import corners_of
from lettering.outlines.doubts import without_doubtful
from lettering.outlines.edge import edges_of
from lettering.outlines.nodes import Nodes
from lettering.outlines.pieces import PRICE, divided
from lettering.outlines.refine import refined

PAPER = 4
"""Paper laid round the crop, px, so that ink at its very edge has a closed outline too."""

SMOOTHING = 0.7
"""Gaussian, px, under which the edge is first looked for: about the blur of the scan itself."""

BLUR = 0.7
"""Usual blur of a scan, px, when the letter does not tell."""


def trace(
    coverage: NDArray[np.float32], *, noise: float, clean: float = 0.0, grain: float = 1.0
) -> tuple[Contour, ...]:
    """Return the closed outlines of one letter, px, x right and y down.

    `coverage`: shape (h, w), 0 paper to 1 full ink in linear light, pixel j covering x from j to
    j + 1. `noise`: standard deviation of coverage on blank paper. `clean`: 0 exactly what the pen
    did, 1 calmer. `grain`: power of the paper's noise at low frequency, as a multiple of what
    independent pixels would have. Outer outlines turn from x toward y, holes against them; no ink
    gives an empty tuple.
    """
    ink = np.pad(np.asarray(coverage, dtype=np.float64), PAPER)
    edges = list(edges_of(ink, SMOOTHING))
    if not edges:
        return ()
    sharp = math.sqrt(BLUR**2 + 1 / 12)
    spread = math.hypot(sharp, SMOOTHING)
    gap = 1.5 * spread
    # Offset that noise leaves in one px of edge: (noise) * sqrt(2 sqrt(pi) s), the Cramér-Rao bound.
    kappa = max(noise, 0.002) * math.sqrt(2 * math.sqrt(math.pi) * sharp * grain)
    price = PRICE * (1 + 9 * clean)
    corners = [corners_of(edge, gap) for edge in edges]
    divisions = [
        divided(edge, found, kappa=kappa, price=price) for edge, found in zip(edges, corners, strict=True)
    ]
    nodes = Nodes.of(divisions)
    white = max(noise, 0.002) * math.sqrt(grain)
    sight = refined(nodes, ink, noise=white, blur=BLUR)
    sight = without_doubtful(sight, ink, noise=white)
    return tuple(contour.moved(Vector(-PAPER, -PAPER)) for contour in sight.nodes.contours())
