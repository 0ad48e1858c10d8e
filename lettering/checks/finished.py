"""A spread as it will print, for checks to question."""

from dataclasses import dataclass

from lettering.book.book import Spread
from lettering.book.line import Line
from lettering.book.page import Frame
from lettering.bubbles.bubble import Bubble
from lettering.placing.placement import PlacedSpread, Placement
from lettering.setting.stack import Stack


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedLine:
    """One line, set, fitted and placed."""

    number: int
    """On its spread, from 1."""
    line: Line
    stack: Stack
    """In page coordinates, mm."""
    bubble: Bubble | None
    """In page coordinates, mm; none for an unframed caption or a sound."""
    placement: Placement


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedSpread:
    """One spread with all its lettering."""

    spread: Spread
    frame: Frame
    lines: tuple[FinishedLine, ...]
    """In speaking order."""
    placed: PlacedSpread
