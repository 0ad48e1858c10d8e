"""The marks of a printed sheet: six discs, and two codes that tell what it asks for.

A sheet carries its own reading in a QR code (ISO/IEC 18004) at its foot, and the first line of it in a small
one at its head.
"""

from dataclasses import dataclass

import numpy as np
import zxingcpp  # type: ignore[import-not-found, unused-ignore]
from numpy.typing import NDArray

from lettering.capture.page import Reading
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect

MARGIN_MM = 11.0
"""From the paper's edge to the middle of a disc; printers leave up to 6 mm blank (common practice)."""
DISC_MM = 2.2
"""Radius of a disc."""
FOOT_CODE_MM, HEAD_CODE_MM = 32.0, 15.0
"""Sides of the codes: at 300 ppi the small dots of the large one are 5 px wide."""
APART_MM = 7.0
"""From a disc's middle to the code beside it: four dots of quiet zone at least (ISO/IEC 18004)."""
QR = zxingcpp.BarcodeFormat.QRCode
KIND = "lettering-sheet 1"
MOST_ROWS, LONGEST = 40, 200
"""Bounds of a reading that is believed: no sheet has more rows, nor longer ones."""


@dataclass(frozen=True, slots=True)
class Marks:
    """Where the marks of a sheet stand, mm from its top left corner, y down."""

    discs: tuple[Point, ...]
    head: Rect
    """The small code."""
    foot: Rect
    """The code with the reading."""

    @classmethod
    def of(cls, size_mm: tuple[float, float]) -> "Marks":
        """Return the marks of a sheet of a width and a height."""
        width, height = size_mm
        xs, ys = (MARGIN_MM, width - MARGIN_MM), (MARGIN_MM, height / 2, height - MARGIN_MM)
        edge = MARGIN_MM - DISC_MM
        left = width - MARGIN_MM - APART_MM - HEAD_CODE_MM
        return cls(
            discs=tuple(Point(x, y) for y in ys for x in xs),
            head=Rect.sized(left, edge, HEAD_CODE_MM, HEAD_CODE_MM),
            foot=Rect.sized(MARGIN_MM + APART_MM, height - edge - FOOT_CODE_MM, FOOT_CODE_MM, FOOT_CODE_MM),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a sheet asked for."""

    size_mm: tuple[float, float]
    """Width and height of the paper."""
    x_height_mm: float
    """Height of its guides."""
    reading: Reading


def code_texts(asked: Asked) -> tuple[str, str]:
    """Return what stands in the code at the head and in that at the foot."""
    width, height = asked.size_mm
    first = f"{KIND} {width:g} {height:g} {asked.x_height_mm:g}"
    return first, "\n".join((first, *asked.reading.rows))


def code_dots(text: str) -> NDArray[np.bool_]:
    """Return the dark dots of the QR code of `text`, shape (n, n), without its quiet zone."""
    code = zxingcpp.create_barcode(text, QR, ec_level="M")
    dark: NDArray[np.bool_] = np.asarray(code.to_image(scale=1, add_quiet_zones=False)) < 128
    return dark


def asked_in(text: str) -> Asked | None:
    """Return what a code says when it is one of ours and can be believed."""
    first, *rows = text.split("\n")
    parts = first.removeprefix(KIND).split()
    if (
        not first.startswith(KIND)
        or len(parts) != 3
        or len(rows) > MOST_ROWS
        or max(map(len, rows), default=0) > LONGEST
    ):
        return None
    try:
        width, height, x_height = map(float, parts)
    except ValueError:
        return None
    believed = 80 <= width <= 1000 and 80 <= height <= 1000 and 1 <= x_height <= 40
    return (
        Asked(size_mm=(width, height), x_height_mm=x_height, reading=Reading(tuple(rows)))
        if believed
        else None
    )
