"""A hand made of an open typeface, so that every room can be tried on real letters with known advances."""

from functools import cache
from pathlib import Path

import numpy as np
import uharfbuzz as hb
from fontTools.pens.basePen import BasePen
from fontTools.ttLib import TTFont

from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.hand.hand import Hand, Metrics
from lettering.hand.take import Take
from lettering.units import UNITS_PER_EM

TYPEFACES = Path(__file__).parent / "typefaces"

ALPHABET = (
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
    ".,!?'\"’‘“”–—…:;-()&/«»‹›„‚¿¡áàâäãåæçéèêëíìîïñóòôöõøœúùûüýÿßÄÅÆÇÉÈÊËÍÎÑÓÔÖØŒÚÜąćęłńśźżĄĆĘŁŃŚŹŻ"
)
"""The characters a hand takes from a typeface, where the typeface has them."""


@cache
def typeface_hand(name: str) -> Hand:
    """Return the hand of the typeface in tests/typefaces/<name>: one take a character, its own kerning."""
    file = next((TYPEFACES / name).glob("*.ttf"))
    font = TTFont(file)
    scale = UNITS_PER_EM / font["head"].unitsPerEm
    takes = {char: (take,) for char in ALPHABET if (take := _take(font, char, scale))}
    return Hand(
        name=name,
        metrics=_metrics(font, takes, scale),
        takes=takes,
        kerning=_kerning(file, takes, scale),
        mm_per_unit=4.0 / takes["x"][0].outline.bounds.y1,
    )


def _take(font: TTFont, char: str, scale: float) -> Take | None:
    """Return the typeface's glyph of `char` as a take; none when it has none, or one without ink."""
    glyph = font.getBestCmap().get(ord(char))
    if glyph is None:
        return None
    pen = _ContourPen(font.getGlyphSet(), scale)
    font.getGlyphSet()[glyph].draw(pen)
    if not pen.contours:
        return None
    advance = font["hmtx"][glyph][0] * scale
    return Take(name=glyph, char=char, outline=Outline(tuple(pen.contours)), advance=advance)


class _ContourPen(BasePen):
    """Collects closed cubic outlines, turned from TrueType's direction to that of CFF and UFO."""

    def __init__(self, glyphs: object, scale: float) -> None:
        super().__init__(glyphs)
        self.scale = scale
        self.contours: list[Contour] = []
        self.pieces: list[np.ndarray] = []

    def _moveTo(self, pt: tuple[float, float]) -> None:  # noqa: N802 - the pen protocol names it
        self.pieces = []
        self.start = pt

    def _lineTo(self, pt: tuple[float, float]) -> None:  # noqa: N802 - the pen protocol names it
        start, end = np.array(self._getCurrentPoint()), np.array(pt)
        if not np.array_equal(start, end):
            self.pieces.append(np.stack([start, start + (end - start) / 3, start + (end - start) * 2 / 3]))

    def _curveToOne(  # noqa: N802 - the pen protocol names it
        self, pt1: tuple[float, float], pt2: tuple[float, float], pt3: tuple[float, float]
    ) -> None:
        self.pieces.append(np.array([self._getCurrentPoint(), pt1, pt2], dtype=float))

    def _closePath(self) -> None:  # noqa: N802 - the pen protocol names it
        self._lineTo(self.start)
        if self.pieces:
            self.contours.append(Contour(np.stack(self.pieces) * self.scale).reversed())


def _metrics(font: TTFont, takes: dict[str, tuple[Take, ...]], scale: float) -> Metrics:
    """Return measures of the hand, from flat letters and from the typeface's own row distance."""
    tops = {char: takes[char][0].outline.bounds for char in "xHdpl"}
    bar = takes["l"][0].outline
    row = font["hhea"].ascent - font["hhea"].descent + font["hhea"].lineGap
    return Metrics(
        x_height=tops["x"].y1,
        cap_height=tops["H"].y1,
        ascender=tops["d"].y1,
        descender=tops["p"].y0,
        stem=sum(contour.area for contour in bar.contours) / bar.bounds.height,
        word_space=font["hmtx"][font.getBestCmap()[0x20]][0] * scale,
        row_pitch=row * scale,
        baseline_drift=0.02 * tops["x"].y1,
    )


def _kerning(file: Path, takes: dict[str, tuple[Take, ...]], scale: float) -> dict[tuple[str, str], float]:
    """Return what HarfBuzz adds between each pair of letters, font units."""
    shaper = hb.Font(hb.Face(hb.Blob.from_file_path(str(file))))
    pairs = {(a, b): _kern(shaper, a + b) - takes[a][0].advance / scale for a in takes for b in takes}
    return {pair: by * scale for pair, by in pairs.items() if abs(by) > 0.5}


def _kern(shaper: hb.Font, pair: str) -> float:
    buffer = hb.Buffer()
    buffer.add_str(pair)
    buffer.guess_segment_properties()
    hb.shape(shaper, buffer, {"liga": False, "calt": False, "clig": False, "kern": True})
    return float(buffer.glyph_positions[0].x_advance)
