"""Regions against closed forms."""

import math

import numpy as np
import pytest

from lettering.geometry.contour import Contour
from lettering.geometry.path import Path
from lettering.geometry.point import Point, Vector
from lettering.geometry.rect import Rect
from lettering.geometry.region import Region

SQUARE = Region.rectangle(Rect(0, 0, 10, 10))


def test_an_offset_has_the_area_and_length_of_steiners_formula() -> None:
    """A 10 mm square offset by 3 has area 100 + 40 * 3 + 9 pi and length 40 + 6 pi (Steiner)."""
    offset = SQUARE.buffered(3)

    assert offset.area == pytest.approx(100 + 120 + 9 * math.pi, rel=1e-3)
    assert offset.perimeter == pytest.approx(40 + 6 * math.pi, rel=1e-3)


def test_booleans_add_up() -> None:
    """Inclusion and exclusion: the union's area is both areas less the intersection's."""
    other = SQUARE.moved(Vector(6, 7))
    union, common = Region.union([SQUARE, other]), SQUARE.intersection(other)

    assert common.area == pytest.approx(12)
    assert union.area == pytest.approx(188)
    assert SQUARE.difference(other).area == pytest.approx(88)
    assert union.parts == 1
    assert Region.union([SQUARE, SQUARE.moved(Vector(30, 0))]).parts == 2


def test_a_hole_runs_against_its_outline() -> None:
    """A square with a square hole has the difference of the areas."""
    outer, hole = Contour.rectangle(Rect(0, 0, 10, 10)), Contour.rectangle(Rect(2, 2, 5, 5))

    assert Region.of_path(Path((outer, hole.reversed()))).area == pytest.approx(91)
    assert Region.of_path(Path((outer, hole))).area == pytest.approx(100)
    assert Region.of_path(Path(())).is_empty


def test_distances_are_those_of_elementary_geometry() -> None:
    """A square 3 right of and 4 below another is 5 away; a point inside is 0 away."""
    assert SQUARE.distance(SQUARE.moved(Vector(13, 14))) == pytest.approx(5)
    assert SQUARE.distance_to(Point(13, 14)) == pytest.approx(5)
    assert SQUARE.distance_to(Point(5, 5)) == 0
    assert SQUARE.holds(Point(10, 10))


def test_depth_is_the_room_left_inside() -> None:
    """A square inset by 2 lies 2 deep, one that touches lies 0 deep, one that sticks out 1.5 has -1.5."""
    assert SQUARE.depth_of(Region.rectangle(Rect(2, 2, 8, 8))) == pytest.approx(2)
    assert SQUARE.depth_of(Region.rectangle(Rect(0, 2, 8, 8))) == pytest.approx(0)
    assert SQUARE.depth_of(Region.rectangle(Rect(2, 2, 11.5, 8))) == pytest.approx(-1.5)


def test_a_hull_holds_its_points() -> None:
    """The hull of a square's corners and middle is the square."""
    points = np.array([(0, 0), (10, 0), (10, 10), (0, 10), (5, 5)], dtype=float)

    assert Region.polygon(points).hull().area == pytest.approx(100)
    assert SQUARE.bounds == Rect(0, 0, 10, 10)
    assert SQUARE.overlaps(SQUARE.moved(Vector(10, 0)))
