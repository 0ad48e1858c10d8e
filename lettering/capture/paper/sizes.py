"""The size of the paper that was lettered."""

import re

from lettering.errors import LetteringError, did_you_mean
from lettering.units import MM_PER_INCH, parse_length_mm

NAMED_MM = {
    "a2": (420.0, 594.0), "a3": (297.0, 420.0), "a4": (210.0, 297.0), "a5": (148.0, 210.0),
    "a6": (105.0, 148.0), "b4": (250.0, 353.0), "b5": (176.0, 250.0),
    "letter": (8.5 * MM_PER_INCH, 11 * MM_PER_INCH), "legal": (8.5 * MM_PER_INCH, 14 * MM_PER_INCH),
    "tabloid": (11 * MM_PER_INCH, 17 * MM_PER_INCH),
}  # fmt: skip
"""Width and height, mm: ISO 216, and ANSI/ASME Y14.1 with US Legal."""
SIDES_MM = (20.0, 1500.0)
"""Shortest and longest side of a page that is believed."""


def paper_mm(text: str) -> tuple[float, float]:
    """Return (shorter, longer) side in mm of 'A4', 'Letter' or '210x148mm'; raises LetteringError."""
    if named := NAMED_MM.get(text.strip().lower()):
        return named
    sides = re.fullmatch(r"\s*([\d.]+)\s*[x×]\s*([\d.]+)\s*(mm|cm|in)?\s*", text, re.IGNORECASE)
    if sides is None:
        hint = did_you_mean(text.strip().lower(), NAMED_MM) or "Write A4, or 210x148mm."
        raise LetteringError(f"no paper is called '{text}'.", "--paper", hint)
    unit = (sides[3] or "mm").lower()
    short, long = sorted(parse_length_mm(side + unit) for side in sides.groups()[:2])
    if not SIDES_MM[0] <= short <= long <= SIDES_MM[1]:
        raise LetteringError(
            f"paper of {text} cannot be.", "--paper", "Sides are from 20 mm to 1500 mm long."
        )
    return short, long
