"""The groups of neighbouring pieces in a row that might be one letter, measured."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.matching import MOST_PIECES
from lettering.capture.pieces import Piece, Pieces
from lettering.capture.rows import Row
from lettering.capture.shapes import Builds

WIDEST = 3.0
"""Several pieces are no letter when they reach across more x-heights than this."""
CELLS = 8
"""Cells to an x-height in a portrait: about half a stroke, so that a wobble of the pen is not a difference."""
LOWEST, HIGHEST, BROADEST = -1.0, 2.25, 3.0
"""What a portrait shows: below and above the baseline, and across, x-heights."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Groups:
    """Every run of one to four pieces in a row."""

    first: NDArray[np.intp]
    """Index in the row of each group's first piece."""
    count: NDArray[np.intp]
    """How many pieces each group has."""
    numbers: tuple[frozenset[int], ...]
    """The pieces of each group, by their numbers on the page."""
    builds: Builds
    portraits: NDArray[np.float32]
    """Shape (groups, cells): each group drawn small on its baseline."""

    def runs(self, count: int) -> NDArray[np.intp]:
        """Return the indices of the groups of `count` pieces, in order of their first piece."""
        return np.flatnonzero(self.count == count)


def groups_of(row: Row, pieces: Pieces, unit: float) -> Groups:
    """Return the groups of a row, measured in x-heights of `unit` px."""
    spans = [
        (first, count)
        for count in range(1, MOST_PIECES + 1)
        for first in range(len(row.pieces) - count + 1)
    ]
    runs = [row.pieces[first : first + count] for first, count in spans]
    holes = {piece.number: pieces.holes([piece]) for piece in row.pieces}
    boxes = [Box.around(piece.box for piece in run) for run in runs]
    feet = np.array([row.baseline.at((box.left + box.right) / 2) for box in boxes])
    return Groups(
        first=np.array([first for first, _ in spans], dtype=np.intp),
        count=np.array([count for _, count in spans], dtype=np.intp),
        numbers=tuple(frozenset(piece.number for piece in run) for run in runs),
        builds=Builds(
            bottom=(feet - [box.bottom for box in boxes]) / unit,
            top=(feet - [box.top for box in boxes]) / unit,
            width=np.array([box.width for box in boxes]) / unit,
            pieces=np.array([float(count) for _, count in spans]),
            holes=np.array([float(sum(holes[piece.number] for piece in run)) for run in runs]),
        ),
        portraits=np.stack(
            [
                _portrait_of(pieces, run, box, foot, unit)
                for run, box, foot in zip(runs, boxes, feet, strict=True)
            ]
        ),
    )


def _portrait_of(
    pieces: Pieces, run: Sequence[Piece], box: Box, baseline: float, unit: float
) -> NDArray[np.float32]:
    too_wide = len(run) > 1 and box.width > WIDEST * unit
    own = np.zeros((box.height, box.width), dtype=np.bool_) if too_wide else pieces.own(run, box)
    return portrait(own, box, baseline, unit)


def portrait(own: NDArray[np.bool_], box: Box, baseline: float, unit: float) -> NDArray[np.float32]:
    """Return ink drawn small, shape (cells,): each cell the ink in an eighth of an x-height.

    `own` is the ink in `box`; the portrait stands on the baseline and is centred across.
    """
    rows, columns = round((HIGHEST - LOWEST) * CELLS), round(BROADEST * CELLS)
    cell = unit / CELLS
    down = (np.arange(box.top, box.bottom) + 0.5 - baseline) / cell + HIGHEST * CELLS
    across = (np.arange(box.left, box.right) + 0.5 - (box.left + box.right) / 2) / cell + columns / 2
    small = _dealt(down, rows) @ own.astype(np.float32) @ _dealt(across, columns).T
    return np.asarray(small / cell**2, dtype=np.float32).ravel()


def _dealt(place: NDArray[np.float64], cells: int) -> NDArray[np.float32]:
    """Return the share of each pixel that goes to each cell, shape (cells, pixels): a soft, wide dealing."""
    away = np.abs(place[None, :] - (np.arange(cells)[:, None] + 0.5))
    share = np.maximum(1 - away / 1.5, 0) / 1.5
    return share.astype(np.float32)
