"""A glyph's file as a hand has it and most editors write it: closed contours of lines and cubic curves.

fontTools reads and writes any GLIF there may be; hundreds of takes go in and out in a fraction of its time
here. What is out of the ordinary is left to fontTools (see `ufo_hand`).
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, TypeVar
from xml.etree.ElementTree import Element, ParseError, fromstring
from xml.sax.saxutils import escape, quoteattr

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.hand.grid import DECIMALS, lines, thirds

Scalar = TypeVar("Scalar", bound=np.generic)

SMOOTH = 0.05
"""Radians by which a curve may turn at a point that is marked smooth: as fontTools guesses it."""

MOST_KNOWN = 4096
"""Glyphs of which what was read and written is remembered: a large hand, of which an edit changes a few."""

_GLYPH = frozenset(("name", "format", "formatMinor"))
_ONCE = frozenset(("advance", "image", "lib", "note", "outline"))
_POINT = frozenset(("x", "y", "type", "smooth", "name"))
_KINDS = {"line": "l", "curve": "c", "offcurve": ".", None: "."}
_PIECES = re.compile(r"(?:l|\.\.c)+")
"""A closed contour, begun after its first point: every line and every curve by its points."""
UPRIGHT = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
"""The map that changes nothing."""
_IMAGE = ("xScale", "xyScale", "yxScale", "yScale", "xOffset", "yOffset")


@dataclass(frozen=True, slots=True, kw_only=True)
class Glif:
    """What a hand keeps of a glyph's file."""

    name: str
    width: float
    outline: Outline
    codes: tuple[int, ...] = ()
    """Code points."""
    picture: str | None = None
    """File name of its picture in the UFO's images."""
    place: tuple[float, ...] = UPRIGHT
    """The map from the picture's px to font units."""
    lib: Mapping[str, Any] = field(default_factory=dict)


@lru_cache(maxsize=MOST_KNOWN)
def read_glif(text: bytes) -> Glif | None:
    """Return the glyph in a GLIF of format 2; none when it holds what this reader does not know, or faults.

    `text` declares no entities (see `ufo_bounds`), so parsing it is bounded by its length.
    """
    try:
        root = fromstring(text)
    except (ParseError, ValueError):
        return None
    parts = {part.tag: part for part in root}
    known = root.tag == "glyph" and root.get("format") == "2" and set(root.attrib) <= _GLYPH
    singles = [part.tag for part in root if part.tag != "unicode"]
    if not known or len(set(singles)) != len(singles) or not _ONCE.issuperset(singles):
        return None
    try:
        contours = [_contour(part) for part in parts.get("outline", ())]
        width = float(parts["advance"].get("width", 0)) if "advance" in parts else 0.0
        image, lib = parts.get("image"), parts.get("lib")
        return Glif(
            name=root.attrib["name"],
            width=width,
            outline=Outline(tuple(contour for contour in contours if contour is not None)),
            codes=tuple(int(part.attrib["hex"], 16) for part in root if part.tag == "unicode"),
            picture=None if image is None else image.attrib["fileName"],
            place=UPRIGHT if image is None else _place(image),
            lib={} if lib is None else _lib(lib),
        )
    except (_UnusualError, KeyError, ValueError, TypeError):
        return None


class _UnusualError(Exception):
    """The file holds what this reader does not know."""


def _lib(lib: Element) -> dict[str, Any]:
    (value,) = map(_value, lib)
    if not isinstance(value, dict):
        raise _UnusualError
    return value


def _value(element: Element) -> Any:
    """Return what an element of a property list means; text, numbers, lists and maps are known here."""
    tag = element.tag
    if tag == "dict":
        if any(key.tag != "key" for key in element[::2]):
            raise _UnusualError
        keys = [key.text or "" for key in element[::2]]
        return dict(zip(keys, map(_value, element[1::2]), strict=True))
    if tag == "array":
        return [_value(part) for part in element]
    return _PLAIN[tag](element.text or "")


_PLAIN: dict[str, Callable[[str], Any]] = {"string": str, "integer": int, "real": float}


def _place(image: Element) -> tuple[float, ...]:
    return tuple(float(image.get(name, usual)) for name, usual in zip(_IMAGE, UPRIGHT, strict=True))


def _contour(element: Element) -> Contour | None:
    """Return a closed contour; none when all its pieces are points."""
    points = [point.attrib for point in element]
    kinds = "".join([_KINDS[point.get("type")] for point in points])
    if element.tag != "contour" or element.attrib or not _PIECES.fullmatch(kinds[1:] + kinds[:1]):
        raise _UnusualError
    known = {name for point in points for name in point} <= _POINT
    if not known or {point.tag for point in element} != {"point"} or any(map(len, element)):
        raise _UnusualError
    xy = np.array([(float(point["x"]), float(point["y"])) for point in points])
    if not np.isfinite(xy).all():
        raise _UnusualError
    return _knots(xy, np.array([kind == "." for kind in kinds]))


def _knots(xy: NDArray[np.float64], off: NDArray[np.bool_]) -> Contour | None:
    """Return the pieces between the points that lie on the curve, a line with its handles at its thirds."""
    starts = np.flatnonzero(~off)
    ends = _after(starts)
    curved = _after(off)[starts]
    knots = np.empty((len(starts), 3, 2))
    knots[curved] = xy[starts[curved, None] + (0, 1, 2)]
    if not curved.all():
        knots[~curved] = thirds(xy[starts[~curved]], xy[ends[~curved]])
    drawn = curved | (xy[starts] != xy[ends]).any(axis=1)
    return Contour(knots[drawn]) if drawn.any() else None


_WRITTEN: dict[int, tuple[Outline, str, str]] = {}
"""By the identity of an outline, which is kept so that it stays: all else of its glyph, and the text."""


def glif_text(glyph: Glif) -> str:
    """Return the file of a glyph, as fontTools writes it."""
    key = id(glyph.outline)
    other = repr((glyph.name, glyph.width, glyph.codes, glyph.picture, glyph.place, glyph.lib))
    known = _WRITTEN.get(key)
    if known is not None and known[1] == other:
        return known[2]
    text = "\n".join(["<?xml version='1.0' encoding='UTF-8'?>", *_rows(glyph), ""])
    if len(_WRITTEN) >= MOST_KNOWN:
        _WRITTEN.clear()
    _WRITTEN[key] = (glyph.outline, other, text)
    return text


def _rows(glyph: Glif) -> Iterator[str]:
    yield f'<glyph name={quoteattr(glyph.name)} format="2">'
    if glyph.width:
        yield f'  <advance width="{glyph.width!r}"/>'
    yield from (f'  <unicode hex="{code:04X}"/>' for code in glyph.codes)
    if glyph.picture is not None:
        places = zip(_IMAGE, glyph.place, UPRIGHT, strict=True)
        moved = "".join(f' {name}="{value!r}"' for name, value, plain in places if value != plain)
        yield f"  <image fileName={quoteattr(glyph.picture)}{moved}/>"
    yield "  <outline>"
    for contour in glyph.outline.contours:
        yield "    <contour>"
        yield from _points(contour)
        yield "    </contour>"
    yield "  </outline>"
    if glyph.lib:
        yield "  <lib>"
        yield from _plist(glyph.lib, "    ")
        yield "  </lib>"
    yield "</glyph>"


def _points(contour: Contour) -> Iterator[str]:
    line = lines(contour)
    # No step of these is taken for each point alone: a hand has a hundred thousand.
    rows = zip(
        _grid(contour.knots), line.tolist(), _before(line).tolist(), _smooth(contour, line), strict=True
    )
    for (x, y, x1, y1, x2, y2), goes_straight, came_straight, soft in rows:
        marked = ' smooth="yes"' if soft else ""
        kind = "line" if came_straight else "curve"
        yield f'      <point x="{x!r}" y="{y!r}" type="{kind}"{marked}/>'
        if not goes_straight:
            yield f'      <point x="{x1!r}" y="{y1!r}"/>\n      <point x="{x2!r}" y="{y2!r}"/>'


def _grid(knots: NDArray[np.float64]) -> list[list[float]]:
    """Return the six coordinates of each knot on the grid."""
    on: list[list[float]] = (np.round(knots.reshape(-1, 6), DECIMALS) + 0.0).tolist()
    return on


def _before(ring: NDArray[Scalar]) -> NDArray[Scalar]:
    """Return for each of a ring the one before it; numpy's own turning is slow at short rings."""
    return np.concatenate([ring[-1:], ring[:-1]])


def _after(ring: NDArray[Scalar]) -> NDArray[Scalar]:
    """Return for each of a ring the one after it."""
    return np.concatenate([ring[1:], ring[:1]])


def _smooth(contour: Contour, line: NDArray[np.bool_]) -> list[bool]:
    """Return at which starts a curve, or a curve and a line, go on in one direction."""
    starts, leaving = contour.knots[:, 0], contour.knots[:, 1].copy()
    arriving, before = _before(contour.knots[:, 2]), _before(line)
    leaving[line] = _after(starts)[line]
    arriving[before] = _before(starts)[before]
    into, out = starts - arriving, leaving - starts
    turn = np.abs(np.arctan2(into[:, 1], into[:, 0]) - np.arctan2(out[:, 1], out[:, 0]))
    soft: list[bool] = ((turn < SMOOTH) & ~(line & before) & into.any(axis=1) & out.any(axis=1)).tolist()
    return soft


def _plist(value: Any, indent: str) -> Iterable[str]:
    """Yield a property list of text, numbers, lists and maps, as fontTools writes it."""
    deeper = indent + "  "
    if isinstance(value, Mapping):
        yield f"{indent}<dict>"
        for key in sorted(value):
            yield f"{deeper}<key>{escape(key)}</key>"
            yield from _plist(value[key], deeper)
        yield f"{indent}</dict>"
    elif isinstance(value, Sequence) and not isinstance(value, str):
        yield f"{indent}<array>"
        for part in value:
            yield from _plist(part, deeper)
        yield f"{indent}</array>"
    else:
        kind = {str: "string", int: "integer"}.get(type(value), "real")
        yield f"{indent}<{kind}>{escape(str(value))}</{kind}>"
