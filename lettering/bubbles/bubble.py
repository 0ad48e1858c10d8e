"""A bubble: body and tails as one closed outline."""

from dataclasses import dataclass

from lettering.geometry.contour import Contour
from lettering.geometry.path import Path
from lettering.geometry.point import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Tail:
    """What points at the speaker."""

    outline: Contour
    """Closed outline of the tail alone, reaching a little into the body, mm, y down."""
    root: Point
    """Middle of where it leaves the body, mm."""
    tip: Point
    """Where it ends, mm."""
    puffs: tuple[Contour, ...] = ()
    """For a thought, the puffs between the body and `outline`, which is the last; nearest the body first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bubble:
    """Body and tails, and their union as it is drawn."""

    body: Contour
    """Closed outline without tails, mm, y down."""
    tails: tuple[Tail, ...]
    """One for each speaker; none for a caption."""
    outline: Path
    """Body and tails as one outline, mm; a thought's puffs are outlines of their own."""
    line_mm: float
    """Width of its drawn line, mm; 0 for no line."""
    inked: tuple[Contour, ...] = ()
    """The outline as the pen draws it: two edges to stroke with `pen_mm`; empty where the line is even."""
    pen_mm: float = 0.0
    """Width of the stroke along `inked`, mm."""
    dash_mm: tuple[float, ...] = ()
    """Lengths of dash and gap along the outline from its start, mm; empty for a whole line."""
