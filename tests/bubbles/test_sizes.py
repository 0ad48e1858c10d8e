"""Whatever the page and the words: a bubble keeps its air, is simple, and points at the mouth."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lettering.book.line import Line, Voice
from lettering.bubbles.air import MOST_AIR, air_mm, line_mm
from lettering.bubbles.body import body, hull_corners
from lettering.bubbles.join import bubble
from lettering.bubbles.tail import tail
from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.setting.reading_age import band_for
from lettering.setting.stacks import stacks
from tests.bubbles.mock_rows import X_HEIGHT, evened
from tests.bubbles.mock_rows import stacks as mock_stacks
from tests.typeface_hand import typeface_hand

LINES = ("No.", "Hippopotamus!", " ".join(["we looked in the big old shed all day"] * 5) + ".")
"""One short word, one long, and 45 words."""
SIZES = (1.0, 3.8, 7.0)
"""x-heights, mm: a page of 60 mm, one of 250 mm and one of 400 mm."""


def shape(outline: Contour) -> shapely.Polygon:
    """Return an outline as shapely sees it."""
    return shapely.Polygon(outline.flattened(0.002))


@pytest.mark.parametrize("x_height", SIZES)
@pytest.mark.parametrize("says", LINES)
@pytest.mark.parametrize("voice", ["plain", "shout", "thought", "whisper"])
def test_any_line_at_any_size_has_a_sound_bubble(x_height: float, says: str, voice: Voice) -> None:
    """One word or 45, on a page of 60 mm or 400 mm: air in its bounds, simple outlines, a tail in reach."""
    hand = typeface_hand("delius")
    line = Line(who=("wren",), says=says, voice=voice)
    for stack in stacks(line, hand, x_height_mm=x_height, language="en", band=band_for((9, 9))):
        ink = [glyph.ink for glyph in stack.glyphs]
        air, pen = air_mm(x_height), line_mm(hand.metrics.stem * x_height / hand.metrics.x_height)
        outline = body(ink, air_mm=air, voice=voice, seed=says)
        box = outline.bounds
        mouth = Point(box.centre.x + 2 * x_height, box.y1 + 9 * x_height)
        pointing = tail(outline, target=mouth, x_height_mm=x_height, line_mm=pen, voice=voice)
        drawn = bubble(outline, [pointing], line_mm=pen, voice=voice, life=0.08, seed=says)
        hull = shapely.Polygon(hull_corners(ink))

        assert shape(outline).exterior.distance(hull) >= air
        assert all(shape(contour).is_valid for contour in drawn.outline.contours)
        assert 0.4 < (pointing.tip - pointing.root).length / (mouth - pointing.root).length < 0.8
        if voice in ("plain", "whisper"):
            far = shapely.distance(shapely.points(outline.flattened()), evened(hull)).max()
            assert far <= MOST_AIR * air * 1.001


@given(mock_stacks(), st.floats(0, 2 * math.pi))
@settings(max_examples=15)
def test_a_mirrored_line_has_a_mirrored_bubble(ink: list[Rect], turn: float) -> None:
    """Ink and mouth of a left page mirrored on the right one give the bubble mirrored."""
    mirror = Affine.scaling(-1.0, 1.0)
    other = [Rect(-r.x1, r.y0, -r.x0, r.y1) for r in ink]
    outlines = [body(boxes, air_mm=X_HEIGHT) for boxes in (ink, other)]
    box = outlines[0].bounds
    far = math.hypot(box.width, box.height) / 2 + 40
    mouth = Point(box.centre.x + far * math.cos(turn), box.centre.y + far * math.sin(turn))
    mouths = (mouth, mirror.apply_to(mouth))
    tails = [
        tail(outline, target=at, x_height_mm=X_HEIGHT, line_mm=0.6)
        for outline, at in zip(outlines, mouths, strict=True)
    ]
    whole = [
        shape(bubble(outline, [pointing], line_mm=0.6).outline.contours[0])
        for outline, pointing in zip(outlines, tails, strict=True)
    ]

    mirrored = shapely.transform(whole[0], lambda xy: xy * np.array([-1.0, 1.0]))
    assert mirrored.symmetric_difference(whole[1]).area < 0.01 * whole[1].area
    assert (mirror.apply_to(tails[0].tip) - tails[1].tip).length < 0.2
