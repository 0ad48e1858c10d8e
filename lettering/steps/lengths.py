"""Lengths as people type them on the command line."""

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
