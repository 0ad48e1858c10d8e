"""A drawing as SVG 1.1: outlines in named layers, in millimetres, with words for those who cannot see it."""

import base64
import re
from collections.abc import Iterator
from xml.etree import ElementTree as ET

from lettering.drawing import Drawing, Group, Layer, Painted, Picture
from lettering.geometry.contour import Contour
from lettering.geometry.path import Path

DECIMALS = 3
"""Digits behind the point of a millimetre: one micrometre, a twentieth of a dot at 1200 ppi."""

_NAMESPACE = "http://www.w3.org/2000/svg"
_XLINK = "http://www.w3.org/1999/xlink"
_LANGUAGE = "{http://www.w3.org/XML/1998/namespace}lang"
_NO_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What no XML 1.0 document may hold."""


def svg(drawing: Drawing) -> str:
    """Return the drawing as an SVG document, the same text for the same drawing.

    One user unit is one millimetre; 0,0 is the trimmed top left corner, so the bleed is negative. Each
    layer is a group, each group in it begins with its title, each painted path is one path element.
    """
    root = _root(drawing)
    root.extend(_layer(layer) for layer in drawing.layers)
    ET.indent(root, " ")
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(root, encoding="unicode") + "\n"


def path_data(path: Path) -> str:
    """Return the outlines as SVG path data: absolute M, L, C and Z, mm, never an exponent."""
    return "".join(_subpath(contour) for contour in path.contours)


def number(value: float) -> str:
    """Return a number with at most three digits behind the point, none of them an idle zero."""
    text = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _root(drawing: Drawing) -> ET.Element:
    media = drawing.media
    box = (media.x0, media.y0, media.width, media.height)
    root = ET.Element(
        "svg",
        {
            "xmlns": _NAMESPACE,
            **_link_namespace(drawing),
            "version": "1.1",
            "width": f"{number(media.width)}mm",
            "height": f"{number(media.height)}mm",
            "viewBox": " ".join(map(number, box)),
            "role": "img",
            "aria-labelledby": "title description",
            _LANGUAGE: drawing.language,
        },
    )
    ET.SubElement(root, "title", id="title").text = _plain(drawing.title)
    ET.SubElement(root, "desc", id="description").text = _plain(drawing.description)
    return root


def _link_namespace(drawing: Drawing) -> dict[str, str]:
    return {"xmlns:xlink": _XLINK} if any(isinstance(item, Picture) for item in drawing.items) else {}


def _layer(layer: Layer) -> ET.Element:
    element = _titled(layer.id, layer.title)
    element.extend(_group(group) for group in layer.groups)
    return element


def _group(group: Group) -> ET.Element:
    element = _titled(group.id, group.title)
    for name, value in group.data.items():
        element.set(f"data-{name}", _plain(value))
    element.extend(_picture(item) if isinstance(item, Picture) else _path(item) for item in group.items)
    return element


def _titled(identifier: str, title: str) -> ET.Element:
    element = ET.Element("g", id=identifier)
    ET.SubElement(element, "title").text = _plain(title)
    return element


def _picture(picture: Picture) -> ET.Element:
    rect = picture.rect
    measures = {"x": rect.x0, "y": rect.y0, "width": rect.width, "height": rect.height}
    data = base64.b64encode(picture.png).decode("ascii")
    attributes = {name: number(value) for name, value in measures.items()}
    attributes |= {"preserveAspectRatio": "none", "xlink:href": f"data:image/png;base64,{data}"}
    return ET.Element("image", attributes)


def _path(painted: Painted) -> ET.Element:
    return ET.Element("path", dict(_attributes(painted)))


def _attributes(painted: Painted) -> Iterator[tuple[str, str]]:
    if painted.char is not None:
        yield "data-char", _plain(painted.char)
    yield "fill", painted.fill.hex if painted.fill else "none"
    if painted.stroke and painted.stroke_mm > 0:
        yield "stroke", painted.stroke.hex
        yield "stroke-width", number(painted.stroke_mm)
        yield "stroke-linejoin", "round"
        if painted.stroke_dash_mm:
            yield "stroke-linecap", "round"
            yield "stroke-dasharray", " ".join(map(number, painted.stroke_dash_mm))
    yield "d", path_data(painted.path)


def _subpath(contour: Contour) -> str:
    pieces, straight = contour.pieces, contour.straight
    steps = [f"M{_numbers(pieces[0, 0].tolist())}"]
    for piece, flat in zip(pieces, straight, strict=True):
        letter, points = ("L", piece[3:]) if flat else ("C", piece[1:])
        steps.append(letter + _numbers(points.ravel().tolist()))
    if straight[-1]:
        steps.pop()  # Z draws the last side
    return "".join(steps) + "Z"


def _numbers(values: list[float]) -> str:
    return " ".join(map(number, values))


def _plain(text: str) -> str:
    return _NO_XML.sub("", text)
