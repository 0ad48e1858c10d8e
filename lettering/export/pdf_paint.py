"""Painted paths as the operators of a PDF page (ISO 32000-1, 8.5), in millimetres."""

from collections.abc import Callable, Iterable, Iterator

from lettering.drawing import Colour, Painted
from lettering.export.svg import number
from lettering.geometry.contour import Contour
from lettering.geometry.rect import Rect
from lettering.units import mm_to_points

Paint = Callable[[Colour, bool], str]
"""Operators that choose a colour: for filling, or for stroking when the second argument is true."""


def placed(media: Rect) -> str:
    """Return the operator after which one unit is a millimetre of the page, y down, 0,0 at the trim."""
    scale = mm_to_points(1)
    origin = (-media.x0 * scale, media.y1 * scale)
    return f"{scale:.6f} 0 0 {-scale:.6f} {origin[0]:.4f} {origin[1]:.4f} cm"


def painted(items: Iterable[Painted], paint: Paint) -> Iterator[str]:
    """Yield the operators that paint `items`, the first at the bottom: the fill, then the line over it."""
    for item in items:
        outline = " ".join(_subpath(contour) for contour in item.path.contours)
        if not outline:
            continue
        if item.fill:
            yield f"{paint(item.fill, False)} {outline} f"
        if item.stroke and item.stroke_mm > 0:
            dash = " ".join(map(number, item.stroke_dash_mm))
            yield f"{paint(item.stroke, True)} {number(item.stroke_mm)} w 1 j 1 J [{dash}] 0 d {outline} S"


def cmyk(colour: Colour) -> str:
    """Return cyan, magenta, yellow and black, 0 to 1: what is grey is black ink alone."""
    least, *parts = max(colour.red, colour.green, colour.blue), colour.red, colour.green, colour.blue
    inks = [(least - part) / 255 for part in parts]
    return " ".join(map(number, (*inks, 1 - least / 255)))


def rgb(colour: Colour) -> str:
    """Return red, green and blue, 0 to 1."""
    return " ".join(number(part / 255) for part in (colour.red, colour.green, colour.blue))


def _subpath(contour: Contour) -> str:
    pieces, straight = contour.pieces, contour.straight
    steps = [f"{_numbers(pieces[0, 0].tolist())} m"]
    for piece, flat in zip(pieces, straight, strict=True):
        points, letter = (piece[3:], "l") if flat else (piece[1:], "c")
        steps.append(f"{_numbers(points.ravel().tolist())} {letter}")
    return " ".join((*steps, "h"))


def _numbers(values: list[float]) -> str:
    return " ".join(map(number, values))
