"""Who appears in the book, and where each is on a spread."""

from dataclasses import dataclass

from lettering.geometry.point import Point
from lettering.geometry.rect import Rect

HEAD_SHARE = 0.3
"""Half the width of a likely face, in the lesser side of a figure's box (house default)."""

EYES = 1.2
"""How far a likely face reaches above its mouth, in half its width: the eyes are there."""


@dataclass(frozen=True, slots=True)
class Character:
    """One of the cast, listed in the order in which they first speak."""

    key: str
    """The name the book file uses."""
    name: str
    """The name people use."""
    height_mm: float | None = None
    """Height beside the others, in the scale of the art, mm; none when not given."""
    hand: str | None = None
    """The glyph set that the character speaks in, relative to the book file; none for the book's own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """Where a character is on a spread, mm from the trimmed top left corner, y down."""

    who: str
    """Key of the character."""
    box: Rect
    """All of the character that must stay visible, mm."""
    face: Rect | None = None
    """What a tail must not touch, mm, inside the box; none when not given."""
    mouth: Point | None = None
    """Where the voice comes from, mm, inside the box; none when not given."""

    @property
    def target(self) -> Point:
        """What a tail aims at: the mouth, else the middle of the face, else that of the box."""
        return self.mouth or (self.face or self.box).centre

    @property
    def head(self) -> Rect:
        """What a tail stops short of: the face; without one what is likely a face round the mouth, or all."""
        if self.face is not None or self.mouth is None:
            return self.face or self.box
        reach, mouth, box = HEAD_SHARE * min(self.box.width, self.box.height), self.mouth, self.box
        return Rect(
            max(mouth.x - reach, box.x0),
            max(mouth.y - EYES * reach, box.y0),
            min(mouth.x + reach, box.x1),
            min(mouth.y + reach / 2, box.y1),
        )
