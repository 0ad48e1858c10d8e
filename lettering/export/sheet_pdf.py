"""A sheet to letter on, as a leaf of paper: guides, prompts, and the marks by which its picture is read.

Guides and prompts are printed in a pale blue that a camera's blue light shows no darker than paper.
"""

import math
from collections.abc import Iterator

from lettering.drawing import BLACK, Colour
from lettering.export.leaf import Leaf, Rule, Words, leaves_pdf
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.hand.sheet import ABOVE, PROMPT_MM, SIDE_MM, Code, Sheet

STRONG, FAINT, PROMPT = Colour(194, 230, 255), Colour(219, 242, 255), Colour(153, 204, 255)
"""Blue of the guides and of the prompts; its blue part is full, as paper's is."""
STRONG_MM, FAINT_MM = 0.25, 0.15
DISC_CORNERS = 120
"""Corners of a disc: of a radius of 4 mm they miss 0.002 mm."""


def sheet_pdf(sheet: Sheet) -> bytes:
    """Return the sheet as a PDF of one page, its type embedded; the same bytes for it on one system."""
    width, height = sheet.size_mm
    return leaves_pdf([Leaf(width_mm=width, height_mm=height, items=tuple(_items(sheet)))], sheet.title)


def _items(sheet: Sheet) -> Iterator[Rule | Words]:
    left, right = SIDE_MM, sheet.size_mm[0] - SIDE_MM
    for height, strong in sheet.guides:
        colour, width = (STRONG, STRONG_MM) if strong else (FAINT, FAINT_MM)
        yield Rule(points=(Point(left, height), Point(right, height)), colour=colour, width_mm=width)
    for row in sheet.rows:
        top = row.baseline_mm - ABOVE * sheet.x_height_mm - 0.25 * PROMPT_MM
        yield Words(text=row.text, at=Point(left, top), size_mm=PROMPT_MM, colour=PROMPT)
    for disc in sheet.discs:
        yield _disc(disc, sheet.disc_mm)
    for code in sheet.codes:
        yield from _code(code)


def _disc(middle: Point, radius: float) -> Rule:
    turns = [2 * math.pi * k / DISC_CORNERS for k in range(DISC_CORNERS)]
    corners = [Point(middle.x + radius * math.cos(t), middle.y + radius * math.sin(t)) for t in turns]
    return Rule(points=(*corners, corners[0]), width_mm=0.0, fill=BLACK)


def _code(code: Code) -> Iterator[Rule]:
    """Yield the dark dots, those side by side as one bar, so that no hairline shows between them."""
    side = code.box.width / len(code.dots)
    for row, dots in enumerate(code.dots.tolist()):
        start = 0
        for place, dark in enumerate([*dots, False]):
            if not dark:
                if place > start:
                    x, y = code.box.x0 + start * side, code.box.y0 + row * side
                    bar = Rect.sized(x, y, (place - start) * side, side)
                    yield Rule.box(bar, BLACK, width_mm=0.0, fill=BLACK)
                start = place + 1
