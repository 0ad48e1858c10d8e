"""Places that are tried: on the grid that placements are kept by, and inside the margin."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from lettering.book.page import PageFormat, frame
from lettering.geometry.rect import Rect
from lettering.placing.candidates import around, grid
from lettering.placing.placement import LineToPlace, Shape, SpreadToPlace
from lettering.storage.placements import POSITION_DIGITS
from tests.placing.spreads import oval

sides = st.floats(5, 200, allow_nan=False)


@given(sides, sides, st.floats(20, 400), st.floats(0.5, 15))
def test_what_is_tried_inside_the_margin_is_inside_it_when_read_back(
    width: float, height: float, x: float, step: float
) -> None:
    """Every place is one that the file on disk can hold, and a body flush with the margin is not past it."""
    line = LineToPlace(line=1, shapes=(Shape(body=oval(width, height), cost=0.0),), speakers=())
    page = frame(PageFormat(width_mm=250, height_mm=250), 2)
    spread = SpreadToPlace(frame=page, lines=(line,), figures=(("toad", Rect.sized(x, 90.123, 33.3, 21)),))
    _, centres = grid(spread, line, step)

    assert np.array_equal(centres, centres.round(POSITION_DIGITS))
    low, high = centres.min(axis=0) - (width / 2, height / 2), centres.max(axis=0) + (width / 2, height / 2)
    assert (low >= (page.safe.x0 - 1e-6, page.safe.y0 - 1e-6)).all()
    assert (high <= (page.safe.x1 + 1e-6, page.safe.y1 + 1e-6)).all()


def test_the_finer_look_stays_on_the_grid() -> None:
    """Places round a chosen one, stepped by 1.5 mm, gather no rounding errors."""
    near = around(Rect(407.23, 19.93, 407.23, 19.93).inset(-6.03), 1.5)

    assert np.array_equal(near, near.round(POSITION_DIGITS))
