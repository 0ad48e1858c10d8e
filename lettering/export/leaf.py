"""Leaves of paper to look at and write on: drawings at a scale, rules, marks and words; as PDF or PNG."""

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal

import cairocffi as cairo  # type: ignore[import-untyped]

from lettering.drawing import BLACK, Colour, Drawing
from lettering.export.paint import paint
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.units import MM_PER_INCH, mm_to_points

FACE = "sans-serif"
"""The plain typeface of the system; the lettering itself is always outlines."""
_UNDATED = "2000-01-01T00:00:00Z"
"""The same leaves give the same bytes, so the file carries no clock."""

Side = Literal["left", "middle", "right"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A row of plain type."""

    text: str
    at: Point
    """Where its baseline begins, has its middle or ends, mm."""
    size_mm: float = 3.2
    """Height of the body of the type, mm."""
    colour: Colour = BLACK
    bold: bool = False
    side: Side = "left"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A straight or angular line, or a box."""

    points: tuple[Point, ...]
    """Corners, mm."""
    colour: Colour = BLACK
    width_mm: float = 0.1
    dash_mm: tuple[float, ...] = ()
    fill: Colour | None = None
    opacity: float = 1.0
    """Of the fill: 0 clear, 1 solid."""

    @classmethod
    def box(cls, rect: Rect, colour: Colour, **more: "float | Colour | tuple[float, ...]") -> "Rule":
        """Return a closed box."""
        corners = ((rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1))
        return cls(points=tuple(Point(x, y) for x, y in (*corners, corners[0])), colour=colour, **more)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A drawing on a leaf, made smaller or larger."""

    drawing: Drawing
    at: Point
    """Where its trimmed top left corner lies, mm."""
    scale: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """One side of a sheet of paper."""

    width_mm: float
    height_mm: float
    items: tuple[Words | Rule | Shown, ...]
    """First at the bottom."""


def leaves_pdf(leaves: Sequence[Leaf], title: str) -> bytes:
    """Return leaves as a PDF, a page each; the same bytes for the same leaves on one system."""
    file = io.BytesIO()
    surface = cairo.PDFSurface(file, 1, 1)
    surface.set_metadata(cairo.PDF_METADATA_TITLE, title)
    surface.set_metadata(cairo.PDF_METADATA_CREATE_DATE, _UNDATED)
    context = cairo.Context(surface)
    for leaf in leaves:
        surface.set_size(mm_to_points(leaf.width_mm), mm_to_points(leaf.height_mm))
        with context:
            context.scale(mm_to_points(1), mm_to_points(1))
            _paint(context, leaf)
        surface.show_page()
    surface.finish()
    return file.getvalue()


def leaf_png(leaf: Leaf, ppi: float) -> bytes:
    """Return a leaf as a PNG on white paper, `ppi` pixels an inch."""
    scale = ppi / MM_PER_INCH
    surface = cairo.ImageSurface(
        cairo.FORMAT_RGB24, round(leaf.width_mm * scale), round(leaf.height_mm * scale)
    )
    context = cairo.Context(surface)
    context.set_source_rgb(1, 1, 1)
    context.paint()
    context.scale(scale, scale)
    _paint(context, leaf)
    file = io.BytesIO()
    surface.write_to_png(file)
    return file.getvalue()


def _paint(context: cairo.Context, leaf: Leaf) -> None:
    for item in leaf.items:
        with context:
            if isinstance(item, Shown):
                context.translate(item.at.x, item.at.y)
                context.scale(item.scale, item.scale)
                media = item.drawing.media
                context.rectangle(media.x0, media.y0, media.width, media.height)
                context.clip()
                paint(context, item.drawing.items)
            elif isinstance(item, Rule):
                _rule(context, item)
            else:
                _words(context, item)


def _use(context: cairo.Context, colour: Colour, opacity: float = 1.0) -> None:
    context.set_source_rgba(colour.red / 255, colour.green / 255, colour.blue / 255, opacity)


def _rule(context: cairo.Context, rule: Rule) -> None:
    context.new_path()  # words leave their end behind as a point
    for point in rule.points:
        context.line_to(point.x, point.y)
    if rule.points[0] == rule.points[-1]:
        context.close_path()
    if rule.fill:
        _use(context, rule.fill, rule.opacity)
        context.fill_preserve()
    if rule.width_mm:
        _use(context, rule.colour)
        context.set_line_width(rule.width_mm)
        context.set_dash(rule.dash_mm)
        context.stroke()
    context.new_path()


def _words(context: cairo.Context, words: Words) -> None:
    _use(context, words.colour)
    context.select_font_face(FACE, cairo.FONT_SLANT_NORMAL, _weight(words.bold))
    context.set_font_size(words.size_mm)
    share = {"left": 0.0, "middle": 0.5, "right": 1.0}[words.side]
    context.move_to(words.at.x - share * width_mm(words.text, words.size_mm, words.bold), words.at.y)
    context.show_text(words.text)


def _weight(bold: bool) -> int:
    return int(cairo.FONT_WEIGHT_BOLD if bold else cairo.FONT_WEIGHT_NORMAL)


@cache
def _measure() -> cairo.Context:
    return cairo.Context(cairo.ImageSurface(cairo.FORMAT_A8, 1, 1))


@lru_cache(maxsize=4096)
def width_mm(text: str, size_mm: float, bold: bool = False) -> float:
    """Return how wide a row of plain type is, mm."""
    context = _measure()
    context.select_font_face(FACE, cairo.FONT_SLANT_NORMAL, _weight(bold))
    context.set_font_size(100.0)  # measured large, for small type is rounded to whole pixels
    return float(context.text_extents(text)[4]) * size_mm / 100.0


def wrapped(text: str, size_mm: float, most_mm: float, bold: bool = False) -> Iterator[str]:
    """Yield the rows of `text`, none wider than `most_mm` unless it is one word."""
    row = ""
    for word in text.split():
        longer = f"{row} {word}" if row else word
        if row and width_mm(longer, size_mm, bold) > most_mm:
            yield row
            row = word
        else:
            row = longer
    if row:
        yield row
