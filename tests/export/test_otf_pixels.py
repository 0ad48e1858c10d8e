"""The typeface and our own setting look the same: the pixels of the one against those of the other.

The typeface is shaped by HarfBuzz and drawn by FreeType; our setting goes through the SVG export and is drawn
by resvg. Neither renderer knows of the other.
"""

import ctypes
import io
from dataclasses import replace

import freetype
import numpy as np
import pytest
import resvg_py
import uharfbuzz as hb
from numpy.typing import NDArray
from PIL import Image

from lettering.drawing import Drawing, Group, Layer, Painted
from lettering.export.svg import svg
from lettering.geometry.point import Vector
from lettering.geometry.rect import Rect
from lettering.setting.letters import set_pieces
from lettering.setting.opportunities import pieces
from lettering.setting.row import set_row
from lettering.units import MM_PER_INCH
from tests.export.test_otf import lively, lively_otf

SENTENCES = ("toad sat down under a leaf", "nobody heard the moon come", "jelly too soon balloon room")
MM_PER_UNIT, PIXELS_PER_MM = 0.01, 10
PIXELS_PER_UNIT = MM_PER_UNIT * PIXELS_PER_MM
"""An x is some 50 pixels tall: half a font unit, to which advances are rounded, is a twentieth of a pixel."""
PAPER = Rect(0.0, 0.0, 160.0, 24.0)
START = Vector(4.0, 14.0)
"""Where the ink of the first letter begins and the baseline lies, mm."""
MOST_APART = 0.08
"""Most of the ink, as a share of it, that the two may have in different places: a whole pixel to the side
makes a quarter, and a typeface's outlines and advances are whole units, which add up along a row to a third
of a pixel (0.03 mm on lettering of 5 mm)."""

Ink = NDArray[np.float64]
"""How black every pixel is, 0 to 1; shape (rows, columns)."""


def our_setting(text: str) -> Ink:
    """Return a row in our own setting, through the SVG export, as resvg draws it."""
    # A typeface cannot swing about its baseline as a hand does.
    hand = replace(lively(), metrics=replace(lively().metrics, baseline_drift=0.0))
    parts = set_pieces(pieces(text), [False] * len(text), hand, voice="plain", mm_per_unit=MM_PER_UNIT)
    row = set_row(parts, hand.metrics.word_space * MM_PER_UNIT).at(START.y)
    step = Vector(START.x - row.glyphs[0].ink.x0, 0.0)
    letters = tuple(Painted(path=glyph.path.moved(step), char=glyph.char) for glyph in row.glyphs)
    drawing = Drawing(
        title="A row",
        description="One row of lettering.",
        language="en",
        trim=PAPER,
        bleed_mm=0.0,
        layers=(
            Layer(id="lettering", title="Lettering", groups=(Group(id="row-1", title=text, items=letters),)),
        ),
    )
    png = resvg_py.svg_to_bytes(svg_string=svg(drawing), dpi=PIXELS_PER_MM * MM_PER_INCH)
    image = Image.open(io.BytesIO(bytes(png))).convert("RGBA")
    rows, columns = round(PAPER.height * PIXELS_PER_MM), round(PAPER.width * PIXELS_PER_MM)
    return np.asarray(image, dtype=np.float64)[:rows, :columns, 3] / 255


def typeset(text: str, **features: bool) -> Ink:
    """Return a row in the compiled typeface, shaped by HarfBuzz, as FreeType draws it without hinting."""
    face = freetype.Face(io.BytesIO(lively_otf()))
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(hb.Font(hb.Face(lively_otf())), buffer, features)
    ink = np.zeros((round(PAPER.height * PIXELS_PER_MM), round(PAPER.width * PIXELS_PER_MM)))
    pen = None
    for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        face.load_glyph(info.codepoint, freetype.FT_LOAD_NO_SCALE | freetype.FT_LOAD_NO_BITMAP)
        if pen is None:
            pen = START.x / MM_PER_UNIT - face.glyph.outline.get_bbox().xMin
        ink = np.maximum(ink, drawn(face, pen + position.x_offset, ink.shape))
        pen += position.x_advance
    return ink


def drawn(face: freetype.Face, x: float, shape: tuple[int, int]) -> Ink:
    """Return the glyph that is loaded, in font units, with its origin `x` units from the left."""
    rows, columns = shape
    outline = face.glyph._FT_GlyphSlot.contents.outline
    scale = round(PIXELS_PER_UNIT * 64 * 0x10000)
    matrix = freetype.FT_Matrix(scale, 0, 0, scale)
    freetype.FT_Outline_Transform(ctypes.byref(outline), ctypes.byref(matrix))
    up = rows - START.y * PIXELS_PER_MM
    freetype.FT_Outline_Translate(
        ctypes.byref(outline), round(x * PIXELS_PER_UNIT * 64), round(up * 64)
    )  # fmt: skip
    grey = np.zeros(shape, dtype=np.uint8)
    bitmap = freetype.FT_Bitmap(
        rows=rows, width=columns, pitch=columns, num_grays=256, pixel_mode=freetype.FT_PIXEL_MODE_GRAY,
        buffer=grey.ctypes.data_as(ctypes.POINTER(ctypes.c_ubyte)),
    )  # fmt: skip
    failed = freetype.FT_Outline_Get_Bitmap(
        freetype.get_handle(), ctypes.byref(outline), ctypes.byref(bitmap)
    )
    assert not failed
    return grey / 255


def apart(first: Ink, second: Ink) -> float:
    """Return how much ink lies in one picture and not in the other, as a share of the first's."""
    return float(np.abs(first - second).sum() / first.sum())


@pytest.mark.parametrize("text", SENTENCES)
def test_the_typeface_looks_like_our_own_setting(text: str) -> None:
    """Pixel by pixel the same ink is in the same place, but for a few hundredths of it along the edges."""
    assert apart(our_setting(text), typeset(text)) < MOST_APART


@pytest.mark.parametrize("feature", ["calt", "kern", "liga"])
def test_without_one_of_its_features_the_typeface_looks_different(feature: str) -> None:
    """The comparison is keen: with turns, kerning or pairs off, twice as much ink lies elsewhere."""
    text = SENTENCES[-1]
    assert apart(our_setting(text), typeset(text, **{feature: False})) > 2 * MOST_APART
