"""The rows of one bubble, as a block of drawn letters."""

from dataclasses import dataclass, replace

from lettering.geometry.path import Path
from lettering.geometry.point import Point, Vector
from lettering.geometry.rect import Rect

NOWHERE = Vector(0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetGlyph:
    """One letter drawn in its place."""

    char: str
    take: str
    """Glyph name of the take that draws it."""
    drawn: Path
    """Its ink where it was drawn, mm, y down."""
    ink: Rect
    """The least rectangle round its ink, mm, from the stack's origin."""
    away: Vector = NOWHERE
    """From where it was drawn to where it stands, mm: most stacks are weighed and never seen, so that the ink
    itself need not move with each."""

    @property
    def path(self) -> Path:
        """Its ink, mm, y down, from the stack's origin."""
        return self.drawn.moved(self.away)

    def moved(self, step: Vector) -> "SetGlyph":
        """Return the letter displaced by `step` mm."""
        return SetGlyph(
            char=self.char,
            take=self.take,
            drawn=self.drawn,
            ink=self.ink.moved(step),
            away=self.away + step,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of lettering."""

    text: str
    """The words as shown, without emphasis marks."""
    glyphs: tuple[SetGlyph, ...]
    """In reading order; spaces draw nothing."""
    baseline_mm: float
    """y of the baseline from the stack's origin, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """The rows of one bubble. The origin is the middle of the block: rows are centred on x = 0."""

    rows: tuple[Row, ...]
    x_height_mm: float
    cost: float
    """What the breaking and the shape cost, >= 0; 0 is a stack that cannot be better (numbers.md weights)."""
    outline_mm: float = 0.0
    """Weight of the line round the letters, which are then white inside, mm; 0 for solid letters."""
    fixed_at: Point | None = None
    """Where its origin lies on the page, mm, when the book says so; none when placing decides."""

    @property
    def glyphs(self) -> tuple[SetGlyph, ...]:
        """All letters in reading order."""
        return tuple(glyph for row in self.rows for glyph in row.glyphs)

    @property
    def ink(self) -> Rect:
        """The least rectangle round all ink, mm; raises ValueError when nothing is drawn."""
        return Rect.around(glyph.ink for glyph in self.glyphs)

    def moved(self, step: Vector) -> "Stack":
        """Return the stack displaced by `step` mm; the baselines move with it."""
        rows = tuple(
            Row(
                text=row.text,
                glyphs=tuple(glyph.moved(step) for glyph in row.glyphs),
                baseline_mm=row.baseline_mm + step.y,
            )
            for row in self.rows
        )
        return replace(self, rows=rows)
