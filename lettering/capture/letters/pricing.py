"""What each way of dealing a row's pieces to its characters costs."""

import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.capture.letters.groups import WIDEST, Groups, groups_of
from lettering.capture.letters.matching import MOST_PIECES, MOST_TOUCHING, TOUCHING, RowCosts, likeliest_cost
from lettering.capture.letters.rows import Row
from lettering.capture.letters.shapes import NONE, Builds, Proportions, Shape, bounded, strangeness

WORD_SPACE = 0.5
"""Gaps wider than this many x-heights begin to look like the space between words."""
GAP_SPREAD = 0.2
"""How far gaps stray to the wrong side of that, x-heights."""
BESIDE = 2.0
"""Ink beyond a gap of this many x-heights may be a sketch beside the row: a word space is about one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One row of the reading, its characters parted from its spaces."""

    chars: tuple[str, ...]
    """Characters, or clusters of a base and its marks."""
    places: tuple[int, ...]
    """Index of each in the typed row."""

    @classmethod
    def of(cls, row: str) -> "Text":
        """Return a typed row as characters with their places; a mark joins the letter before it."""
        clusters: list[tuple[str, int]] = []
        for place, char in enumerate(row):
            if unicodedata.combining(char) and clusters:
                clusters[-1] = (clusters[-1][0] + char, clusters[-1][1])
            elif char != " ":
                clusters.append((char, place))
        return cls(chars=tuple(c for c, _ in clusters), places=tuple(place for _, place in clusters))

    @property
    def after_space(self) -> NDArray[np.bool_]:
        """Which characters begin a word."""
        lengths = [len(char) for char in (" ", *self.chars)]
        ends = np.array([-1, *self.places])[:-1] + np.array(lengths)[:-1]
        begins: NDArray[np.bool_] = np.array(self.places) > ends
        begins[:1] = True
        return begins


def price_row(
    row: Row,
    groups: Groups,
    text: Text,
    *,
    fit: NDArray[np.float64],
    unit: float,
    stroke: float,
    hand: Proportions,
    own: Mapping[str, Shape] = NONE,
) -> RowCosts:
    """Return the costs of a row whose groups fit its characters as `fit` says, (groups, chars) in nats."""
    begins = text.after_space
    single = np.where(((groups.count > 1) & (groups.builds.width > WIDEST))[:, None], np.inf, fit)
    return RowCosts(
        single={count: single[groups.runs(count)] for count in range(1, MOST_PIECES + 1)},
        joined=dict(_joined(groups, Builds.expected(text.chars, hand, own), begins)),
        start=_gap_costs(row, begins, unit),
        stray=_stray_costs(row, unit, stroke),
    )


def usual_cost(row: Row, text: Text, unit: float, stroke: float) -> float:
    """Return what the likeliest dealing of a row's ink to a text costs in most people's lettering, nats."""
    hand, groups = Proportions(), groups_of(row, unit)
    fit = strangeness(groups.builds, Builds.expected(text.chars, hand))
    return likeliest_cost(price_row(row, groups, text, fit=fit, unit=unit, stroke=stroke, hand=hand))


def _joined(
    groups: Groups, letters: Builds, begins: NDArray[np.bool_]
) -> Iterator[tuple[tuple[int, int], NDArray[np.float64]]]:
    """Yield the costs of letters run together, by numbers of pieces and of characters."""
    for touching in range(2, min(MOST_TOUCHING, len(begins)) + 1):
        builds = letters.touching(touching)
        cost = strangeness(groups.builds, builds) * 1.5 + TOUCHING * (touching - 1)
        apart = np.lib.stride_tricks.sliding_window_view(begins, touching)[:, 1:].any(axis=-1)
        cost[:, apart] = np.inf
        for count in range(1, MOST_PIECES):
            yield (count, touching), cost[groups.runs(count)]


def _stray_costs(row: Row, unit: float, stroke: float) -> NDArray[np.float64]:
    """Return the cost of taking each piece for no letter, (pieces,): high for ink among the letters.

    Ink that lies apart from most of the row, beyond a gap wider than between words, is cheap to leave.
    """
    area = np.array([piece.area for piece in row.pieces]) / (stroke * unit)
    gap = _gaps(row)
    block = np.concatenate([[0], np.cumsum(gap > BESIDE * unit)])
    most = np.bincount(block).argmax()
    return np.asarray(3 + 12 * np.minimum(1.0, area / 0.6) * (block == most))


def _gaps(row: Row) -> NDArray[np.float64]:
    """Return the paper between each piece and the next, (pieces - 1,), px; small marks do not hide it."""
    left = np.array([piece.box.left for piece in row.pieces])
    right = np.array([piece.box.right for piece in row.pieces])
    return np.array(
        [left[i : i + 3].min() - right[max(0, i - 3) : i].max() for i in range(1, len(left))], dtype=float
    )


def _gap_costs(row: Row, begins: NDArray[np.bool_], unit: float) -> NDArray[np.float64]:
    """Return the cost of each character beginning at each piece, shape (pieces + 1, chars)."""
    wide = (_gaps(row) / unit - WORD_SPACE) / GAP_SPREAD
    apart = bounded(np.maximum(wide, 0))
    close = bounded(np.maximum(-wide, 0))
    inner = np.where(begins[None, :], close[:, None], apart[:, None])
    edge = np.zeros((1, len(begins)))
    return np.concatenate([edge, inner, edge])
