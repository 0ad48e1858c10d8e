"""Connected pieces of ink."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import find_objects, label

from lettering.capture.box import Box
from lettering.capture.page import PageImage
from lettering.capture.strips import strips
from lettering.errors import ReadingError

LEAST_STROKE_PX = 3.0
"""Thinner strokes have no edge to follow: the two sides blur into one another."""
SPECK = 0.2
"""Ink smaller than this share of a square of the stroke's width is dust; a pen's own dot is about 0.8."""
HOLE = 0.15
"""A hole smaller than this share of that square is a gap in the ink, not part of the letter's shape."""

EIGHT = np.ones((3, 3), dtype=np.bool_)


@dataclass(frozen=True, slots=True)
class Piece:
    """One connected piece of ink."""

    number: int
    """Its value in the map of pieces."""
    box: Box
    area: int
    """Pixels."""
    holes: int = 0
    """Paper enclosed by ink, pin-holes aside."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pieces:
    """All pieces of a page but its specks."""

    map: NDArray[np.int32]
    """Shape of the page: the number of the piece that covers each pixel, 0 on paper."""
    all: tuple[Piece, ...]
    stroke_px: float
    """Usual width of a stroke."""

    def own(self, pieces: Sequence[Piece], box: Box) -> NDArray[np.bool_]:
        """Return which pixels of a box belong to `pieces`."""
        crop = self.map[box.slices]
        mine: NDArray[np.bool_] = crop == pieces[0].number
        for piece in pieces[1:]:
            mine |= crop == piece.number
        return mine


def find_pieces(mask: NDArray[np.bool_], page: PageImage) -> Pieces:
    """Return the pieces of ink in a mask; raises ReadingError when the strokes are too thin to be used."""
    numbers = np.asarray(label(mask, EIGHT)[0], dtype=np.int32)
    found = _found(numbers)
    stroke = _stroke_px(numbers, found)
    if stroke < LEAST_STROKE_PX:
        raise ReadingError(
            f"the strokes are {stroke:.1f} px wide; at least {LEAST_STROKE_PX:.0f} are needed",
            page.name,
            "Scan at a higher resolution.",
        )
    return Pieces(map=numbers, all=_kept(numbers, found, stroke), stroke_px=stroke)


def renumbered(pieces: Pieces, numbers: NDArray[np.int32]) -> Pieces:
    """Return the pieces with new numbers: `numbers`, shape (old numbers,), has 0 for paper only."""
    fewer = np.empty_like(pieces.map)
    for rows in strips(len(fewer)):
        fewer[rows] = numbers[pieces.map[rows]]
    return Pieces(
        map=fewer,
        all=_kept(fewer, _found(fewer), pieces.stroke_px),
        stroke_px=pieces.stroke_px,
    )


def _found(numbers: NDArray[np.int32]) -> list[Piece]:
    """Return the pieces of a map, specks too, their holes uncounted."""
    return [
        Piece(number, Box(rows.start, columns.start, rows.stop, columns.stop), area)
        for number, (place, area) in enumerate(
            zip(find_objects(numbers), areas_of(numbers)[1:], strict=True), start=1
        )
        if place
        for rows, columns in [place]
    ]


def _kept(numbers: NDArray[np.int32], found: Sequence[Piece], stroke: float) -> tuple[Piece, ...]:
    """Return the pieces that are no specks, with their holes."""
    return tuple(
        replace(piece, holes=_holes(numbers[piece.box.slices] == piece.number, stroke))
        for piece in found
        if piece.area >= SPECK * stroke**2
    )


def areas_of(numbers: NDArray[np.int32]) -> list[int]:
    """Return the pixels of each number in a map of pieces; 0 for paper."""
    # Paper is most of the page, and counting widens what it counts to 64 bits.
    counts = np.bincount(numbers[numbers > 0], minlength=int(numbers.max(initial=0)) + 1)
    return [int(count) for count in counts]


def _stroke_px(numbers: NDArray[np.int32], pieces: Sequence[Piece]) -> float:
    """Return the usual width of a stroke: twice the area over the boundary, of the middling pieces."""
    large = sorted(pieces, key=lambda piece: -piece.area)[:400]
    if not large:
        return 0.0
    least = 0.1 * np.median([piece.area for piece in large[: len(large) // 2 + 1]])
    widths = [
        2 * piece.area / boundary(numbers[piece.box.slices] == piece.number)
        for piece in large
        if piece.area >= least
    ]
    return float(np.median(widths))


def boundary(own: NDArray[np.bool_]) -> float:
    """Return the length of a boundary: pixel edges crossed, corrected for slanted ones (Cauchy-Crofton)."""
    padded = np.pad(own, 1)
    crossed = np.count_nonzero(padded[1:] != padded[:-1]) + np.count_nonzero(padded[:, 1:] != padded[:, :-1])
    return float(np.pi / 4 * crossed)


def _holes(own: NDArray[np.bool_], stroke: float) -> int:
    """Return how many holes the ink has that are no mere gaps in a stroke."""
    step = max(1, int(stroke // 4))
    sampled = own[::step, ::step]
    gaps, count = label(np.pad(~sampled, 1, constant_values=True))
    sizes = np.bincount(gaps.ravel(), minlength=count + 1)
    sizes[[0, gaps[0, 0]]] = 0
    return int((sizes * step**2 >= HOLE * stroke**2).sum())
