"""What lies ready for laying out any spread of one book."""

from dataclasses import dataclass

from lettering.book.book import Book
from lettering.bubbles.air import line_mm
from lettering.hand.hand import Hand
from lettering.hand.hands import Hands
from lettering.setting.forms import forms_of
from lettering.setting.reading_age import ReadingBand


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bench:
    """What lies ready for laying out any spread of one book."""

    book: Book
    hands: Hands
    band: ReadingBand
    x_height_mm: float
    stay: bool = False
    """Whether lines whose words are as before stay where they were, held or not."""

    @property
    def hand(self) -> Hand:
        """The book's own hand."""
        return self.hands.own

    @property
    def line_mm(self) -> float:
        """Width of the bubbles' line: it follows the stems of the book's hand, one through the book."""
        metrics = self.hand.metrics
        return line_mm(metrics.stem * self.x_height_mm / metrics.x_height)

    @property
    def life(self) -> float:
        """How much the bubbles' line varies: as much as the strokes of the book's hand, in widths."""
        return forms_of(self.hand).life
