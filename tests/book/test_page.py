"""A page or a spread offers lettering a frame: the trim, the fold, and the margins that protect it."""

from hypothesis import given
from hypothesis import strategies as st

from lettering.book.page import PageFormat, frame
from lettering.geometry.rect import Rect

FORMAT = PageFormat(width_mm=250, height_mm=240, bleed_mm=3, safe_mm=8, gutter_mm=10)


def test_a_spread_has_its_fold_in_the_middle() -> None:
    """Two pages of 250 mm meet at 250 mm; the gutter is 10 mm on both sides of the fold."""
    found = frame(FORMAT, 2)

    assert (found.trim, found.fold_x) == (Rect(0, 0, 500, 240), 250)
    assert found.safe == Rect(8, 8, 492, 232)
    assert found.gutter == Rect(240, 0, 260, 240)
    assert found.pages == (Rect(0, 0, 250, 240), Rect(250, 0, 500, 240))


def test_a_single_page_has_no_fold() -> None:
    """One page is trimmed on all sides and has no gutter."""
    found = frame(FORMAT, 1)

    assert (found.trim, found.fold_x, found.gutter) == (Rect(0, 0, 250, 240), None, None)
    assert found.pages == (found.trim,)


@given(st.floats(60, 400), st.floats(60, 400), st.floats(0, 20), st.floats(0, 20), st.integers(1, 2))
def test_a_frame_is_the_same_seen_in_a_mirror(
    width: float, height: float, safe: float, gutter: float, pages: int
) -> None:
    """Left and right page have the same room: what the margins take on one side they take on the other."""
    page = PageFormat(width_mm=width, height_mm=height, safe_mm=safe, gutter_mm=gutter)
    found = frame(page, pages)
    boxes = [box for box in (found.safe, found.gutter) if box is not None]

    assert all(abs(box.x0 + box.x1 - found.trim.width) < 1e-9 for box in boxes)
    assert all(found.trim.contains(box) for box in boxes)
