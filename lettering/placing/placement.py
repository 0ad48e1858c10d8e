"""What goes into placing a spread, and what comes out."""

from dataclasses import dataclass

from lettering.book.line import Side
from lettering.book.page import Frame
from lettering.geometry.contour import Points
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shape:
    """One way a line's bubble may look: the body of one stack, about the stack's origin."""

    body: Points
    """Corners of the body, shape (n, 2), mm from the stack's origin, within 0.05 mm of the drawn curve."""
    cost: float
    """What the stack itself costs, from setting; 0 is perfect."""
    parts: tuple[Points, ...] = ()
    """Where `body` is the hull of several bubbles that meet: the corners of each, (n, 2), mm likewise."""
    springs: tuple[tuple[int, ...], ...] = ()
    """For each speaker the parts, by index, of which one bears the tail."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Speaker:
    """Whom a tail points at: a figure on the spread, or an edge that the speaker is beyond."""

    who: str
    target: Point | None
    """The mouth, or what stands for it, mm; none when outside the picture."""
    face: Rect | None = None
    """What the tail must not touch, mm."""
    box: Rect | None = None
    """All of the figure, mm; the tail may enter the box of its own speaker alone."""
    off: Side | None = None
    head: Rect | None = None
    """What the tail stops short of where no face is known, mm, unless there is no other way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Where one line goes."""

    line: int
    """Number of the line on its spread, from 1."""
    shape: int
    """Index of the chosen shape."""
    centre: Point
    """Where the stack's origin comes to lie, mm."""
    tips: tuple[Point, ...] = ()
    """Where the tails end, one for each speaker, mm."""
    held: bool = False
    """Whether the illustrator has fixed it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LineToPlace:
    """A line that wants a place."""

    line: int
    """Number on its spread, from 1, in speaking order."""
    shapes: tuple[Shape, ...]
    """The ways it may look, best first."""
    speakers: tuple[Speaker, ...]
    """Empty for a caption."""
    held: Placement | None = None
    """A placement that must not move."""
    former: Placement | None = None
    """Where it was before; staying near it is preferred."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpreadToPlace:
    """All that placing knows of a spread."""

    frame: Frame
    lines: tuple[LineToPlace, ...]
    figures: tuple[tuple[str, Rect], ...]
    """Character and box of every figure, mm."""
    keep_clear: tuple[Rect, ...] = ()
    x_height_mm: float = 4.0
    """Size of the lettering, which sets the width of tails."""
    detail: Points | None = None
    """How much detail the art has: shape (rows, columns), 0 quiet to 1 busy, over trim; none without art."""


@dataclass(frozen=True, slots=True)
class Broken:
    """A hard rule that a layout breaks, because nothing better was found."""

    rule: str
    """`safe`, `gutter`, `figure`, `keep-clear`, `overlap`, `tail`, `order`."""
    lines: tuple[int, ...]
    """Numbers of the lines concerned."""
    detail: str
    """What is in the way, by name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedSpread:
    """The chosen layout of a spread."""

    placements: tuple[Placement, ...]
    """One for each line, in speaking order."""
    score: float
    """Total cost, lower is better."""
    bound: float
    """Proven lower bound of the score for the candidates considered."""
    free: int = 0
    """Lines that were free to move; the others stayed."""
    broken: tuple[Broken, ...] = ()
    missing: tuple[str, ...] = ()
    """For each line that breaks a rule a sentence on the room it lacks, with figures."""
    advice: tuple[str, ...] = ()
    """For each of them what would make room."""
