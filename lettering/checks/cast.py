"""Whether the cast is what the spreads show: who speaks first, and how tall each is beside the others."""

from collections.abc import Iterator
from statistics import median

from lettering.book.book import Book, Spread
from lettering.checks.catalogue import WHOLE_BOOK, finding
from lettering.checks.finding import Finding

HEIGHT_SLACK = 0.35
"""How far a figure may be off the height that the others of its spread give it, in that. House default, and
wide: figures crouch, fly and stand farther back."""


def check_cast(book: Book) -> Iterator[Finding]:
    """Yield a cast that is out of the order of first speaking, and figures out of their heights."""
    yield from _order(book)
    heights = {one.key: one.height_mm for one in book.cast if one.height_mm is not None}
    for spread in book.spreads:
        yield from _heights(spread, heights)


def _order(book: Book) -> Iterator[Finding]:
    speaking = dict.fromkeys(who for spread in book.spreads for line in spread.lines for who in line.who)
    listed = [one.key for one in book.cast if one.key in speaking]
    spoken = [who for who in speaking if who in listed]
    if listed != spoken:
        message = f"they first speak in the order {', '.join(spoken)}; the cast has {', '.join(listed)}."
        astray = sum(one != other for one, other in zip(listed, spoken, strict=True))
        yield finding("cast-order", WHOLE_BOOK, message, astray, 0)


def _heights(spread: Spread, heights: dict[str, float]) -> Iterator[Finding]:
    """Yield figures that are taller or smaller than the scale of the others on their spread gives them."""
    scales = [(f.who, f.box.height / heights[f.who]) for f in spread.figures if f.who in heights]
    for index, (who, scale) in enumerate(scales):
        others = [other for k, (_, other) in enumerate(scales) if k != index]
        if len(others) < 2:
            continue  # of two that disagree nobody can say which is off
        share = scale / median(others)
        if not 1 / (1 + HEIGHT_SLACK) <= share <= 1 + HEIGHT_SLACK:
            more = "tall" if share > 1 else "short"
            message = f"{who} is drawn {share:.2f} times its height beside the others: {more} for the cast."
            yield finding("heights", spread.label, message, share, 1.0)
