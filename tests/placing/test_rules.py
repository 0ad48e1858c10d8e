"""Reading order by the rule of the house."""

import numpy as np
import pytest

from lettering.book.page import Frame, PageFormat, frame
from lettering.placing.candidates import bodies
from lettering.placing.placement import LineToPlace, Shape
from lettering.placing.rules import in_order
from tests.placing.spreads import oval

LINE = LineToPlace(line=1, shapes=(Shape(body=oval(40, 20), cost=0.0),), speakers=())
SPREAD: Frame = frame(PageFormat(width_mm=200, height_mm=200), 2)


@pytest.mark.parametrize(
    ("second", "plain"),
    [
        ((100, 50), True),  # to the right, level
        ((100, 42), True),  # to the right, a little higher
        ((100, 38), False),  # to the right, more than half a height higher
        ((40, 62), True),  # lower by more than half a height
        ((40, 57), False),  # to the left and hardly lower
        ((300, 15), True),  # on the right page
    ],
)
def test_order_on_a_page_and_over_the_fold(second: tuple[float, float], plain: bool) -> None:
    """A bubble 20 mm high at (60, 50) is plainly read before those below it, right of it or overleaf."""
    shape = np.zeros(1, dtype=np.intp)
    first, other = (bodies(LINE, shape, np.array([at], dtype=float)) for at in ((60, 50), second))

    assert in_order(first, other, SPREAD).tolist() == [[plain]]
