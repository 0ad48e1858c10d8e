"""From the coverage of one letter to its outline: the story of the room."""

import math

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour
from lettering.geometry.point import Vector
from lettering.outlines.corners import GAP, corners_of
from lettering.outlines.doubts import without_doubtful
from lettering.outlines.edge import edges_of
from lettering.outlines.nodes import Nodes
from lettering.outlines.optics import USUAL, Optics
from lettering.outlines.pieces import PRICE, divided
from lettering.outlines.refine import Sight, refined

PAPER = 4
"""Paper laid round the crop, px, so that ink at its very edge has a closed outline too."""

LEAST_NOISE = 0.002
"""Noise that is always reckoned with: half a step of eight bits."""


def trace(
    coverage: NDArray[np.floating], *, noise: float, optics: Optics = USUAL, clean: float = 0.0
) -> tuple[Contour, ...]:
    """Return the closed outlines of one letter, px, x right and y down.

    `coverage`: shape (h, w), 0 paper to 1 full ink in linear light, pixel j covering x from j to
    j + 1. `noise`: standard deviation of coverage on blank paper. `optics`: how its page was seen,
    see `measure`. `clean`: 0 exactly what the pen did, 1 calmer. Outer outlines turn from x toward
    y, holes against them; no ink gives an empty tuple.
    """
    sight = sight_of(coverage, noise=noise, optics=optics, clean=clean)
    return tuple(c.moved(Vector(-PAPER, -PAPER)) for c in sight.nodes.contours()) if sight else ()


def sight_of(
    coverage: NDArray[np.floating], *, noise: float, optics: Optics = USUAL, clean: float = 0.0
) -> Sight | None:
    """Return the outline of one letter beside its picture with paper laid round; none without ink."""
    ink = np.pad(np.asarray(coverage, dtype=np.float64), PAPER)
    edges = list(edges_of(ink, optics.smoothing))
    if not edges:
        return None
    gap = GAP * math.hypot(optics.spread, optics.smoothing)
    white = max(max(noise, LEAST_NOISE) * math.sqrt(optics.grain), optics.unexplained)
    # Offset that noise leaves in one px of edge: (noise) * sqrt(2 sqrt(pi) s), the Cramér-Rao bound.
    kappa = white * math.sqrt(2 * math.sqrt(math.pi) * optics.spread)
    price = PRICE * (1 + 9 * clean)
    divisions = [divided(edge, corners_of(edge, gap), kappa=kappa, price=price) for edge in edges]
    sight = refined(Nodes.of(divisions), ink, noise=white, blur=optics.blur)
    return without_doubtful(sight, ink, noise=white)
