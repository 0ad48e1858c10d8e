"""A book gives its spreads names and frames, and its figures a place to aim at."""

import pytest

from lettering.book.book import Book, Spread
from lettering.book.cast import Character, Figure
from lettering.book.line import Line
from lettering.book.page import PageFormat, frame
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect

BOX, FACE, MOUTH = Rect(10, 20, 30, 60), Rect(12, 22, 28, 36), Point(20, 33)


@pytest.mark.parametrize(("pages", "label"), [((4, 5), "pages 4-5"), ((1,), "page 1")])
def test_a_spread_is_called_by_its_pages(pages: tuple[int, ...], label: str) -> None:
    """People say 'pages 4-5' and 'page 1'."""
    assert Spread(pages=pages, lines=()).label == label


def test_a_tail_aims_at_the_mouth_else_the_face_else_the_box() -> None:
    """What is known best of a figure is what a tail aims at."""
    assert Figure(who="wren", box=BOX, face=FACE, mouth=MOUTH).target == MOUTH
    assert Figure(who="wren", box=BOX, face=FACE).target == FACE.centre
    assert Figure(who="wren", box=BOX).target == BOX.centre


def test_figures_of_one_character_keep_the_order_of_the_file() -> None:
    """'from: 2' means the second figure as written, whatever stands between."""
    first, other, second = (
        Figure(who=who, box=BOX, mouth=Point(x, 0)) for who, x in zip("wtw", (1, 2, 3), strict=True)
    )
    spread = Spread(pages=(4, 5), lines=(), figures=(first, other, second))

    assert spread.figures_of("w") == (first, second)
    assert spread.figures_of("x") == ()


def test_only_speakers_have_bubbles_with_tails() -> None:
    """A line that someone says has a bubble; captions and sounds have none of that kind."""
    assert Line(who=("wren",), says="Hi").has_bubble
    assert not Line(who=(), says="Later", voice="caption").has_bubble


def test_a_book_frames_spreads_and_single_pages() -> None:
    """The frame of a spread is that of as many pages as it has."""
    page = PageFormat(width_mm=200, height_mm=200)
    spreads = (Spread(pages=(1,), lines=()), Spread(pages=(2, 3), lines=()))
    book = Book(
        title="T", language="en", reader_age=(5, 5), hand="h.ufo", page=page,
        cast=(Character("wren", "Wren"),), spreads=spreads,
    )  # fmt: skip

    assert [book.frame(spread) for spread in spreads] == [frame(page, 1), frame(page, 2)]


def test_a_line_is_set_in_the_hand_of_its_first_speaker() -> None:
    """A character's own hand letters its lines, those it begins too; all others are in the book's."""
    cast = (
        Character("wren", "Wren"),
        Character("toad", "Toad", hand="t.ufo"),
        Character("newt", "Newt", hand="t.ufo"),
    )
    book = Book(
        title="T", language="en", reader_age=(5, 5), hand="h.ufo", cast=cast, spreads=(),
        page=PageFormat(width_mm=200, height_mm=200),
    )  # fmt: skip
    speakers = (("wren",), ("toad",), ("toad", "wren"), ("wren", "toad"), ())

    assert [book.hand_of(Line(who=who, says="Hi")) for who in speakers] == [
        "h.ufo",
        "t.ufo",
        "t.ufo",
        "h.ufo",
        "h.ufo",
    ]
    assert book.hands == ("h.ufo", "t.ufo")


def test_a_head_is_the_face_else_a_likely_one_else_all() -> None:
    """A tail stops short of the face; without one, of what lies round the mouth, or of the box."""
    likely = Figure(who="wren", box=BOX, mouth=MOUTH).head

    assert Figure(who="wren", box=BOX, face=FACE, mouth=MOUTH).head == FACE
    assert Figure(who="wren", box=BOX).head == BOX
    assert BOX.contains(likely)
    assert likely.contains(Rect(MOUTH.x - 3, MOUTH.y - 6, MOUTH.x + 3, MOUTH.y + 2))
