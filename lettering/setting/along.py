"""A sound set along a way: its letters turn with it and keep the distances they have in a straight row."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from lettering.geometry.contour import Contour
from lettering.geometry.fit import fit_closed
from lettering.geometry.path import Path
from lettering.geometry.point import Point, Vector
from lettering.geometry.rect import Rect
from lettering.geometry.region import Region
from lettering.setting.course import Floats, Way
from lettering.setting.letters import Inked
from lettering.setting.row import LooseRow
from lettering.setting.stack import Row, SetGlyph, Stack

FILLING_ROUNDS = 4
"""Times that a row is made larger to fill its way; the last changes it by less than a hundredth."""
KERNING_ROUNDS = 40
"""Times, at most, that the distance of turned letters is measured and corrected."""
GENTLY = 0.7
"""How much of a distance is corrected at once: in a bend a letter's head moves farther than its foot."""
SETTLED_MM = 0.005
"""A row whose end moves by less has settled."""
EDGE_MM = 0.005
"""How closely a letter's edge is followed where distances are measured or a line goes round it."""


@dataclass(frozen=True, slots=True, eq=False)
class _Shape:
    """A letter of a straight row about the foot of its middle, mm, y down."""

    letter: Inked
    contours: tuple[Contour, ...]
    ink: Region
    middle: float
    """Where its middle stands in the straight row, mm."""
    size: float
    """How large it is beside the others."""


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
    contours = tuple(Contour((contour.knots - foot) * size) for contour in letter.path.contours)
    if outline:
        contours = tuple(_outlined(contours, outline / 2))
    ink = Region.of_contours(contours, EDGE_MM)
    return _Shape(letter, contours, ink, _middle(letter, x), size)


def _outlined(contours: Sequence[Contour], by: float) -> Iterator[Contour]:
    """Yield the outlines of a letter's ink made one and grown by `by` mm: no line runs inside of it."""
    ink = Region.of_contours(contours, EDGE_MM).buffered(by)
    # A pen turns no corner sharper than its own line.
    for ring in ink.buffered(by / 2).buffered(-by / 2).rings():
        yield fit_closed(ring)


def _kerned(shapes: Sequence[_Shape], way: Way, outline: float) -> Floats:
    """Return where on the way each letter stands, the row about the middle of the way.

    Neighbours keep the least distance of their ink, however the way turns them towards each other.
    """
    flat = [(b.middle - a.middle) * (a.size + b.size) / 2 for a, b in pairwise(shapes)]
    wanted = [
        a.ink.distance(b.ink.moved(Vector(step, 0.0))) + 2 * outline
        for (a, b), step in zip(pairwise(shapes), flat, strict=True)
    ]
    # From too far apart letters only ever come nearer, and none is led through its neighbour.
    loose = max((shape.ink.bounds.height for shape in shapes), default=0.0) / 2
    runs = _centred(np.cumsum([0.0, *(step + 2 * outline + loose for step in flat)]), shapes, way)
    for _ in range(KERNING_ROUNDS):
        moved = 0.0
        before = shapes[0].ink.transformed(way.standing(runs[0]))
        for i, shape in enumerate(shapes[1:]):
            here = shape.ink.transformed(way.standing(runs[i + 1] + moved))
            short = (wanted[i] - before.distance(here)) * GENTLY
            moved += short
            runs[i + 1] += moved
            before = here
        runs = _centred(runs, shapes, way)
        if abs(moved) < SETTLED_MM:
            break
    return runs


def _ends(runs: Floats, shapes: Sequence[_Shape]) -> tuple[float, float]:
    """Return where on the way the row's ink begins and ends."""
    before = runs[0] + shapes[0].ink.bounds.x0
    return before, runs[-1] + shapes[-1].ink.bounds.x1


def _centred(runs: Floats, shapes: Sequence[_Shape], way: Way) -> Floats:
    """Return places on the way, moved so that as much of the way is left before the ink as after it."""
    return np.asarray(runs + way.length / 2 - sum(_ends(runs, shapes)) / 2)


def _turned(shape: _Shape, way: Way, run: float, outline: float) -> SetGlyph:
    path = Path(shape.contours).transformed(way.standing(run))
    ink = path.bounds.inset(-outline / 2)
    return SetGlyph(char=shape.letter.char, take=shape.letter.take, drawn=path, ink=ink)
