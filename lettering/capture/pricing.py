"""What each way of dealing a row's pieces to its characters costs."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.capture.groups import WIDEST, Groups
from lettering.capture.likeness import Likeness
from lettering.capture.matching import MOST_PIECES, MOST_TOUCHING, TOUCHING, RowCosts
from lettering.capture.rows import Row
from lettering.capture.shapes import Builds, bounded, strangeness

WORD_SPACE = 0.5
"""Gaps wider than this many x-heights begin to look like the space between words."""
GAP_SPREAD = 0.2
"""How far gaps stray to the wrong side of that, x-heights."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One row of the reading, its characters parted from its spaces."""

    chars: tuple[str, ...]
    """Characters, or clusters of a base and its marks."""
    places: tuple[int, ...]
    """Index of each in the typed row."""

    @property
    def after_space(self) -> NDArray[np.bool_]:
        """Which characters begin a word."""
        lengths = [len(char) for char in (" ", *self.chars)]
        ends = np.array([-1, *self.places])[:-1] + np.array(lengths)[:-1]
        begins: NDArray[np.bool_] = np.array(self.places) > ends
        begins[:1] = True
        return begins


def price_row(
    row: Row, groups: Groups, text: Text, *, unit: float, stroke: float, known: Likeness | None
) -> RowCosts:
    """Return the costs of a row: by expected builds, and by likeness to letters known from this page."""
    single = _fits(groups, text, known)
    begins = text.after_space
    joined = {}
    for touching in range(2, MOST_TOUCHING + 1):
        if len(text.chars) < touching:
            break
        builds = Builds.expected(text.chars).touching(touching)
        fit = strangeness(groups.builds, builds) * 1.5 + TOUCHING * (touching - 1)
        apart = np.lib.stride_tricks.sliding_window_view(begins, touching)[:, 1:].any(axis=-1)
        fit[:, apart] = np.inf
        for count in range(1, MOST_PIECES):
            joined[count, touching] = fit[groups.runs(count)]
    return RowCosts(
        single={count: single[groups.runs(count)] for count in range(1, MOST_PIECES + 1)},
        joined=joined,
        start=_gap_costs(row, begins, unit),
        stray=np.array([_stray_cost(piece.area / (stroke * unit)) for piece in row.pieces]),
    )


def _fits(groups: Groups, text: Text, known: Likeness | None) -> NDArray[np.float64]:
    fit = strangeness(groups.builds, Builds.expected(text.chars))
    if known is not None:
        learnt = known.strangeness(groups, text.chars)
        fit = np.where(np.isnan(learnt), fit, 0.5 * fit + learnt)
    fit[(groups.count > 1) & (groups.builds.width > WIDEST)] = np.inf
    return fit


def _stray_cost(size: float) -> float:
    """Return the cost of taking a piece for no letter; `size` is its ink against a stroke an x-height long."""
    return 3 + 12 * min(1.0, size / 0.6)


def _gap_costs(row: Row, begins: NDArray[np.bool_], unit: float) -> NDArray[np.float64]:
    """Return the cost of each character beginning at each piece, shape (pieces + 1, chars)."""
    left = np.array([piece.box.left for piece in row.pieces])
    right = np.array([piece.box.right for piece in row.pieces])
    gap = np.array(
        [left[i : i + 3].min() - right[max(0, i - 3) : i].max() for i in range(1, len(left))], dtype=float
    )
    wide = (gap / unit - WORD_SPACE) / GAP_SPREAD
    apart = bounded(np.maximum(wide, 0))
    close = bounded(np.maximum(-wide, 0))
    inner = np.where(begins[None, :], close[:, None], apart[:, None])
    edge = np.zeros((1, len(begins)))
    return np.concatenate([edge, inner, edge])
