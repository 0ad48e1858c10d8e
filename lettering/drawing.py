"""Painted paths in named layers on a page in millimetres: the one waist to all output."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from lettering.geometry.path import Path
from lettering.geometry.point import Vector
from lettering.geometry.rect import Rect


@dataclass(frozen=True, slots=True)
class Colour:
    """An sRGB colour, each part 0..255."""

    red: int
    green: int
    blue: int

    @property
    def hex(self) -> str:
        """The colour as #rrggbb."""
        return f"#{self.red:02x}{self.green:02x}{self.blue:02x}"


BLACK = Colour(0, 0, 0)
WHITE = Colour(255, 255, 255)


@dataclass(frozen=True, slots=True, kw_only=True)
class Painted:
    """A path with its paint; the stroke, if any, lies over the fill and follows the outline."""

    path: Path
    """Outlines, mm, y down."""
    fill: Colour | None = BLACK
    """Colour inside, none for no fill."""
    stroke: Colour | None = None
    """Colour of the outline, none for no line."""
    stroke_mm: float = 0.0
    """Width of the outline's line, mm, half of it on either side of the path."""
    stroke_dash_mm: tuple[float, ...] = ()
    """Lengths of dash and gap in turn from the start of each outline, mm; empty for a whole line."""
    char: str | None = None
    """The character that the path draws, for lettering."""

    def moved(self, step: Vector) -> "Painted":
        """Return the same displaced by `step` mm."""
        return replace(self, path=self.path.moved(step))


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Pixels to look at, in proofs and contact sheets only; lettering layers have none."""

    rect: Rect
    """Where it lies on the page, mm; its pixels are stretched to fill it."""
    png: bytes
    """The picture as a PNG file."""

    def moved(self, step: Vector) -> "Picture":
        """Return the same displaced by `step` mm."""
        return replace(self, rect=self.rect.moved(step))


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Paths that belong together, such as the lettering of one line."""

    id: str
    """Unique in the drawing: a letter, then letters, digits and hyphens."""
    title: str
    """What a person would call it; for lettering, the words."""
    items: tuple[Painted | Picture, ...]
    """What is painted, first at the bottom."""
    data: Mapping[str, str] = field(default_factory=dict)
    """Facts for other programs, by name without prefix: `line`, `who`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """Groups that a printer may show, hide or put on a plate together."""

    id: str
    """Unique in the drawing: `bubbles`, `lettering`."""
    title: str
    groups: tuple[Group, ...]

    def moved(self, step: Vector) -> "Layer":
        """Return the same displaced by `step` mm."""
        groups = (replace(g, items=tuple(item.moved(step) for item in g.items)) for g in self.groups)
        return replace(self, groups=tuple(groups))


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """One page or spread, in millimetres from its trimmed top left corner, y down."""

    title: str
    description: str
    """One sentence for those who cannot see the drawing."""
    language: str
    """BCP 47 tag of its words."""
    trim: Rect
    """The trimmed page or spread, mm; its first corner is 0, 0."""
    bleed_mm: float
    """Art and drawing reach this far past the trim on every side, mm."""
    layers: tuple[Layer, ...]
    """First at the bottom."""

    @property
    def items(self) -> tuple[Painted | Picture, ...]:
        """Everything in it, first at the bottom."""
        return tuple(item for layer in self.layers for group in layer.groups for item in group.items)

    @property
    def media(self) -> Rect:
        """The trim and its bleed, mm."""
        return self.trim.inset(-self.bleed_mm)
