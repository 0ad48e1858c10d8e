"""Drawings that the export tests share: round and straight shapes, paints, titles that need care."""

import numpy as np

from lettering.drawing import BLACK, WHITE, Colour, Drawing, Group, Layer, Painted
from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour
from lettering.geometry.path import Path
from lettering.geometry.rect import Rect

ROUND = 0.5522847498
"""Handle of a quarter circle of radius 1, as share of the radius: 4/3 (sqrt 2 - 1)."""


def disc(x: float, y: float, radius: float) -> Contour:
    """Return a circle of four cubics, within 0.03 % of the radius."""
    quarter = np.array([(1.0, 0.0), (1.0, ROUND), (ROUND, 1.0)])
    turns = [Affine(*c) for c in ((1, 0, 0, 1), (0, 1, -1, 0), (-1, 0, 0, -1), (0, -1, 1, 0))]
    return Contour(np.stack([turn.apply(quarter) for turn in turns]) * radius + (x, y))


def letters() -> tuple[Painted, ...]:
    """Return an o with its hole, a v of straight sides and an i in two pieces."""
    ring = Path((disc(50.1234, 40, 3), disc(50.1234, 40, 1.7).reversed()))
    wedge = Path((Contour.polygon(np.array([(55, 37), (56, 37), (58, 42), (60, 37), (61, 37), (58.3, 43)])),))
    dotted = Path((Contour.rectangle(Rect(63, 38, 64, 43)), disc(63.5, 36, 0.7)))
    return tuple(Painted(path=path, char=char) for path, char in ((ring, "o"), (wedge, "v"), (dotted, "&")))


def spread() -> Drawing:
    """Return a spread of 240 x 160 mm with two bubbles, one dashed, and letters in one of them."""
    round_one = Painted(path=Path((disc(57, 40, 15),)), fill=WHITE, stroke=BLACK, stroke_mm=0.4)
    dashed = Painted(
        path=Path((disc(100, 20, 9),)),
        fill=Colour(250, 240, 230),
        stroke=Colour(10, 20, 30),
        stroke_mm=0.3,
        stroke_dash_mm=(2.0, 1.5),
    )
    bubbles = (
        Group(id="bubbles-1", title="Bubble of wren", items=(round_one,), data={"line": "1", "who": "wren"}),
        Group(id="bubbles-2", title="Bubble of toad", items=(dashed,), data={"line": "2", "who": "toad"}),
    )
    words = Group(id="lettering-1", title='"o < v" & so', items=letters(), data={"line": "1", "who": "wren"})
    return Drawing(
        title="Pages 4-5",
        description="Wren says o v.",
        language="en-GB",
        trim=Rect(0, 0, 240, 160),
        bleed_mm=3,
        layers=(
            Layer(id="bubbles", title="Bubbles", groups=bubbles),
            Layer(id="lettering", title="Lettering", groups=(words,)),
        ),
    )
