"""A letter's ink cut free of its neighbours."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from lettering.capture.box import Box
from lettering.capture.ink.ink import Ink
from lettering.capture.ink.pieces import Pieces
from lettering.capture.letters.found import Found

MARGIN_PX = 8
"""Paper kept round a letter: more than the reach of a scanner's blur."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crop:
    """One letter's coverage, alone on its paper."""

    coverage: NDArray[np.float32]
    """Shape (h, w): about 0 on paper and 1 in ink."""
    box: Box
    """Where the crop lies on the page; it may reach past the page's edge, where there is only paper."""

    def edges(self) -> tuple[float, float]:
        """Return the page y of the highest and of the lowest ink, to a fraction of a pixel."""
        dark = self.coverage.max(axis=1)
        return self.box.top + _edge(dark), self.box.bottom - _edge(dark[::-1])


def crop_of(found: Found, ink: Ink, pieces: Pieces) -> Crop:
    """Return the coverage of a letter with every pixel that is nearer to other ink made paper."""
    box = found.box.grown(MARGIN_PX, ink.shape)
    coverage = ink.coverage(box)
    inked = pieces.map[box.slices] > 0
    own = np.zeros(inked.shape, dtype=np.bool_)
    inner = found.box
    own[inner.top - box.top : inner.bottom - box.top, inner.left - box.left : inner.right - box.left] = (
        found.own
    )
    coverage = alone(coverage, inked, own)
    whole = Box(
        inner.top - MARGIN_PX, inner.left - MARGIN_PX, inner.bottom + MARGIN_PX, inner.right + MARGIN_PX
    )
    padding = (
        (box.top - whole.top, whole.bottom - box.bottom),
        (box.left - whole.left, whole.right - box.right),
    )
    return Crop(coverage=np.pad(coverage, padding), box=whole)


def alone(
    coverage: NDArray[np.float32], inked: NDArray[np.bool_], own: NDArray[np.bool_]
) -> NDArray[np.float32]:
    """Return the coverage, shape (h, w), of the ink `own` alone: paper where other ink is nearer."""
    if not (inked & ~own).any():
        return coverage
    nearest = distance_transform_edt(~(inked | own), return_distances=False, return_indices=True)
    return np.where(own[nearest[0], nearest[1]], coverage, np.float32(0))


def _edge(dark: NDArray[np.float32]) -> float:
    """Return how far below the first row ink begins: where the darkest pixel of a row, `dark`, passes 1/2."""
    first = int(np.argmax(dark >= 0.5))
    if first == 0:
        return 0.0
    return first + 0.5 - float((dark[first] - 0.5) / (dark[first] - dark[first - 1]))
