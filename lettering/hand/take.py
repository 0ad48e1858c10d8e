"""One drawing of one character."""

from dataclasses import dataclass

from lettering.geometry.outline import Outline
from lettering.geometry.rect import Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where a take was drawn."""

    page: str
    """File name of the lettered page."""
    row: int
    """Row of the reading, from 0."""
    place: int
    """Index of the character in the row, from 0."""
    box: Rect
    """The crop on the page, px."""
    confidence: float
    """0..1."""
    units_per_px: float | None = None
    """Font units to one px of the page; none when unknown."""
    start: float | None = None
    """Where the take's own x = 0 stood in its row, font units from the row's start; none when unknown."""


@dataclass(frozen=True, slots=True)
class AsDrawn:
    """A letter of a page that was brought to the hand's size and weight, as it was before."""

    outline: Outline
    """Font units of its own page, at its place in the row."""
    units_per_px: float | None
    """Those font units to one px of the page; none when unknown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A letter as it stands on a page: traced, in font units, before it belongs to a hand.

    All letters of one row share one coordinate system: x runs along the row's baseline from the row's
    start, so that the gaps she left can be measured; y = 0 is the baseline.
    """

    char: str
    outline: Outline
    """Font units, at its place in the row."""
    row: int
    place: int
    source: Source
    picture: bytes
    """PNG of the source crop."""
    as_drawn: AsDrawn | None = None
    """What it was before its page was brought to the hand's size; none for a page of that size."""
    called_back: bool = False
    """Whether she wants it however odd it looks."""
    doubt: str | None = None
    """Why the reading was not sure that it is this letter; none for one that was found for certain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """One drawing of one character, with its own room on both sides."""

    name: str
    """Glyph name: `a`, `a.take2`, `exclam`."""
    char: str
    """The character or cluster it draws."""
    outline: Outline
    """Font units; x = 0 is where its advance begins."""
    advance: float
    """Font units from its own start to the start of what follows, before kerning."""
    source: Source | None = None
    picture: bytes | None = None
    """PNG of the source crop, kept beside the glyph so that she can see what was understood."""
    rise: float = 0.0
    """How much higher it stood on its baseline than is usual for its character, font units."""
    turn: float = 0.0
    """How much farther to the right it leant than is usual for its character, radians."""
    aside: str | None = None
    """Why it is not used; none for a take that is."""
    doubtful: bool = False
    """Whether it is not used because its reading was not sure of it: its looks are then no matter."""
    called_back: bool = False
    """Whether she wants it however odd it looks."""
    as_drawn: AsDrawn | None = None
    """As in `Drawn`."""
