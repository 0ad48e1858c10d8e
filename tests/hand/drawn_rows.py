"""Rows of letters as tracing would hand them over, set in an open typeface with its designer's spacing."""

import io
from collections.abc import Sequence
from functools import cache

import numpy as np
from PIL import Image

from lettering.geometry.affine import Affine
from lettering.geometry.rect import Rect
from lettering.hand.gathered import Gathering, gathering
from lettering.hand.take import Drawn, Source
from tests.typeface_hand import typeface_hand

X_HEIGHT = 500.0
UNITS_PER_PX = 5.0
ROW_PITCH_PX = 300.0
WORDS = (
    "the old toad sat under a leaf",
    "and waited for the rain to stop",
    "because his cello was still out",
    "in the compost with a quick grey fox",
)


def drawn_rows(
    face: str, rows: Sequence[str] = WORDS, *, page: str = "page.png", stray: float = 3.0, seed: int = 1
) -> list[Drawn]:
    """Return `rows` set with HarfBuzz's kerned advances, each letter strayed by `stray` font units (sd)."""
    rng = np.random.default_rng(seed)
    return [
        _letter(char, by, face, page, (row, place), rng.normal(0, stray, 2))
        for row, text in enumerate(rows)
        for place, (char, by) in enumerate(zip(text, pens(face, text), strict=True))
        if char != " "
    ]


@cache
def gathered(face: str) -> Gathering:
    """Return what the words give as a hand."""
    return gathering(drawn_rows(face), name="hers", mm_per_unit=0.008)


def pens(face: str, text: str) -> list[float]:
    """Return where each character begins, font units at the tests' x-height."""
    hand = typeface_hand(face)
    pen, starts, before = 0.0, [], ""
    for char in text:
        pen += hand.kerning.get((before, char), 0.0)
        starts.append(pen * scale(face))
        pen += hand.metrics.word_space if char == " " else hand.takes[char][0].advance
        before = char
    return starts


def scale(face: str) -> float:
    """Return the factor from a typeface's font units to those of the tests."""
    return X_HEIGHT / typeface_hand(face).metrics.x_height


def _letter(char: str, start: float, face: str, page: str, where: tuple[int, int], off: np.ndarray) -> Drawn:
    k = scale(face)
    placed = Affine(a=k, d=k, e=start + float(off[0]), f=float(off[1]))
    outline = typeface_hand(face).takes[char][0].outline.transformed(placed)
    box = outline.bounds
    row, place = where
    baseline = 400 + row * ROW_PITCH_PX
    crop = Rect(
        100 + box.x0 / UNITS_PER_PX - 2,
        baseline - box.y1 / UNITS_PER_PX - 2,
        100 + box.x1 / UNITS_PER_PX + 2,
        baseline - box.y0 / UNITS_PER_PX + 2,
    )
    source = Source(page=page, row=row, place=place, box=crop, confidence=0.9)
    return Drawn(char=char, outline=outline, row=row, place=place, source=source, picture=picture())


def picture() -> bytes:
    """Return a small grey PNG."""
    file = io.BytesIO()
    Image.new("L", (8, 8), 200).save(file, "PNG")
    return file.getvalue()
