"""What a spread that cannot keep its rules lacks, and what would help."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.book.page import PageFormat, frame
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.placing.place import place
from lettering.placing.placement import LineToPlace, Shape, Speaker, SpreadToPlace
from lettering.placing.shortage import FIGURE, Obstacle, rooms

AREA = Rect(0, 0, 12, 10)


def largest_free_area(blocked: np.ndarray) -> int:
    """Return the most free cells in an upright rectangle, by trying every one."""
    rows, columns = blocked.shape
    return max(
        (
            (y1 - y0) * (x1 - x0)
            for y0 in range(rows)
            for y1 in range(y0 + 1, rows + 1)
            for x0 in range(columns)
            for x1 in range(x0 + 1, columns + 1)
            if not blocked[y0:y1, x0:x1].any()
        ),
        default=0,
    )


BOXES = st.tuples(st.integers(0, 10), st.integers(0, 8), st.integers(1, 6), st.integers(1, 6))


@given(st.lists(BOXES, max_size=5))
def test_rooms_hold_the_largest_free_place_and_nothing_blocked(boxes: list[tuple[int, ...]]) -> None:
    """The largest room is as large as any found by brute force on whole millimetres."""
    rects = [Rect.sized(*map(float, box)) for box in boxes]
    blocked = np.zeros((10, 12), dtype=bool)
    for x, y, width, height in boxes:
        blocked[y : y + height, x : x + width] = True
    found = list(rooms(AREA, [Obstacle(FIGURE, "box", rect) for rect in rects]))

    assert not any(room.rect.overlaps(rect) for room in found for rect in rects)
    largest = max((room.rect.width * room.rect.height for room in found), default=0)
    assert largest == largest_free_area(blocked)


def one_wide_line(width_mm: float) -> SpreadToPlace:
    """Return a page of 100 mm on which a figure leaves 41 mm at the right, and a bubble that wide."""
    half = width_mm / 2
    body = np.array([(-half, -30.0), (half, -30.0), (half, 30.0), (-half, 30.0)])
    speaker = Speaker(who="toad", target=Point(60.0, 95.0))
    return SpreadToPlace(
        frame=frame(PageFormat(width_mm=100, height_mm=100, safe_mm=8), 1),
        lines=(LineToPlace(line=1, shapes=(Shape(body=body, cost=0.0),), speakers=(speaker,)),),
        figures=(("toad", Rect(8.4, 0.0, 50.6, 100.0)),),
    )


def test_the_room_that_is_missing_is_told_in_millimetres() -> None:
    """The figure leaves 41 mm beside the margin where 52 are needed: moving it by 11 mm would do."""
    placed = place(one_wide_line(52.0))

    assert placed.missing == (
        "line 1 finds 41 mm between toad's box and the right margin, wide, and needs 52 mm",
    )
    assert placed.advice == ("move toad's box 11 mm to the left, or split line 1 into two bubbles",)


@pytest.mark.parametrize("narrower", [40.0, 30.0])
def test_a_line_that_fits_lacks_nothing(narrower: float) -> None:
    """Where the room is wide enough no rule is broken and nothing is missing."""
    assert place(one_wide_line(narrower)).missing == ()


def test_a_figure_that_fills_the_page_is_told_of() -> None:
    """A close-up over all of the page leaves no room: the layout is drawn, and the figure is named."""
    spread = one_wide_line(40.0)
    placed = place(replace(spread, figures=(("toad", Rect(-3.0, -3.0, 103.0, 103.0)),)))

    assert placed.missing == ("line 1 finds no room beside toad's box",)
    assert placed.advice == ("draw toad's box smaller, round what must stay visible",)


@pytest.mark.parametrize("held", [False, True])
def test_a_line_that_stays_is_told_what_it_lacks(held: bool) -> None:
    """Read back as it was placed a line still says what room is missing, unless the illustrator holds it."""
    spread = one_wide_line(52.0)
    kept = replace(place(spread).placements[0], held=True)
    line = replace(spread.lines[0], held=kept, former=replace(kept, held=held))
    placed = place(replace(spread, lines=(line,)))

    assert placed.broken
    assert bool(placed.missing) is not held
