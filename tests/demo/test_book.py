"""The demo book: its file agrees with its art and with what the demo sets out to show."""

from pathlib import Path

import pytest
from PIL import Image

from lettering.book.book import Book, Spread
from lettering.geometry.rect import Rect
from lettering.storage.book_file import read_book


@pytest.fixture
def book(demo: Path) -> Book:
    """Return the demo book."""
    return read_book(demo / "book.yaml").book


def test_the_book_is_read_and_shows_every_way_of_speaking(book: Book) -> None:
    """Five characters speak on three spreads, in every voice, together, from outside, and with emphasis."""
    lines = [line for spread in book.spreads for line in spread.lines]

    assert len(book.cast) == 5
    assert [spread.pages for spread in book.spreads] == [(4, 5), (6, 7), (8, 9)]
    assert {"plain", "thought", "whisper", "shout", "caption"} == {line.voice for line in lines}
    assert any(len(line.who) == 2 for line in lines)
    assert any(line.off for line in lines)
    assert any("*" in line.says for line in lines)


def test_the_cast_is_listed_as_they_first_speak(book: Book) -> None:
    """The order of the cast is that of their first lines."""
    spoken = [who for spread in book.spreads for line in spread.lines for who in line.who]

    assert [character.key for character in book.cast] == list(dict.fromkeys(spoken))


def test_lines_are_short_enough_for_the_reader(book: Book) -> None:
    """No line has more than ten words (reading_sizes.json, under 7)."""
    assert max(len(line.says.split()) for spread in book.spreads for line in spread.lines) <= 10


def test_the_art_covers_trim_and_bleed(book: Book, demo: Path) -> None:
    """Each picture is the spread plus 3 mm on every side at the resolution that it states."""
    for spread in book.spreads:
        with Image.open(demo / str(spread.art)) as art:
            across, down = (px / ppi * 25.4 for px, ppi in zip(art.size, art.info["dpi"], strict=True))
        assert across == pytest.approx(506, abs=0.2)
        assert down == pytest.approx(256, abs=0.2)


def test_figures_are_where_they_are_drawn(book: Book, demo: Path) -> None:
    """Box, face and mouth in the book file are within 1.5 mm of where the art has them."""
    import draw_art  # noqa: PLC0415  importable only while the fixture lasts

    for spread in book.spreads:
        seen = draw_art.seen("-".join(f"{page:02}" for page in spread.pages))
        assert {figure.who for figure in spread.figures} == set(seen)
        for figure in spread.figures:
            drawn = seen[figure.who]
            assert figure.mouth is not None
            assert figure.face is not None
            assert corners(figure.box) == pytest.approx(corners(Rect.sized(*drawn.box)), abs=1.5)
            assert corners(figure.face) == pytest.approx(corners(Rect.sized(*drawn.face)), abs=1.5)
            assert (figure.mouth.x, figure.mouth.y) == pytest.approx(drawn.mouth, abs=1.5)


def corners(rect: Rect) -> tuple[float, float, float, float]:
    """Return the rectangle as numbers."""
    return rect.x0, rect.y0, rect.x1, rect.y1


def test_figures_keep_off_the_fold_and_leave_room(book: Book) -> None:
    """No figure reaches into the gutter, and at least half of every page lies outside all boxes."""
    for spread in book.spreads:
        frame = book.frame(spread)
        assert frame.gutter is not None
        assert [
            f.who for f in spread.figures if f.box.x0 < frame.gutter.x1 and f.box.x1 > frame.gutter.x0
        ] == []
        assert all(taken(spread, page) < 0.5 for page in frame.pages)


def taken(spread: Spread, page: Rect) -> float:
    """Return the share of a page under figures and places to keep clear, overlaps counted twice."""
    boxes = [figure.box for figure in spread.figures] + list(spread.keep_clear)
    widths = [max(0.0, min(box.x1, page.x1) - max(box.x0, page.x0)) for box in boxes]
    return sum(width * box.height for width, box in zip(widths, boxes, strict=True)) / (
        page.width * page.height
    )
