"""All checks of a finished spread and of a finished book."""

from collections.abc import Iterator, Sequence

from lettering.book.book import Book
from lettering.checks.accept import accept
from lettering.checks.alike import check_alike
from lettering.checks.cast import check_cast
from lettering.checks.contrast import check_contrast
from lettering.checks.drawn import DrawnLine, drawn
from lettering.checks.even import check_even
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedSpread
from lettering.checks.layout import check_layout
from lettering.checks.order import check_order
from lettering.checks.reading import check_capitals, check_one_size, check_reading, check_size_wanted
from lettering.checks.room import check_apart, check_room, check_tangents
from lettering.checks.strokes import check_lines, check_rows, check_strokes
from lettering.checks.tail import check_tails
from lettering.checks.words import check_letters, check_words
from lettering.drawing import BLACK, WHITE, Colour
from lettering.hand.hand import Hand
from lettering.hand.hands import Hands
from lettering.setting.reading_age import ReadingBand


def check_book(
    spreads: Sequence[FinishedSpread], book: Book, hands: Hands, band: ReadingBand
) -> tuple[Finding, ...]:
    """Return the findings of a whole book, spread by spread, then those that concern it as one.

    Those that the book file accepts carry its reason. Raises BookError when it accepts what no check finds.
    """
    found = [one for spread in spreads for one in check_spread(spread, hands, band)]
    found += check_size_wanted(spreads, hands, band)
    found += check_one_size(spreads, book)
    found += check_capitals(hands)
    found += check_strokes(spreads, hands)
    found += check_alike([line for spread in spreads for line in drawn(spread)])
    found += check_cast(book)
    found += check_even(book)
    return accept(found, book.accepted)


def check_spread(
    finished: FinishedSpread, hands: Hands, band: ReadingBand, *, ink: Colour = BLACK, ground: Colour = WHITE
) -> tuple[Finding, ...]:
    """Return the findings of one spread, measured on its drawing.

    `ink` is the colour of the lettering, `ground` that of the bubbles. What stands on the art itself is
    measured elsewhere: its ground is not known here.
    """
    lines = drawn(finished)
    alone = [found for line in lines for found in _line(line, lines, hands.of(line.finished.line), band)]
    colours = [
        found
        for line in lines
        if line.finished.bubble
        for found in check_contrast(line.where, ink, ground, band)
    ]
    return (
        *alone,
        *colours,
        *check_apart(lines),
        *check_order(lines),
        *check_tangents(lines),
        *check_layout(finished),
    )


def _line(line: DrawnLine, lines: Sequence[DrawnLine], hand: Hand, band: ReadingBand) -> Iterator[Finding]:
    yield from check_words(line, hand)
    yield from check_letters(line, hand)
    yield from check_reading(line, hand, band)
    yield from check_lines(line)
    yield from check_rows(line, hand)
    yield from check_room(line)
    yield from check_tails(line, [other for other in lines if other is not line])
