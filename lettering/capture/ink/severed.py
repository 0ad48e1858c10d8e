"""Strokes that a dry pen or the paper's tooth has cut through, joined for the reading.

To the eye such a letter is whole, since the paper between its pieces is not bare: a dry pen leaves a tint
there, and paper between letters has none but what the blur of two near edges brings. Pieces that are one only
count as one: the ink itself, and so the outline, keeps its dry edges.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt, find_objects
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from lettering.capture.box import Box
from lettering.capture.ink.ink import Ink
from lettering.capture.ink.pieces import Pieces, areas_of, renumbered

WIDEST = 1.2
"""Streaks are at most so wide, of a stroke's width."""
TINTED = 0.08
"""Least coverage that a dry pen leaves in the middle between two pieces, of full ink, on average. Two sharp
edges three px apart leave 0.06 there, through a blur of 0.8 px (closed form)."""
LEAST_PX = 3
"""Smaller pieces are grain of the picture."""
MOST = 5000
"""Pictures of more pieces are no lettering, and would take long."""


Join = tuple[int, int]
"""The numbers of two pieces that are one."""


def unsevered(pieces: Pieces, ink: Ink) -> Pieces:
    """Return the pieces with those of one stroke counted as one; the same when no stroke is cut through.

    Letters that nearly touch may be counted as one too: whoever reads them must see which way reads more.
    """
    return joined(pieces, joins_of(pieces, ink))


def joins_of(pieces: Pieces, ink: Ink) -> tuple[Join, ...]:
    """Return the pieces, specks too, with tinted paper between them, by pairs."""
    return tuple(_joins(pieces, ink)) if int(pieces.map.max()) <= MOST else ()


def joined(pieces: Pieces, joins: Sequence[Join]) -> Pieces:
    """Return the pieces with those joined counted as one, under the least of their numbers."""
    return renumbered(pieces, least_numbers(pieces, joins)) if joins else pieces


def least_numbers(pieces: Pieces, joins: Sequence[Join]) -> NDArray[np.int32]:
    """Return for each number of a piece the least of those it is joined with, shape (numbers,)."""
    count = int(pieces.map.max()) + 1
    one, other = np.array(joins, dtype=np.intp).reshape(-1, 2).T
    graph = coo_array((np.ones(len(joins)), (one, other)), shape=(count, count))
    groups = connected_components(graph, directed=False)[1]
    _, least = np.unique(groups, return_index=True)
    return np.asarray(least[groups], dtype=np.int32)


def _joins(pieces: Pieces, ink: Ink) -> Iterator[Join]:
    areas, widest = areas_of(pieces.map), WIDEST * pieces.stroke_px
    boxes = [Box(y.start, x.start, y.stop, x.stop) for y, x in find_objects(pieces.map)]
    sizes = np.array([0, *(box.height * box.width for box in boxes)])
    for number, own in enumerate(boxes, start=1):
        if areas[number] < LEAST_PX:
            continue
        box = own.grown(int(widest) + 1, ink.shape)
        crop = pieces.map[box.slices]
        # Each pair is looked at in the smaller one's box: the other may be a frame round the page.
        beside = [
            other
            for other in np.unique(crop[crop > 0]).tolist()
            if (sizes[other], other) > (sizes[number], number) and areas[other] >= LEAST_PX
        ]
        for other in beside:
            if _is_tinted(ink.coverage(box), crop == number, crop == other, widest):
                yield number, other


def _is_tinted(
    coverage: NDArray[np.float32], one: NDArray[np.bool_], other: NDArray[np.bool_], widest: float
) -> bool:
    """Tell whether two pieces are at most `widest` px apart, and paper midway is tinted; all shape (h, w)."""
    away = distance_transform_edt(~one)
    gap = float(away[other].min()) - 1
    if gap > widest:
        return False
    far = distance_transform_edt(~other)
    middle = (away > 0) & (far > 0) & (away + far <= gap + 2) & (np.abs(away - far) <= 1)
    return bool(middle.any() and coverage[middle].mean() > TINTED)
