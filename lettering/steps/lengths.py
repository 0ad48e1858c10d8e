"""Lengths as people type them on the command line."""

import re

from lettering.errors import LetteringError
from lettering.units import parse_length_mm


def length_mm(text: str, option: str) -> float:
    """Return a positive length in mm; raises LetteringError naming the option when it is none."""
    try:
        length = parse_length_mm(text)
    except ValueError as error:
        raise LetteringError(f"{error}.", option, "Write it like 6mm, 0.6cm, 0.25in or 17pt.") from None
    if length <= 0:
        raise LetteringError(f"'{text}' is not more than nothing.", option)
    return length


_SIDES = re.compile(r"(?P<width>[\d.]+)\s*(?:x|×)\s*(?P<height>[\d.]+)\s*(?P<unit>[a-z]*)", re.IGNORECASE)
LONGEST_MM = 2_000.0
"""Longest side of a page or a sheet of paper."""


def size_mm(text: str, option: str) -> tuple[float, float]:
    """Return width and height in mm of '250x250mm'; raises LetteringError naming the option."""
    match = _SIDES.fullmatch(text.strip())
    if match is None:
        raise LetteringError(f"'{text}' is no size.", option, "Write it like 250x250mm or 10x8in.")
    width, height = (length_mm(f"{match[side]} {match['unit']}", option) for side in ("width", "height"))
    if max(width, height) > LONGEST_MM:
        raise LetteringError(f"'{text}' is longer than {LONGEST_MM:g} mm.", option)
    return width, height
