"""Whether any spread of a book says far more than the others."""

from collections.abc import Iterator
from statistics import median

from lettering.book.book import Book, Spread
from lettering.checks.catalogue import finding
from lettering.checks.finding import Finding
from lettering.setting.words import shown

MOST = 2.5
"""Times the words of a usual spread that one may have (house default): the child turns pages at one pace."""

FEW = 20
"""Words that no spread is too full with, however quiet the others are (house default)."""

FEWEST = 4
"""Spreads with words below which none of them is the usual one."""


def check_even(book: Book) -> Iterator[Finding]:
    """Yield spreads that have far more words than the usual one."""
    counts = [(spread, _words(spread)) for spread in book.spreads if spread.lines]
    if len(counts) < FEWEST:
        return
    most = max(MOST * median(count for _, count in counts), FEW)
    for spread, count in counts:
        if count > most:
            message = (
                f"{count} words here; the book's usual spread makes {most:.0f} seem many. Share them out."
            )
            yield finding("spread-words", spread.label, message, count, most)


def _words(spread: Spread) -> int:
    return sum(len(shown(line.says).split()) for line in spread.lines)
