"""What a layout costs: long tails more than they are long."""

from dataclasses import fields

import numpy as np
import pytest

from lettering.book.page import PageFormat, frame
from lettering.geometry.point import Point
from lettering.placing import costs
from lettering.placing.candidates import bodies
from lettering.placing.placement import LineToPlace, Shape, Speaker, SpreadToPlace
from lettering.placing.springing import with_tails
from lettering.placing.weights import Weights
from tests.placing.spreads import oval

REACH_ALONE = Weights(**{field.name: float(field.name == "reach") for field in fields(Weights)})


def reach_from(*centres: float) -> list[float]:
    """Return what the ways cost from bodies 50 mm wide at these x to mouths level with them at 20 and 220."""
    line = LineToPlace(
        line=1,
        shapes=(Shape(body=oval(50, 24), cost=0.0),),
        speakers=tuple(Speaker(who=str(x), target=Point(x, 100.0)) for x in (20.0, 220.0)),
    )
    spread = SpreadToPlace(
        frame=frame(PageFormat(width_mm=240, height_mm=200), 1), lines=(line,), figures=(), x_height_mm=3.5
    )
    found = bodies(line, np.zeros(len(centres), dtype=np.intp), np.array([(x, 100.0) for x in centres]))
    return [float(cost) for cost in costs.tails(spread, with_tails(spread, found), REACH_ALONE)]


def test_one_long_tail_is_dearer_than_two_of_half_its_length() -> None:
    """Between two mouths the ways add up to 150 mm anywhere; they cost least where neither is long."""
    middle, aside, near = reach_from(120.0, 100.0, 75.0)

    assert middle < aside < near


def test_a_comfortable_way_is_free_and_a_far_one_grows_dearer_by_the_mm() -> None:
    """The near mouth, 17 or 19 mm away, costs nothing; 2 mm to the far one cost 4.5 times their length.

    The far ways are 133 and 131 mm: (132 - 45) / 25 more than one, by hand.
    """
    far, nearer = reach_from(62.0, 64.0)

    assert far - nearer == pytest.approx(0.2 * (1 + 87 / 25), rel=1e-6)
