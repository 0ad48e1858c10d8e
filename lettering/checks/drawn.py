"""A spread as it is drawn: flattened areas of ink and bubbles, which the checks measure."""

from dataclasses import dataclass
from functools import cached_property

from lettering.book.cast import Figure
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.geometry.region import Region

FLATNESS_MM = 0.02
"""Farthest a flattened outline lies from the drawn curve: below a printer's dot."""


@dataclass(frozen=True)
class DrawnLine:
    """One line's areas, mm, y down."""

    finished: FinishedLine
    spread: FinishedSpread

    @property
    def number(self) -> int:
        """Number of the line on its spread, from 1."""
        return self.finished.number

    @property
    def where(self) -> str:
        """'pages 4-5, line 1'."""
        return f"{self.spread.spread.label}, line {self.number}"

    @cached_property
    def ink(self) -> Rect:
        """The least rectangle round the lettering."""
        return self.finished.stack.ink

    @cached_property
    def body(self) -> Region:
        """The body of the bubble, or the boxes of the letters where there is none."""
        bubble = self.finished.bubble
        if bubble is None:
            return Region.union(Region.rectangle(glyph.ink) for glyph in self.finished.stack.glyphs)
        return Region.polygon(bubble.body.flattened(FLATNESS_MM))

    @cached_property
    def tails(self) -> tuple[Region, ...]:
        """What each tail adds to the body."""
        bubble = self.finished.bubble
        if bubble is None:
            return ()
        parts = [(*tail.puffs, tail.outline) for tail in bubble.tails]
        solid = [Region.union(Region.polygon(p.flattened(FLATNESS_MM)) for p in part) for part in parts]
        return tuple(tail.difference(self.body) for tail in solid)

    @property
    def what(self) -> str:
        """What takes the room, in words: 'the bubble', or 'the lettering' where there is none."""
        return "the lettering" if self.finished.bubble is None else "the bubble"

    def meets(self, other: "DrawnLine") -> bool:
        """Tell whether the two bubbles belong together by the book: joined by a neck, or one on the other."""
        first, second = sorted((self, other), key=lambda line: line.number)
        return second.number == first.number + 1 and second.finished.line.joint is not None

    def necked(self, other: "DrawnLine") -> bool:
        """Tell whether necks join the two bubbles, from one to the next: any of them may bear the tail."""
        first, last = sorted((self.number, other.number))
        return all(line.line.joint == "neck" for line in self.spread.lines if first < line.number <= last)

    @property
    def speakers(self) -> tuple[Figure | None, ...]:
        """The figure that each tail points at; none for a speaker outside the picture."""
        line, spread = self.finished.line, self.spread.spread
        if line.off:
            return (None,) * len(line.who)
        found = [spread.figures_of(who) for who in line.who]
        return tuple(own[min(line.figure, len(own)) - 1] if own else None for own in found)

    def aim(self, speaker: Figure | None) -> Point:
        """Return what a tail must point at: the figure's mouth, or the edge that the speaker is beyond."""
        if speaker is not None:
            return speaker.target
        trim, middle = self.spread.frame.trim, self.finished.placement.centre
        return {
            "left": Point(trim.x0, middle.y),
            "right": Point(trim.x1, middle.y),
            "top": Point(middle.x, trim.y0),
            "bottom": Point(middle.x, trim.y1),
        }[self.finished.line.off or "top"]


def drawn(spread: FinishedSpread) -> tuple[DrawnLine, ...]:
    """Return the lines of a finished spread as they are drawn."""
    return tuple(DrawnLine(line, spread) for line in spread.lines)
