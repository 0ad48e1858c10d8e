"""A page lettered with another pen is brought to the weight of those before it."""

import ctypes
from collections.abc import Callable, Sequence
from dataclasses import replace
from statistics import median

import freetype
import numpy as np
import pytest

from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.hand.edges import Edges
from lettering.hand.gathered import hand_from
from lettering.hand.hand import Hand
from lettering.hand.measure import stroke_widths
from lettering.hand.take import Drawn
from tests.hand.drawn_rows import drawn_rows, scale
from tests.simulated_page import typeface
from tests.typeface_hand import typeface_hand

FACE = "patrick-hand"
ROWS = ("the old toad sat under a leaf", "because his cello was still out")


def emboldened(char: str, strength: float) -> Outline:
    """Return the typeface's own letter, emboldened by FreeType (FT_Outline_Embolden), at the tests' scale.

    Strokes come out thicker by `strength`, font units of the tests; thinner when it is negative.
    """
    face = freetype.Face(str(typeface(FACE)))
    face.load_char(char, freetype.FT_LOAD_NO_SCALE)
    truth = typeface_hand(FACE).takes[char][0].outline.bounds
    k = truth.height * scale(FACE) / (face.glyph.outline.get_bbox().yMax - face.glyph.outline.get_bbox().yMin)
    freetype.FT_Outline_Embolden(ctypes.byref(face.glyph.outline._FT_Outline), round(strength / k))
    contours: list[list[np.ndarray]] = []

    def piece(*points: tuple[float, float]) -> None:
        contours[-1].append(np.array([contours[-1][-1][-1], *points]))

    def conic(a: freetype.FT_Vector, b: freetype.FT_Vector, _: object) -> None:
        start, handle, end = contours[-1][-1][-1], np.array([a.x, a.y]), np.array([b.x, b.y])
        piece(start + (handle - start) * 2 / 3, end + (handle - end) * 2 / 3, end)

    def line(a: freetype.FT_Vector, _: object) -> None:
        start, end = contours[-1][-1][-1], np.array([a.x, a.y])
        if (start != end).any():
            piece(start + (end - start) / 3, start + (end - start) * 2 / 3, end)

    def move(a: freetype.FT_Vector, _: object) -> None:
        contours.append([np.array([[a.x, a.y]], dtype=float)])

    face.glyph.outline.decompose(None, move_to=move, line_to=line, conic_to=conic, cubic_to=piece)
    # TrueType's outlines run the other way round.
    return Outline(
        tuple(Contour(np.stack([p[:3] for p in c[1:]]) * k).reversed() for c in contours if len(c) > 1)
    )


def with_pen(strength: float) -> list[Drawn]:
    """Return a page lettered with a pen so much thicker, its letters standing where they stood."""
    page = []
    for letter in drawn_rows(FACE, ROWS, page="pen.png", seed=5):
        bold = emboldened(letter.char, strength)
        shift = letter.outline.bounds.centre - bold.bounds.centre
        page.append(replace(letter, outline=bold.transformed(Affine.translation(shift))))
    return page


def stems(outlines: Sequence[Outline]) -> float:
    """Return the middle thickness of stroke, font units."""
    return median(stroke_widths(Edges.of(outlines)).tolist())


def of_page(hand: Hand, page: str, of: Callable[[str], bool] = str.isalpha) -> list[Outline]:
    """Return the outlines of a page's letters in a hand."""
    every = (take for char, group in hand.takes.items() if of(char) for take in group)
    return [take.outline for take in every if take.source and take.source.page == page]


@pytest.mark.parametrize("share", [-0.2, 0.15, 0.3], ids=["a fine pen", "a broad pen", "a brush"])
def test_a_page_of_another_pen_comes_to_the_weight_of_the_first(share: float) -> None:
    """Strokes that FreeType made thicker or thinner end within 3 % of the first page's."""
    first = hand_from(drawn_rows(FACE), name="hers", mm_per_unit=None)
    usual = stems(of_page(first, "page.png"))
    page = with_pen(share * usual)
    assert stems([letter.outline for letter in page]) == pytest.approx((1 + share) * usual, rel=0.04)
    both = hand_from(page, name="hers", mm_per_unit=None, previous=first)

    assert stems(of_page(both, "pen.png")) == pytest.approx(usual, rel=0.03)
    assert stems(of_page(both, "page.png")) == pytest.approx(usual, rel=0.002)
