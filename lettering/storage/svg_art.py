"""Art drawn as SVG becomes pixels: read as a stranger's file, checked, and painted in a process of its own.

What is painted is what was checked, written anew: no document type, no entity, no link to any file. The
process that paints has bounds of time and memory, and nothing of the file goes any further than its pixels.
"""

import io
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from xml.etree.ElementTree import Element, ParseError, tostring

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import iterparse
from PIL import Image

from lettering.errors import ImageError

SVG = "{http://www.w3.org/2000/svg}"
MOST_BYTES = 20_000_000
"""Largest drawing: a busy spread as paths has about a tenth of it."""
MOST_ELEMENTS = 200_000
"""Elements of a drawing, each counted as often as it is used."""
MOST_NESTED = 100
"""Groups in groups, by use too."""
MOST_SLENDER = 20.0
"""Longer side of a drawing for its shorter one; a spread has about two."""
MOST_SECONDS = 10
"""Processor time that painting may take; a spread of 20,000 paths takes about two."""
PATIENCE = 4
"""How often as long a machine with other work may take for it."""

_PICTURES = re.compile(r"data:image/(png|jpeg|jpg|gif|webp)[;,]", re.IGNORECASE)
_LENGTH = re.compile(r"\s*([\d.]+(?:e[+-]?\d+)?)\s*(px|pt|pc|mm|cm|in|q|)\s*$", re.IGNORECASE)
_PX = {"": 1.0, "px": 1.0, "pt": 4 / 3, "pc": 16.0, "in": 96.0}
_PX |= {"mm": 96 / 25.4, "cm": 96 / 2.54, "q": 24 / 25.4}
"""Absolute lengths (CSS Values and Units 3, 6.2), px."""


def painted(data: bytes, name: str, longest: int) -> bytes:
    """Return the drawing in SVG file `name` as PNG on white, its longer side `longest` px.

    Raises ImageError for what is no drawing, refers to other files, holds text, or is larger than can be
    painted in the time.
    """
    root = _checked(data, name)
    width, height = _size(root, name)
    scale = longest / max(width, height)
    painter = str(Path(__file__).with_name("svg_painter.py"))
    words = [sys.executable, "-I", painter, str(max(1, round(height * scale))), str(MOST_SECONDS)]
    hint = "Save it more simply, or as PNG at 300 ppi."
    with tempfile.TemporaryDirectory() as empty:
        try:
            run = subprocess.run(
                words,
                input=tostring(root),
                capture_output=True,
                cwd=empty,
                timeout=PATIENCE * MOST_SECONDS,
                check=False,
            )
        except subprocess.TimeoutExpired:
            raise ImageError("the drawing takes too long to paint.", name, hint) from None
    if run.returncode < 0:  # ended by a signal
        raise ImageError("the drawing takes too long, or too much memory, to paint.", name, hint)
    if run.returncode or not run.stdout:
        raise ImageError("the drawing cannot be painted.", name, hint)
    return _without_alpha(run.stdout)


def _without_alpha(png: bytes) -> bytes:
    """Return a picture that hides nothing as colour alone: it is read twice as fast from then on."""
    file = io.BytesIO()
    with Image.open(io.BytesIO(png)) as image:
        image.convert("RGB").save(file, "PNG", compress_level=1)
    return file.getvalue()


def _checked(data: bytes, name: str) -> Element:
    """Return the root of a drawing that is bounded and stands alone."""
    if len(data) > MOST_BYTES:
        raise ImageError(f"the drawing has more than {MOST_BYTES // 1_000_000} million bytes.", name)
    root = _parsed(data, name)
    if root.tag != f"{SVG}svg":
        raise ImageError("this is no SVG drawing.", name)
    for element in root.iter():
        if element.tag in (f"{SVG}text", f"{SVG}foreignObject"):
            hint = "Turn its letters into outlines and save it again."
            raise ImageError("the drawing holds text, whose typeface may be missing elsewhere.", name, hint)
        if outside := next(_outside(element), None):
            hint = "Embed the picture in the drawing and save it again."
            raise ImageError(f"the drawing refers to another file: {outside[:80]}", name, hint)
    _count(root, {e.get("id", ""): e for e in root.iter() if e.get("id")}, {}, 0, name)
    return root


def _parsed(data: bytes, name: str) -> Element:
    events = iterparse(io.BytesIO(data), ("start", "end"), forbid_entities=True, forbid_external=True)
    depth = count = 0
    root: Element | None = None
    try:
        for event, element in events:
            root = element if root is None else root
            depth += 1 if event == "start" else -1
            count += event == "start"
            if depth > MOST_NESTED or count > MOST_ELEMENTS:
                raise _too_much(name)
    except DefusedXmlException:
        hint = "Save it as plain SVG."
        raise ImageError("the drawing declares entities, which are not read.", name, hint) from None
    except (ParseError, LookupError, ValueError) as error:
        raise ImageError(f"this is no SVG drawing ({error}).", name) from None
    if root is None:
        raise ImageError("this is no SVG drawing.", name)
    return root


def _too_much(name: str) -> ImageError:
    return ImageError(
        f"the drawing has more than {MOST_ELEMENTS:,} parts, or {MOST_NESTED} groups in one another.",
        name,
        "Save it more simply, or as PNG at 300 ppi.",
    )


def _outside(element: Element) -> Iterator[str]:
    """Yield what an element refers to beyond the drawing itself."""
    for attribute, value in element.items():
        if attribute.rpartition("}")[2] in ("href", "src") and element.tag != f"{SVG}a":
            link = value.strip()
            if link and not link.startswith("#") and not _PICTURES.match(link):
                yield link
    for words in (*element.attrib.values(), element.text or "" if element.tag == f"{SVG}style" else ""):
        for link in re.findall(r"url\(\s*['\"]?\s*([^#'\"\s)][^)]*)|@import\s*['\"]?([^'\";]+)", words):
            yield next(filter(None, link))


def _count(
    element: Element, named: dict[str, Element], known: dict[Element, int], depth: int, name: str
) -> int:
    """Return of how many parts an element is drawn, those that it uses among them."""
    if element in known:
        return known[element]
    if depth > 2 * MOST_NESTED:
        raise _too_much(name)
    known[element] = 1  # what uses itself is not drawn
    used = [named[link] for link in _used(element) if link in named]
    total = 1 + sum(_count(one, named, known, depth + 1, name) for one in (*element, *used))
    if total > MOST_ELEMENTS:
        raise _too_much(name)
    known[element] = total
    return total


def _used(element: Element) -> Iterator[str]:
    for attribute, value in element.items():
        if attribute.rpartition("}")[2] == "href" and value.startswith("#"):
            yield value[1:]


def _size(root: Element, name: str) -> tuple[float, float]:
    """Return width and height of a drawing, of which only the proportion matters."""
    sides = [_length(root.get(side, "")) for side in ("width", "height")]
    view = re.split(r"[\s,]+", root.get("viewBox", "").strip())
    if not all(sides) and len(view) == 4:
        sides = [_length(part) for part in view[2:]]
    width, height = sides
    if not width or not height:
        raise ImageError("the drawing says no size.", name, "Save it with a width and a height.")
    if max(width, height) > MOST_SLENDER * min(width, height):
        raise ImageError(f"the drawing is {width:g} by {height:g}, no shape of a spread.", name)
    return width, height


def _length(words: str) -> float | None:
    found = _LENGTH.match(words)
    try:
        return float(found[1]) * _PX[found[2].lower()] if found else None
    except ValueError:
        return None
