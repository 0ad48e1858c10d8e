"""A sound set along a way: its letters turn with it and keep the distances they have in a straight row."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from lettering.geometry.contour import Contour, Points, at
from lettering.geometry.path import Path
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.setting.course import Floats, Way
from lettering.setting.letters import Inked
from lettering.setting.row import LooseRow
from lettering.setting.stack import Row, SetGlyph, Stack
from lettering.setting.weight import heavier

EDGE_POINTS = 6
"""Points to each piece of a letter's outline when distances are measured: a stroke's end is missed by less
than a fiftieth of a stem."""
FILLING_ROUNDS = 4
"""Times that a row is made larger to fill its way; the last changes it by less than a hundredth."""
KERNING_ROUNDS = 6
"""Times that the distance of two turned letters is measured and corrected; the last correction is less than
a hundredth of a stem."""


@dataclass(frozen=True, slots=True, eq=False)
class _Shape:
    """A letter of a straight row about the foot of its middle, mm, y down."""

    letter: Inked
    contours: tuple[Contour, ...]
    edge: Points
    """Shape (n, 2): points along its ink's edge."""
    middle: float
    """Where its middle stands in the straight row, mm."""
    size: float
    """How large it is beside the others."""

    def on(self, points: Points, way: Way, run: float) -> Points:
        """Return points (..., 2) about the letter's foot as they lie when it stands at `run` on the way."""
        foot, heading = way.at(run)
        c, s = np.cos(heading), np.sin(heading)
        return np.asarray(points @ np.array([[c, s], [-s, c]]) + foot)


def set_along(
    row: LooseRow, way: Way, *, x_height_mm: float, sizes: tuple[float, float] = (1.0, 1.0), outline_mm: float
) -> Stack:
    """Return a straight row's letters turned along `way`, about its middle.

    Letters change in size from the first to the second of `sizes`. With `outline_mm` a line of that weight
    goes round each letter; letters then stand so much farther apart. The stack's origin is the middle of its
    ink, and where that lies on the way's own plane is its `fixed_at`.
    """
    shapes = _shapes(row, sizes, outline_mm)
    runs = _kerned(shapes, way, outline_mm)
    glyphs = [_turned(shape, way, run, outline_mm) for shape, run in zip(shapes, runs.tolist(), strict=True)]
    centre = Rect.around(glyph.ink for glyph in glyphs).centre
    stack = Stack(
        rows=(Row(text=row.text, glyphs=tuple(glyphs), baseline_mm=float(way.at(way.length / 2)[0][1])),),
        x_height_mm=x_height_mm,
        cost=0.0,
        outline_mm=outline_mm,
        fixed_at=centre,
    )
    return stack.moved(Point(0.0, 0.0) - centre)


def filling(row: LooseRow, way: Way, *, most: float, outline_mm: float) -> float:
    """Return how much larger than it is, 1 to `most` times, a row has to be to fill `way`."""
    size = 1.0
    for _ in range(FILLING_ROUNDS):
        shapes = _shapes(row, (size, size), outline_mm)
        start, end = _ends(_kerned(shapes, way, outline_mm), shapes)
        size = min(max(size * way.length / (end - start), 1.0), most)
    return size


def _shapes(row: LooseRow, sizes: tuple[float, float], outline: float) -> list[_Shape]:
    width = row.ink.width
    return [
        _shape(letter, x, float(np.interp(_middle(letter, x), (-width / 2, width / 2), sizes)), outline)
        for letter, x in row.letters
    ]


def _middle(letter: Inked, x: float) -> float:
    return letter.ink.centre.x + x


def _shape(letter: Inked, x: float, size: float, outline: float) -> _Shape:
    foot = np.array([letter.ink.centre.x, 0.0])
    # The page turns outlines over: what is outward in glyph space is inward for `heavier` here.
    contours = tuple(heavier(Contour((knots - foot) * size), -outline / 2) for knots in letter.contours)
    pieces = np.concatenate([contour.pieces for contour in contours])
    t = np.tile(np.arange(EDGE_POINTS) / EDGE_POINTS, len(pieces))
    edge = at(np.repeat(pieces, EDGE_POINTS, axis=0), t)
    return _Shape(letter, contours, edge, _middle(letter, x), size)


def _kerned(shapes: Sequence[_Shape], way: Way, outline: float) -> Floats:
    """Return where on the way each letter stands, the row about the middle of the way.

    Neighbours keep the least distance of their ink, however the way turns them towards each other.
    """
    flat = [(b.middle - a.middle) * (a.size + b.size) / 2 for a, b in pairwise(shapes)]
    wanted = [
        _apart(a.edge, b.edge + (step, 0.0)) + 2 * outline
        for (a, b), step in zip(pairwise(shapes), flat, strict=True)
    ]
    runs = _centred(np.cumsum([0.0, *(step + 2 * outline for step in flat)]), shapes, way)
    for _ in range(KERNING_ROUNDS):
        moved = 0.0
        for i, (a, b) in enumerate(pairwise(shapes)):
            runs[i + 1] += moved
            near, far = a.on(a.edge, way, runs[i]), b.on(b.edge, way, runs[i + 1])
            short = wanted[i] - _apart(near, far)
            runs[i + 1] += short
            moved += short
        runs = _centred(runs, shapes, way)
    return runs


def _ends(runs: Floats, shapes: Sequence[_Shape]) -> tuple[float, float]:
    """Return where on the way the row's ink begins and ends."""
    before = runs[0] + float(shapes[0].edge[:, 0].min())
    return before, runs[-1] + float(shapes[-1].edge[:, 0].max())


def _centred(runs: Floats, shapes: Sequence[_Shape], way: Way) -> Floats:
    """Return places on the way, moved so that as much of the way is left before the ink as after it."""
    return np.asarray(runs + way.length / 2 - sum(_ends(runs, shapes)) / 2)


def _apart(a: Points, b: Points) -> float:
    """Return the least distance between two sets of points."""
    square = ((a[:, None] - b[None]) ** 2).sum(axis=2)
    return float(np.sqrt(square.min()))


def _turned(shape: _Shape, way: Way, run: float, outline: float) -> SetGlyph:
    path = Path(tuple(Contour(shape.on(contour.knots, way, run)) for contour in shape.contours))
    ink = path.bounds.inset(-outline / 2)
    return SetGlyph(char=shape.letter.char, take=shape.letter.take, path=path, ink=ink)
