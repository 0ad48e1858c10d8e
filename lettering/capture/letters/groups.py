"""The groups of neighbouring pieces in a row that might be one letter, measured."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.ink.pieces import Pieces
from lettering.capture.letters.baseline import Baseline
from lettering.capture.letters.matching import MOST_PIECES
from lettering.capture.letters.rows import Row
from lettering.capture.letters.shapes import Builds

WIDEST = 2.3
"""Several pieces are no letter when they reach across more x-heights than this."""
CELLS = 8
"""Cells to an x-height in a portrait: about a stroke each, so that a wobble of the pen is no difference."""
HIGHEST = 2.25
"""A portrait reaches as many x-heights above the baseline, and one below."""
CELLS_DOWN, CELLS_ACROSS = 26, 24
"""Cells of a portrait: three and a quarter x-heights by three."""


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

    def runs(self, count: int) -> NDArray[np.intp]:
        """Return the indices of the groups of `count` pieces, in order of their first piece."""
        return np.flatnonzero(self.count == count)


def groups_of(row: Row, unit: float) -> Groups:
    """Return the groups of a row, measured in x-heights of `unit` px."""
    spans = [
        (first, count) for count in range(1, MOST_PIECES + 1) for first in range(len(row.pieces) - count + 1)
    ]
    runs = [row.pieces[first : first + count] for first, count in spans]
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
            holes=np.array([float(sum(piece.holes for piece in run)) for run in runs]),
        ),
    )


def portraits(row: Row, groups: Groups, pieces: Pieces, unit: float) -> NDArray[np.float32]:
    """Return each group of a row drawn small, shape (groups, cells); blank when too wide for a letter."""
    drawn = np.zeros((len(groups.numbers), CELLS_DOWN * CELLS_ACROSS), dtype=np.float32)
    for index in np.flatnonzero((groups.count == 1) | (groups.builds.width <= WIDEST)):
        first = groups.first[index]
        run = row.pieces[first : first + groups.count[index]]
        box = Box.around(piece.box for piece in run)
        drawn[index] = portrait(pieces.own(run, box), box, row.baseline, unit)
    return drawn


def portrait(own: NDArray[np.bool_], box: Box, baseline: Baseline, unit: float) -> NDArray[np.float32]:
    """Return ink drawn small, shape (cells,): each cell the ink in an eighth of an x-height.

    `own` is the ink in `box`; the portrait stands on the baseline and is centred across.
    """
    cell, middle = unit / CELLS, (box.left + box.right) / 2
    down = (np.arange(box.top, box.bottom) + 0.5 - baseline.at(middle)) / cell + HIGHEST * CELLS
    across = (np.arange(box.left, box.right) + 0.5 - middle) / cell + CELLS_ACROSS / 2
    ink = np.asarray(own, dtype=np.float32)
    small = _dealt(down, CELLS_DOWN) @ ink @ _dealt(across, CELLS_ACROSS).T / np.float32(cell**2)
    return np.asarray(small, dtype=np.float32).ravel()


def _dealt(place: NDArray[np.floating], cells: int) -> NDArray[np.float32]:
    """Return the share of each pixel that goes to each cell, shape (cells, pixels): a soft, wide dealing."""
    away = np.abs(place[None, :] - (np.arange(cells)[:, None] + 0.5))
    return np.asarray(np.maximum(1 - away / 1.5, 0) / 1.5, dtype=np.float32)
