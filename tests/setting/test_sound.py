"""Sounds along their ways."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from scipy.special import ellipe

from lettering.book.line import COURSES, Course, Line
from lettering.geometry.point import Point
from lettering.geometry.region import Region
from lettering.setting.course import ARC, SWELL, WAVE_X_HEIGHTS, course, free
from lettering.setting.reading_age import band_for
from lettering.setting.stack import Stack
from lettering.setting.stacks import stacks
from tests.typeface_hand import typeface_hand

BAND = band_for((5, 5))
POINTS = (Point(30, 60), Point(60, 45), Point(100, 70), Point(130, 50))


def sound(
    says: str, along: Course | tuple[Point, ...] | None, outline_mm: float = 0.0, x_height_mm: float = 5.0
) -> Stack:
    """Return a sound in the hand of a typeface (Patrick Hand)."""
    line = Line(who=(), says=says, voice="sound", along=along, outline_mm=outline_mm)
    hand = typeface_hand("patrick-hand")
    (stack,) = stacks(line, hand, x_height_mm=x_height_mm, language="en", band=BAND)
    return stack


def clearances(stack: Stack) -> list[float]:
    """Return the distances between the ink of neighbours, mm (shapely)."""
    ink = [Region.of_path(glyph.path, 0.005) for glyph in stack.glyphs]
    return [a.distance(b) for a, b in pairwise(ink)]


def test_courses_have_the_lengths_of_their_formulas() -> None:
    """An arc turns through its angle on a circle; a wave is as long as its elliptic integral says."""
    arc = course("arc", 60.0, 5.0)
    chord = np.linalg.norm(arc.points[-1] - arc.points[0])
    wave = course("wave", 100.0, 5.0)
    steepest = 2 * np.pi * SWELL
    exact = 100.0 * 2 / np.pi * np.sqrt(1 + steepest**2) * ellipe(steepest**2 / (1 + steepest**2))

    assert arc.length == pytest.approx(60.0, abs=0.001)
    assert chord == pytest.approx(2 * 60.0 / ARC * np.sin(ARC / 2), abs=1e-9)
    assert WAVE_X_HEIGHTS * 5.0 == 50.0
    assert wave.length == pytest.approx(exact, rel=1e-4)


def test_a_free_way_goes_through_its_points() -> None:
    """The curve meets every given point, and without a sudden turn."""
    way = free(POINTS)
    away = [np.linalg.norm(way.points - (p.x, p.y), axis=1).min() for p in POINTS]
    steps = np.diff(way.points, axis=0)
    turns = np.diff(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])))

    assert max(away) < 1e-9
    assert np.abs(turns).max() < 0.05


@pytest.mark.parametrize("along", [*COURSES, POINTS])
def test_letters_are_kerned_along_the_way(along: Course) -> None:
    """Turned letters keep the distances that they have in a straight row, by geometry."""
    straight = sound("KER-SPLASH", None)
    turned = sound("KER-SPLASH", along)
    size = turned.x_height_mm / straight.x_height_mm
    stem = typeface_hand("patrick-hand").metrics.stem * 6.5 / typeface_hand("patrick-hand").metrics.x_height
    if along == "shrinking":
        return assert_dwindles(turned)

    assert clearances(turned) == pytest.approx(
        [size * c for c in clearances(straight)], abs=0.1 * size * stem
    )


def assert_dwindles(stack: Stack) -> None:
    """A dwindling sound ends at its own size, begins larger, and never collides."""
    heights = [glyph.path.bounds.height for glyph in stack.glyphs if glyph.char in "KRSLAH"]

    assert heights[0] > 1.5 * heights[-1]
    assert min(clearances(stack)) > 0.2


def test_an_outline_leaves_the_letter_white() -> None:
    """The line lies round the letter: what is left white inside it is the letter itself."""
    solid, lined = sound("BOOM", "arc"), sound("BOOM", "arc", outline_mm=1.0)

    for plain, glyph in zip(solid.glyphs, lined.glyphs, strict=True):
        white = Region.of_path(glyph.path).buffered(-0.5).area

        assert white == pytest.approx(Region.of_path(plain.path).area, rel=0.06)
    assert clearances(lined) == pytest.approx([c + 1.0 for c in clearances(solid)], abs=0.1)


def test_a_given_way_fixes_place_and_size() -> None:
    """A sound fills its given way and knows its place on the page, however small the page."""
    stack = sound("CRASH", POINTS)
    box = stack.moved(stack.fixed_at - Point(0, 0)).ink
    small = sound("CRASH", tuple(Point(p.x / 4, p.y / 4) for p in POINTS), x_height_mm=1.25)

    assert (box.x0, box.x1) == pytest.approx((30, 130), abs=12)
    assert small.ink.width == pytest.approx(stack.ink.width / 4, rel=1e-3)


def test_words_stay_in_order_and_the_least_size_is_kept() -> None:
    """Every letter is drawn once, in order, in one row; words too long for their way are not made smaller."""
    stack = sound("tick tock\ntick tock", (Point(0, 0), Point(10, 0)))

    assert [glyph.char for glyph in stack.glyphs] == list("ticktockticktock")
    assert [row.text for row in stack.rows] == ["tick tock tick tock"]
    assert stack.x_height_mm == pytest.approx(5.0 * 1.3)


@pytest.mark.parametrize("bend", [6.0, 9.0, 14.0])
def test_no_bend_leads_a_letter_into_its_neighbour(bend: float) -> None:
    """Along a way that goes up and down hard, neighbours stay at least half a stem apart (shapely)."""
    way = (Point(-34, bend), Point(-12, -bend), Point(12, bend), Point(34, -bend))
    metrics = typeface_hand("patrick-hand").metrics

    stack = sound("CRASH!", way, outline_mm=1.0)

    stem = metrics.stem * stack.x_height_mm / metrics.x_height
    assert min(clearances(stack)) - 1.0 > stem / 2


@pytest.mark.parametrize("weight", [0.4, 0.8, 1.4])
def test_no_line_runs_inside_an_outlined_letter(weight: float) -> None:
    """Strokes that meet, as those of W and M, are one shape: outlines are simple and cross no other."""
    holes = {"A": 1, "W": 0, "M": 0, "X": 0, "K": 0, "H": 0}
    for glyph in sound("AWMXKH", None, outline_mm=weight).glyphs:
        rings = [shapely.LinearRing(contour.flattened(0.005)) for contour in glyph.path.contours]

        assert len(rings) <= 1 + holes[glyph.char]
        assert all(ring.is_simple for ring in rings)
        assert not any(a.intersects(b) for a, b in pairwise(rings))
