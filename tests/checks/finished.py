"""A finished spread for checks to question, and ways to spoil it."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache

from lettering.book.book import Book, Spread
from lettering.book.cast import Figure
from lettering.book.line import Line
from lettering.book.page import PageFormat
from lettering.bubbles.bubble import Bubble
from lettering.checks.check import check_spread
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.geometry.path import Path
from lettering.geometry.point import Point, Vector
from lettering.geometry.rect import Rect
from lettering.hand.hand import Hand
from lettering.hand.hands import Hands
from lettering.setting.reading_age import ReadingBand, band_for
from lettering.steps.bench import Bench
from lettering.steps.laid_out import lay_out
from tests.typeface_hand import typeface_hand

SPREAD = Spread(
    pages=(4, 5),
    figures=(
        Figure(
            who="wren",
            box=Rect.sized(38, 130, 60, 70),
            face=Rect.sized(50, 140, 30, 28),
            mouth=Point(70, 156),
        ),
        Figure(who="toad", box=Rect.sized(300, 140, 80, 80), mouth=Point(330, 165)),
    ),
    keep_clear=(Rect.sized(180, 10, 40, 40),),
    lines=(
        Line(who=("wren",), says="Who left a cello in the pond?"),
        Line(who=("toad",), says="Not *me*!"),
        Line(who=("toad",), says="I play the drum."),
    ),
)

BOOK = Book(
    title="The Pond",
    language="en",
    reader_age=(5, 5),
    hand="hand.ufo",
    page=PageFormat(width_mm=250, height_mm=250),
    cast=(),
    spreads=(SPREAD,),
)

BAND: ReadingBand = band_for(BOOK.reader_age)


def hand() -> Hand:
    """Return the hand that the spread is lettered in."""
    return typeface_hand("patrick-hand")


def hands() -> Hands:
    """Return the hands of a book with that hand alone."""
    return Hands(hand())


@cache
def clean() -> FinishedSpread:
    """Return a spread that every check is content with."""
    bench = Bench(book=BOOK, hands=hands(), band=BAND, x_height_mm=4.2)
    return lay_out(bench, SPREAD, [None] * len(SPREAD.lines), None)


def codes(finished: FinishedSpread) -> set[str]:
    """Return the codes of all findings of a spread, errors and warnings."""
    return {finding.code for finding in check_spread(finished, hands(), BAND) if finding.severity != "note"}


def spoiled(number: int, change: Callable[[FinishedLine], FinishedLine]) -> FinishedSpread:
    """Return the clean spread with one line changed, counted from 1."""
    lines = list(clean().lines)
    lines[number - 1] = change(lines[number - 1])
    return replace(clean(), lines=tuple(lines))


def moved(line: FinishedLine, to: Point) -> FinishedLine:
    """Return a line drawn with the middle of its ink at `to`, its tails moved along."""
    step = to - line.stack.ink.centre
    bubble = line.bubble and moved_bubble(line.bubble, step)
    return replace(line, stack=line.stack.moved(step), bubble=bubble)


def moved_bubble(bubble: Bubble, step: Vector) -> Bubble:
    """Return a bubble displaced by `step`."""
    return replace(
        bubble,
        body=bubble.body.moved(step),
        outline=Path(tuple(contour.moved(step) for contour in bubble.outline.contours)),
        tails=tuple(
            replace(t, outline=t.outline.moved(step), root=t.root + step, tip=t.tip + step)
            for t in bubble.tails
        ),
    )
