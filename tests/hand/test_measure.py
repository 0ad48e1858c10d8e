"""Measures of outlines, against closed forms and the typefaces' own numbers."""

import math

import numpy as np
import pytest

from lettering.geometry.affine import Affine
from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.geometry.rect import Rect
from lettering.hand.edges import Edges
from lettering.hand.measure import metrics, slant, stroke_widths
from tests.typeface_hand import typeface_hand


def circle(radius: float) -> Contour:
    """Return a polygon of 720 corners."""
    turn = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    return Contour.polygon(radius * np.stack([np.cos(turn), np.sin(turn)], axis=1))


def test_a_bar_is_as_wide_as_it_is() -> None:
    """A rectangle of 80 x 700 is a stroke of width 80 (closed form)."""
    bar = Edges.of([Outline((Contour.rectangle(Rect(0, 0, 80, 700)),))])

    assert stroke_widths(bar)[0] == pytest.approx(80)


def test_a_ring_is_as_wide_as_it_is() -> None:
    """A ring between the radii 170 and 250 is a stroke of width 80 (closed form)."""
    ring = Edges.of([Outline((circle(250), circle(170).reversed()))])

    assert stroke_widths(ring)[0] == pytest.approx(80, rel=1e-4)


def test_a_lean_is_measured_as_it_was_made() -> None:
    """Letters sheared by 8 degrees lean 8 degrees more."""
    letters = [typeface_hand("andika").takes[char][0].outline for char in "hilmnHILTE"]
    lean = math.tan(math.radians(8))
    sheared = [outline.transformed(Affine(c=lean)) for outline in letters]

    assert slant(Edges.of(letters)) == pytest.approx(0, abs=0.01)
    assert slant(Edges.of(sheared)) == pytest.approx(math.radians(8), abs=0.02)


@pytest.mark.parametrize("face", ["patrick-hand", "delius", "andika"])
def test_heights_are_the_typefaces_own(face: str) -> None:
    """x-height and stem agree with the flat x and the bar of l, within overshoot and the pen's liveliness."""
    hand = typeface_hand(face)
    measured = metrics(
        {char: [take.outline for take in takes] for char, takes in hand.takes.items()},
        word_space=0,
        row_pitch=None,
    )

    near = 0.04 * hand.metrics.x_height + 12
    assert measured.x_height == pytest.approx(hand.metrics.x_height, abs=near)
    assert measured.stem == pytest.approx(hand.metrics.stem, rel=0.2)


def test_capitals_alone_are_as_high_as_capitals_must_be() -> None:
    """A hand of capitals has the x-height at which its capitals are 1.25 times as high."""
    hand = typeface_hand("andika")
    outlines = {char: [hand.takes[char][0].outline] for char in "ABEHOT"}
    measured = metrics(outlines, word_space=0, row_pitch=None)

    assert measured.cap_height == pytest.approx(1.25 * measured.x_height)
