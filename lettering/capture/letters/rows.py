"""Pieces of ink gathered into rows, each on its baseline."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from lettering.capture.ink.pieces import Piece, Pieces
from lettering.capture.letters.baseline import Baseline, fit_baseline
from lettering.capture.letters.shapes import expected_shape
from lettering.capture.page import Reading
from lettering.errors import ReadingError

REACH = 5.0
"""A baseline is straight over about this many x-heights: a hand drifts, it does not jump."""
STEEPEST = 12.0
"""Rows may climb or sink by as many degrees."""
AS_READ = (0.75, 1.6)
"""Pieces of ink for each that the reading would leave, when the picture shows the page that is read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of lettering as ink."""

    pieces: tuple[Piece, ...]
    """In the order of their middles, left to right."""
    baseline: Baseline


def find_rows(pieces: Pieces, reading: Reading, name: str) -> tuple[tuple[Row, ...], float]:
    """Return the rows of a page from top to bottom and the usual height of small letters, px.

    There may be more rows than the reading has, or fewer. Raises ReadingError when there are none.
    """
    unit = _usual_height(pieces.all, reading)
    body = [piece for piece in pieces.all if _is_body(piece, unit)]
    if not body:
        raise ReadingError("no letters were found", name, "See that this is the lettered page.")
    slope = _slope(body, unit)
    found = _clusters(body, slope, unit)
    if len(found) > len(reading.rows):
        found = _without_strays(found, reading) or found
    lines = [_first_baseline(cluster, slope, unit) for cluster in found]
    return _with_marks(pieces.all, found, lines, unit), unit


def _usual_height(pieces: Sequence[Piece], reading: Reading) -> float:
    """Return about the x-height: the reading says how many letters are tall, and how many are not."""
    heights = sorted((piece.box.height for piece in pieces), reverse=True)
    chars = [char for row in reading.rows for char in row if char != " "]
    tall = sum(expected_shape(char).height > 1.15 and char not in "i!?" for char in chars)
    small = sum(0.8 < expected_shape(char).height <= 1.15 or char in "i!?" for char in chars)
    share = len(heights) / max(sum(expected_shape(char).pieces for char in chars), 1)
    if not AS_READ[0] < share < AS_READ[1]:
        # Part of the page, or more than it, is in the picture: the refusal shall still know its rows.
        tall, small = round(tall * share), round(small * share)
    if small >= max(3, len(chars) // 10):
        return float(np.median(heights[tall : tall + small] or heights[-small:]))
    return float(np.median(heights[: max(tall, 1)])) / 1.43


def _is_body(piece: Piece, unit: float) -> bool:
    return 0.6 * unit <= piece.box.height <= 3.5 * unit and piece.box.width <= 14 * unit


def _middle(piece: Piece) -> tuple[float, float]:
    return (piece.box.left + piece.box.right) / 2, (piece.box.top + piece.box.bottom) / 2


def _slope(body: Sequence[Piece], unit: float) -> float:
    """Return dy/dx of the rows: the turn that brings most feet onto the fewest lines."""
    x = np.array([_middle(piece)[0] for piece in body])
    feet = np.array([float(piece.box.bottom) for piece in body])

    def sharpness(degrees: float) -> float:
        heights = (feet - np.tan(np.radians(degrees)) * x) / unit
        counts = np.bincount(np.floor((heights - heights.min()) * 8).astype(int))
        return float((gaussian_filter1d(counts.astype(float), 1.0, mode="constant") ** 2).sum())

    turns = np.arange(-STEEPEST, STEEPEST + 0.1, 0.25)
    # An upright page is taken as upright unless turning it is clearly better.
    gains = np.array([sharpness(turn) - 0.002 * abs(turn) * len(body) for turn in turns])
    return float(np.tan(np.radians(turns[int(gains.argmax())])))


def _clusters(body: Sequence[Piece], slope: float, unit: float) -> list[list[Piece]]:
    """Return the pieces row by row: rows are the crests of where letters' middles lie."""
    heights = np.array([_middle(piece)[1] - slope * _middle(piece)[0] for piece in body]) / unit
    crowd = _density(heights, 0.3)
    crests = _crests(crowd)
    valleys = [a + int(crowd[a:b].argmin()) for a, b in pairwise(crests)]
    row = np.searchsorted(np.array(valleys), _cell(heights))
    return [[piece for piece, r in zip(body, row, strict=True) if r == k] for k in range(len(crests))]


def _cell(heights: NDArray[np.float64]) -> NDArray[np.intp]:
    return np.asarray(np.round((heights - heights.min() + 2) * 20), dtype=np.intp)


def _density(heights: NDArray[np.float64], spread: float) -> NDArray[np.float64]:
    """Return how many heights there are near each twentieth of the unit, from 2 units below the least."""
    cells = _cell(heights)
    counts = np.bincount(cells, minlength=int(cells.max()) + 41).astype(float)
    return np.asarray(gaussian_filter1d(counts, spread * 20, mode="constant"))


def _crests(crowd: NDArray[np.float64]) -> list[int]:
    """Return the crests of a curve that are parted by real valleys."""
    rising = np.diff(np.concatenate([[0.0], crowd, [0.0]])) > 0
    crests = [int(i) for i in np.flatnonzero(rising[:-1] & ~rising[1:]) if crowd[i] > 0.02 * crowd.max()]
    kept: list[int] = []
    for crest in crests:
        while kept and crowd[kept[-1] : crest].min() > 0.6 * min(crowd[kept[-1]], crowd[crest]):
            if crowd[kept[-1]] >= crowd[crest]:
                break
            kept.pop()
        else:
            kept.append(crest)
    return kept


def _without_strays(found: list[list[Piece]], reading: Reading) -> list[list[Piece]]:
    """Return the rows without those that hold far less ink than any row of the reading would."""
    shortest = min(sum(char != " " for char in row) for row in reading.rows)
    return [cluster for cluster in found if len(cluster) > 0.3 * shortest]


def _first_baseline(cluster: Sequence[Piece], slope: float, unit: float) -> Baseline:
    """Return a baseline from the feet of a row's pieces: most letters stand on it, descenders do not."""
    x = np.array([_middle(piece)[0] for piece in cluster])
    feet = np.array([float(piece.box.bottom) for piece in cluster])
    level = (feet - slope * x) / unit
    crowd = _density(level, 0.12)
    most = (int(crowd.argmax()) / 20 - 2) + level.min()
    standing = np.abs(level - most) < 0.3
    return fit_baseline(x[standing], feet[standing], reach=REACH * unit, slope=slope, least=8)


def _with_marks(
    pieces: Sequence[Piece], found: list[list[Piece]], lines: list[Baseline], unit: float
) -> tuple[Row, ...]:
    """Return the rows with their dots, quotes and commas: each mark goes to the row it is nearest to."""
    members = [list(cluster) for cluster in found]
    taken = {piece.number for cluster in found for piece in cluster}
    spans = [
        (min(p.box.left for p in cluster) - 4 * unit, max(p.box.right for p in cluster) + 4 * unit)
        for cluster in found
    ]
    for piece in pieces:
        x, y = _middle(piece)
        if piece.number in taken or piece.box.height > 2 * unit or piece.box.width > 3 * unit:
            continue
        above = [(line.at(x) - y) / unit for line in lines]
        row = min(range(len(lines)), key=lambda k: abs(above[k] - 0.7))
        if -0.9 < above[row] < 2.3 and spans[row][0] < x < spans[row][1]:
            members[row].append(piece)
    return tuple(Row(pieces=in_order(row), baseline=line) for row, line in zip(members, lines, strict=True))


def in_order(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """Return pieces by their middles, left to right."""
    return tuple(sorted(pieces, key=_middle))


def stood_on(row: Row, baseline: Baseline) -> Row:
    """Return the row with a better baseline."""
    return replace(row, baseline=baseline)
