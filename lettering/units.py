"""Millimetres, points, pixels, font units: the only conversions.

Page space is millimetres with y down. Glyph space is font units with y up and the baseline at y = 0.
"""

import math
import re

MM_PER_INCH = 25.4
POINTS_PER_INCH = 72.0
UNITS_PER_EM = 1000
"""Font units in one em of a hand (UFO 3 `unitsPerEm`)."""

_MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "in": MM_PER_INCH, "pt": MM_PER_INCH / POINTS_PER_INCH}
_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+))\s*([a-z]*)\s*", re.IGNORECASE)


def points_to_mm(points: float) -> float:
    """Return millimetres for desktop points of 1/72 inch."""
    return points * MM_PER_INCH / POINTS_PER_INCH


def mm_to_points(mm: float) -> float:
    """Return desktop points of 1/72 inch for millimetres."""
    return mm * POINTS_PER_INCH / MM_PER_INCH


def px_to_mm(px: float, ppi: float) -> float:
    """Return millimetres on paper for pixels at `ppi` pixels an inch."""
    return px * MM_PER_INCH / ppi


def mm_to_px(mm: float, ppi: float) -> float:
    """Return pixels at `ppi` pixels an inch for millimetres on paper."""
    return mm * ppi / MM_PER_INCH


def visual_angle_degrees(size_mm: float, distance_mm: float) -> float:
    """Return the angle in degrees that `size_mm` subtends at `distance_mm`, seen squarely."""
    return math.degrees(2 * math.atan(size_mm / (2 * distance_mm)))


def parse_length_mm(text: str) -> float:
    """Return millimetres for a length such as `250 mm`, `10 in`, `2.5cm` or a bare number.

    Raises ValueError when the text is no length or its unit is not mm, cm, in or pt.
    """
    match = _LENGTH.fullmatch(text)
    if match is None:
        raise ValueError(f"'{text}' is not a length")
    number, unit = match.groups()
    if unit and unit.lower() not in _MM_PER_UNIT:
        raise ValueError(f"'{unit}' is not a unit of length; use mm, cm, in or pt")
    return float(number) * _MM_PER_UNIT[unit.lower() or "mm"]
