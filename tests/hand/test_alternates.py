"""A typeface that draws several shapes of a letter in turn: the shapes come back as takes, and take turns."""

from functools import cache

import uharfbuzz as hb
from fontTools.ttLib import TTFont

from lettering.geometry.affine import Affine
from lettering.geometry.outline import Outline
from lettering.geometry.rect import Rect
from lettering.hand.alternation import WINDOW, choose_takes
from lettering.hand.edges import Edges
from lettering.hand.gathered import hand_from
from lettering.hand.hand import Hand
from lettering.hand.likeness import distances, pictures
from lettering.hand.take import Drawn, Source
from tests.typeface_hand import TYPEFACES, _ContourPen

FILE = TYPEFACES / "caveat" / "Caveat_400Regular.ttf"
ROWS = ("a banana and nanna annoyed", "hello hollow little kettle", "see the tree been seen here")
ALIKE = 0.05
"""Pictures nearer than this are of one shape: the same glyph, shifted by part of a cell, comes to less."""


@cache
def rows() -> list[tuple[Drawn, str]]:
    """Return letters as HarfBuzz sets them, contextual alternates on, each with its glyph."""
    font = TTFont(FILE)
    shaper, names = hb.Font(hb.Face(hb.Blob.from_file_path(str(FILE)))), font.getGlyphOrder()
    found = []
    for row, text in enumerate(ROWS):
        buffer, pen_x = hb.Buffer(), 0.0
        buffer.add_str(text)
        buffer.guess_segment_properties()
        hb.shape(shaper, buffer, {"calt": True, "liga": False})
        for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
            name, char = names[info.codepoint], text[info.cluster]
            pen = _ContourPen(font.getGlyphSet(), 1.0)
            font.getGlyphSet()[name].draw(pen)
            if char != " ":
                found.append((_letter(char, pen.contours, pen_x, row, info.cluster), name))
            pen_x += position.x_advance
    return found


def _letter(char: str, contours: list, x: float, row: int, place: int) -> Drawn:  # type: ignore[type-arg]
    outline = Outline(tuple(contours)).transformed(Affine(a=1.6, d=1.6, e=1.6 * x))
    source = Source(page="p.png", row=row, place=place, box=Rect(0, 0, 9, 9), confidence=1.0)
    return Drawn(char=char, outline=outline, row=row, place=place, source=source, picture=b"")


@cache
def hand() -> Hand:
    """Return what the rows give."""
    return hand_from([drawn for drawn, _ in rows()], name="hers", mm_per_unit=None)


def shapes(char: str) -> int:
    """Return how many shapes the takes of a character have."""
    takes = [take.outline for take in (*hand().takes.get(char, ()), *hand().aside.get(char, ()))]
    apart = distances(pictures(Edges.of(takes)))
    return sum(all(apart[i, j] > ALIKE for j in range(i)) for i in range(len(takes)))


def test_every_alternate_comes_back_as_a_shape_of_its_own() -> None:
    """Takes of a letter have as many shapes as HarfBuzz used glyphs for it."""
    for char in "aenlt":
        used = {name for drawn, name in rows() if drawn.char == char}

        assert len(used) > 1
        assert shapes(char) == len(used)


def test_setting_repeats_none_within_its_window() -> None:
    """In other words of these letters no take comes back within the window while others are left."""
    text = "he had nothing to eat then and neither had she"
    chosen = choose_takes(text, hand())
    for at, take in enumerate(chosen):
        near = [other for other in chosen[max(0, at - WINDOW) : at] if other]
        if take is not None and take in near:
            assert {o.name for o in near if o.char == take.char} == {o.name for o in hand().takes[take.char]}
