"""Affine maps against their closed forms."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lettering.geometry.affine import Affine
from lettering.geometry.point import Point, Vector

maps = st.lists(st.floats(-5, 5), min_size=6, max_size=6).map(lambda v: Affine(*v))


@given(maps, st.floats(-100, 100), st.floats(-100, 100))
def test_a_map_and_its_inverse_cancel(by: Affine, x: float, y: float) -> None:
    """There and back is where it started, for every map that does not flatten the plane."""
    assume(abs(by.determinant) > 0.05)
    back = by.inverse().apply_to(by.apply_to(Point(x, y)))

    assert (back.x, back.y) == pytest.approx((x, y), abs=1e-6)


@given(maps, maps, st.floats(-100, 100), st.floats(-100, 100))
def test_a_product_applies_the_right_map_first(second: Affine, first: Affine, x: float, y: float) -> None:
    """(second @ first)(p) is second(first(p)), and the determinants multiply."""
    both = (second @ first).apply_to(Point(x, y))
    steps = second.apply_to(first.apply_to(Point(x, y)))

    assert (both.x, both.y) == pytest.approx((steps.x, steps.y), abs=1e-6)
    assert (second @ first).determinant == pytest.approx(second.determinant * first.determinant, abs=1e-9)


@given(maps, st.lists(st.floats(-100, 100), min_size=2, max_size=2))
def test_arrays_and_single_points_agree(by: Affine, xy: list[float]) -> None:
    """The image of an array is the image of its points, one by one."""
    image = by.apply_to(Point(*xy))

    assert by.apply(np.array([xy]))[0] == pytest.approx([image.x, image.y], abs=1e-9)


def test_a_rotation_turns_x_toward_y() -> None:
    """A quarter turn takes (1, 0) to (0, 1) and keeps areas."""
    turned = Affine.rotation(math.pi / 2).apply_to(Point(1, 0))

    assert (turned.x, turned.y) == pytest.approx((0, 1))
    assert Affine.rotation(1.234).determinant == pytest.approx(1)


def test_translation_and_scaling_do_what_they_say() -> None:
    """(1, 2) displaced by (3, 4) is (4, 6); scaled by (3, 4) it is (3, 8)."""
    assert Affine.translation(Vector(3, 4)).apply_to(Point(1, 2)) == Point(4, 6)
    assert Affine.scaling(3, 4).apply_to(Point(1, 2)) == Point(3, 8)


def test_a_flattening_map_has_no_inverse() -> None:
    """A map onto a line cannot be undone."""
    with pytest.raises(ZeroDivisionError):
        Affine.scaling(1, 0).inverse()
