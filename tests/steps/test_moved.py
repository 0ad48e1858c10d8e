"""A bubble taken to another place by hand."""

from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from lettering.errors import LetteringError
from lettering.geometry.point import Point, Vector
from lettering.steps.layout import layout
from lettering.steps.moved import kept, moved, on_desk, opened, released
from lettering.steps.place import book_as_placed, place_book
from tests.independent_checker import violations
from tests.steps.books import BOOK, book_on_disk

HARD = {"safe", "gutter", "figure", "overlap", "order", "tail"}
JOINED = BOOK.replace(", voice: whisper", "").replace(
    "      - caption: Nobody answered.", "      - wren: {says: Quite small., joint: neck}"
)
"""The same with a second bubble of wren's on a neck."""


@pytest.fixture(scope="module")
def placed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a book file whose lines are placed; tests that write take a copy."""
    book = book_on_disk(tmp_path_factory.mktemp("placed"))
    place_book(book)
    return book


def test_a_bubble_let_go_is_read_back_as_it_was_seen(tmp_path: Path) -> None:
    """What is drawn while a line is dragged is what the book shows when it is opened again, held."""
    path = book_on_disk(tmp_path)
    place_book(path)
    book = opened(path)
    desk = on_desk(book, 0)
    at = desk.finished.lines[1].placement.centre + Vector(-6.0, 3.0)
    move = moved(desk, 2, to=at)
    now = kept(book, 0, move.desk)
    again = book_as_placed(path)

    assert move.line.placement.centre == at
    assert again.spreads[0].lines[1] == move.line == now.result.spreads[0].lines[1]
    assert again.spreads[0].lines[1].placement.held
    assert again.spreads[0].lines[0] == book.result.spreads[0].lines[0]


def test_a_line_that_is_let_loose_is_no_longer_held(placed: Path) -> None:
    """Released, a line keeps its place and is held no more."""
    desk = moved(on_desk(opened(placed), 0), 1, to=Point(90.0, 60.0)).desk

    assert desk.finished.lines[0].placement.held
    assert not released(desk, 1).finished.lines[0].placement.held


@pytest.mark.parametrize("y", [15, 60, 110, 190])
def test_a_bubble_called_clean_is_clean_by_an_independent_checker(placed: Path, y: int) -> None:
    """Wherever a bubble is dragged, no rule is said to be broken only where a checker from outside agrees."""
    book, written = opened(placed), yaml.safe_load(BOOK)
    desk = on_desk(book, 0)
    found = {}
    for x in range(20, 480, 46):
        move = moved(desk, 2, to=Point(float(x), float(y)))
        there = layout(replace(book.result, spreads=(move.desk.finished,)))
        found[x] = (move.broken, violations(there, written))

    assert [x for x, (broken, wrong) in found.items() if wrong and not broken] == []
    assert {rule.rule for broken, _ in found.values() for rule in broken} <= HARD


def test_a_bubble_dragged_onto_another_says_so(placed: Path) -> None:
    """On top of the first line's bubble the second breaks the overlap, and is clean again at home."""
    desk = on_desk(opened(placed), 0)
    home = desk.finished.lines[1].placement.centre
    there = moved(desk, 2, to=desk.finished.lines[0].placement.centre)
    back = moved(there.desk, 2, to=home)

    assert ("overlap", (1, 2)) in [(rule.rule, rule.lines) for rule in there.broken]
    assert back.broken == ()


def test_a_tail_may_be_drawn_to_another_tip(placed: Path) -> None:
    """A tip that is given is where the tail ends, on a body that stays."""
    desk = on_desk(opened(placed), 0)
    before = desk.finished.lines[0]
    tip = before.placement.tips[0] + Vector(4.0, -3.0)
    after = moved(desk, 1, tips=[tip]).line

    assert after.placement.tips == (tip,)
    assert after.bubble is not None
    assert after.bubble.tails[0].tip == tip
    assert after.stack == before.stack


def test_a_line_stands_in_any_of_its_stacks(placed: Path) -> None:
    """Other rows are set, fitted and drawn about the same place; rows it does not have are refused."""
    desk = on_desk(opened(placed), 0)
    at = desk.finished.lines[0].placement.centre
    offered = desk.rows(1)
    for rows in offered:
        line = moved(desk, 1, rows=rows).line
        assert tuple(row.text for row in line.stack.rows) == rows
        assert line.placement.centre == at

    assert len(offered) > 1
    with pytest.raises(LetteringError, match="Offered are"):
        moved(desk, 1, rows=("Who left a cello", "in the", "compost?", "x"))
    with pytest.raises(LetteringError, match="no line 9"):
        moved(desk, 9)


def test_bubbles_on_a_neck_are_drawn_together(tmp_path: Path) -> None:
    """When one of two bubbles on a neck moves, both are drawn anew; far apart each has its own outline."""
    path = book_on_disk(tmp_path, JOINED)
    place_book(path)
    desk = on_desk(opened(path), 0)
    at = desk.finished.lines[3].placement.centre
    near = moved(desk, 4, to=at + Vector(0.5, 0.5))
    far = moved(desk, 4, to=at + Vector(0.0, 40.0))

    assert [line.number for line in near.also] == [3]
    assert near.also[0].bubble is not None
    assert near.line.bubble is not None
    assert near.also[0].bubble.outline == near.line.bubble.outline
    assert far.line.bubble is not None
    assert far.also[0].bubble is not None
    assert far.line.bubble.outline != far.also[0].bubble.outline
