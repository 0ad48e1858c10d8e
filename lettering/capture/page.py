"""A picture of paper, and the text that the paper carries."""

import unicodedata
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.errors import ReadingError


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PageImage:
    """A scan or a photo of a lettered page, turned the right way up, as read from the file."""

    name: str
    """The file as the person named it, for messages and for the source of takes."""
    pixels: NDArray[np.uint8] | NDArray[np.uint16]
    """Shape (rows, columns) grey or (rows, columns, 3) colour, sRGB-encoded; y down."""
    ppi: float | None
    """Pixels an inch on the paper, when the file says so."""


@dataclass(frozen=True, slots=True)
class Reading:
    """The text that a lettered page carries, typed, row by row."""

    rows: tuple[str, ...]
    """NFC text without blank rows; spaces part words."""

    @classmethod
    def of_text(cls, text: str, name: str) -> "Reading":
        """Return the reading typed in `text`; raises ReadingError when it has no words."""
        rows = tuple(" ".join(row.split()) for row in unicodedata.normalize("NFC", text).splitlines())
        kept = tuple(row for row in rows if row)
        if not kept:
            raise ReadingError("the reading is empty", name, "Type what the page says, a row for each row.")
        return cls(kept)
