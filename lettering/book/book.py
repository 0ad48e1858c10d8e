"""A picture book: page size, reader's age, cast, hand and spreads."""

from collections.abc import Sequence
from dataclasses import dataclass

from lettering.book.accepted import Accepted
from lettering.book.cast import Character, Figure
from lettering.book.line import Line
from lettering.book.page import Frame, PageFormat, frame
from lettering.geometry.rect import Rect


def pages_label(pages: Sequence[int]) -> str:
    """Return what people call a spread: 'pages 4-5', 'page 1'."""
    return ("pages " if len(pages) > 1 else "page ") + "-".join(map(str, pages))


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """One page or two facing pages, with what is drawn on them and what is said."""

    pages: tuple[int, ...]
    """One page number, or two that follow each other."""
    lines: tuple[Line, ...]
    """In the order in which they are spoken."""
    figures: tuple[Figure, ...] = ()
    """In the order of the book file; a character may have several."""
    keep_clear: tuple[Rect, ...] = ()
    """Other places that must stay visible, mm."""
    art: str | None = None
    """Picture under the lettering, relative to the book file; covers trim and bleed."""

    @property
    def label(self) -> str:
        """What people call it: 'pages 4-5', 'page 1'."""
        return pages_label(self.pages)

    def figures_of(self, who: str) -> tuple[Figure, ...]:
        """Return the figures of one character, in the order of the book file."""
        return tuple(figure for figure in self.figures if figure.who == who)


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """A picture book as its illustrator wrote it down."""

    title: str
    """What stands on its cover."""
    language: str
    """BCP 47 tag."""
    reader_age: tuple[int, int]
    """Youngest and oldest reader, years; the younger decides, two numbers mean read aloud."""
    hand: str
    """Its own glyph set, relative to the book file: of all lines but those of characters with another."""
    page: PageFormat
    cast: tuple[Character, ...]
    """In the order in which they first speak."""
    spreads: tuple[Spread, ...]
    x_height_mm: float | None = None
    """Wanted size of the lettering; none for the target of the reader's age."""
    placing: tuple[tuple[str, float], ...] = ()
    """Weights of placing that the book gives, name and price, in the order of the book file."""
    accepted: tuple[Accepted, ...] = ()
    """Findings that are meant to be so, in the order of the book file."""

    @property
    def hands(self) -> tuple[str, ...]:
        """Every glyph set that it names, its own first, each once."""
        return tuple(dict.fromkeys((self.hand, *(one.hand for one in self.cast if one.hand is not None))))

    def hand_of(self, line: Line) -> str:
        """Return the glyph set that a line is set in: that of its first speaker."""
        others = {one.key: one.hand for one in self.cast}
        return (others.get(line.who[0]) if line.who else None) or self.hand

    def frame(self, spread: Spread) -> Frame:
        """Return the frame that `spread` offers to lettering."""
        return frame(self.page, len(spread.pages))
