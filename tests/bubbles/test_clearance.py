"""The clearance that is measured is the one that shapely finds."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lettering.book.line import Voice
from lettering.bubbles.body import body, hull_corners
from lettering.bubbles.clearance import clearance
from lettering.geometry.contour import Contour
from lettering.geometry.rect import Rect
from tests.bubbles.mock_rows import rows

SQUARE = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])


@pytest.mark.parametrize("voice", ["plain", "thought", "shout", "caption"])
def test_it_is_the_distance_from_the_ink_to_the_outline(voice: Voice) -> None:
    """Measured by shapely on a fine polygon, the clearance of any voice is the same within 0.005 mm."""
    ink = rows([7.0, 10.0, 6.0])
    outline = body(ink, air_mm=4.0, voice=voice, seed="a")
    ring = shapely.LinearRing(outline.flattened(0.0005))

    corners = hull_corners(ink)
    assert clearance(outline, corners) == pytest.approx(ring.distance(shapely.Polygon(corners)), abs=0.005)


@given(st.floats(-3, 4))
def test_a_cut_is_negative(depth: float) -> None:
    """A box that begins `depth` inside a square cuts it so deep, or stands so far off."""
    outline = Contour.rectangle(Rect(-20.0, -20.0, 10.0 - depth, 30.0))

    assert clearance(outline, SQUARE) == pytest.approx(-depth, abs=1e-9)
