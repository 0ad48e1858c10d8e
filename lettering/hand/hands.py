"""The hands of a book: its own, and those that some of its characters speak in."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from lettering.book.line import Line
from lettering.hand.hand import Hand


@dataclass(frozen=True, slots=True, eq=False)
class Hands:
    """The hand of every line of a book."""

    own: Hand
    """The book's own: of captions, of sounds and of every character without another."""
    others: Mapping[str, Hand] = field(default_factory=dict)
    """By the key of a character that has one; several may share it."""

    def of(self, line: Line) -> Hand:
        """Return the hand that a line is set in: that of its first speaker."""
        return self.others.get(line.who[0], self.own) if line.who else self.own

    @property
    def every(self) -> tuple[Hand, ...]:
        """Each hand once, the book's own first."""
        return tuple({id(hand): hand for hand in (self.own, *self.others.values())}.values())
