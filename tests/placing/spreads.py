"""Spreads to place, for tests: planted ones from random books, with bodies of plain superellipses."""

import json
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lettering.book.page import PageFormat, frame
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.placing.candidates import bodies
from lettering.placing.placement import LineToPlace, PlacedSpread, Shape, Speaker, SpreadToPlace
from lettering.placing.springing import with_tails
from tests.random_books import Planted, planted_spread

X_HEIGHT_MM = 3.5


def oval(width: float, height: float, corners: int = 64) -> NDArray[np.float64]:
    """Return the corners of a superellipse of exponent 2.5 about the origin, mm."""
    turn = np.arange(corners) * 2 * np.pi / corners
    c, s = np.cos(turn), np.sin(turn)
    x, y = np.sign(c) * np.abs(c) ** 0.8, np.sign(s) * np.abs(s) ** 0.8
    return np.stack([x * width / 2, y * height / 2], axis=1)


def shapes(says: str) -> tuple[Shape, ...]:
    """Return bodies for the words in one to four rows, those about twice as wide as high first."""
    found = []
    for rows in range(1, 5):
        width, height = len(says) / rows * 2.6 + 12, rows * 9.5 + 8
        if width < 110 and width > 0.7 * height:
            found.append(Shape(body=oval(width, height), cost=3 * abs(float(np.log(width / height / 2)))))
    return tuple(sorted(found, key=lambda shape: shape.cost))


def to_place(spread: Planted, pages: int = 2) -> SpreadToPlace:
    """Return a planted spread as placing wants it."""
    speakers = {
        who: Speaker(who=who, target=Point(*spread.mouths[who]), box=Rect.sized(*box))
        for who, box in spread.figures.items()
    }
    return SpreadToPlace(
        frame=frame(PageFormat(width_mm=250, height_mm=250), pages),
        lines=tuple(
            LineToPlace(line=number, shapes=shapes(says), speakers=(speakers[who],))
            for number, (who, says) in enumerate(spread.lines, 1)
        ),
        figures=tuple((who, Rect.sized(*box)) for who, box in spread.figures.items()),
        x_height_mm=X_HEIGHT_MM,
    )


def random_spread(seed: int, lines: int = 4) -> tuple[Planted, SpreadToPlace]:
    """Return a planted spread both as it was grown and as placing wants it."""
    planted = planted_spread(np.random.default_rng(seed), lines)
    return planted, to_place(planted)


def as_layout(
    spread: SpreadToPlace, placed: PlacedSpread, planted: Planted
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return the layout as it would be written, tails as plain triangles, and the book it belongs to."""
    lines = []
    for line, placement, (who, says) in zip(spread.lines, placed.placements, planted.lines, strict=True):
        centre = np.array([(placement.centre.x, placement.centre.y)])
        found = with_tails(spread, bodies(line, np.array([placement.shape]), centre))
        tails = [t.hull(spread.x_height_mm)[0][[0, 1, 4]].tolist() for t in found.tails]
        tips = [[tip.x, tip.y] for tip in placement.tips]
        body = (line.shapes[placement.shape].body + centre).tolist()
        lines.append(
            {
                "line": line.line,
                "who": [who],
                "says": says,
                "body": body,
                "tails": tails,
                "tips": tips,
                "ink": [],
            }
        )
    trim, fold = spread.frame.trim, spread.frame.fold_x
    layout = {"pages": [4, 5], "trim": [trim.x0, trim.y0, trim.x1, trim.y1], "fold": fold, "lines": lines}
    figures = {
        who: {"box": list(box), "mouth": list(planted.mouths[who])} for who, box in planted.figures.items()
    }
    book = {
        "page": {"width": "250 mm", "height": "250 mm", "safe": "8 mm", "gutter": "10 mm"},
        "spreads": [{"pages": "4-5", "figures": figures}],
    }
    return json.loads(json.dumps({"spreads": [layout]})), book
