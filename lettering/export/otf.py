"""A hand as an OpenType typeface: late corrections can be set in it wherever type is set."""

import io
import math
import re
from dataclasses import replace

from fontTools.otlLib.maxContextCalc import maxCtxFont
from fontTools.ttLib import TTFont
from ufo2ft import compileOTF
from ufo2ft.featureWriters import GdefFeatureWriter, KernFeatureWriter, MarkFeatureWriter
from ufoLib2 import Font

from lettering.errors import HandError
from lettering.export.accents import add_accents
from lettering.export.joined import with_joined
from lettering.export.turns import substitutions
from lettering.hand.alternation import MOST_TURNS
from lettering.hand.font import font_of
from lettering.hand.font_facts import SPACE
from lettering.hand.hand import Hand

EDITABLE_EMBEDDING = [3]
"""fsType bit 3 (OpenType OS/2): documents may carry the typeface and be edited."""
USE_TYPO_METRICS = [7]
"""fsSelection bit 7 (OpenType OS/2): rows are spaced by the typographic measures on every system."""
SPECIALISED = 1
"""Shorter drawing commands but no shared subroutines, which would need the file to be packed twice."""
_EPOCH = "1980/01/01 00:00:00"
"""The same hand gives the same bytes, so the file carries no clock."""


def compile_otf(hand: Hand) -> bytes:
    """Return the hand as an OpenType typeface with CFF outlines, kerning and takes that take turns.

    Coordinates are rounded to whole font units. Raises HandError when the hand has no letter.
    """
    if not hand.takes:
        raise HandError(f"the hand {hand.name} holds no letter to make a typeface of.")
    turning = {char: takes[:MOST_TURNS] for char, takes in hand.takes.items()}
    font = font_of(replace(hand, takes=turning))
    _inform(font, hand)
    turns = with_joined(font, hand)
    add_accents(font, hand)
    font[SPACE].unicodes = [0x20, 0xA0]
    compiled = compileOTF(
        font,
        removeOverlaps=False,
        useProductionNames=False,
        optimizeCFF=SPECIALISED,
        featureWriters=[KernFeatureWriter, MarkFeatureWriter, GdefFeatureWriter],
    )
    # CFF keeps its own copy of the names, in Latin-1 (Adobe Technical Note 5176); `name` has the true ones.
    top = compiled["CFF "].cff.topDictIndex[0]
    top.FamilyName, top.FullName = _plain(hand.name), f"{_plain(hand.name)} Regular"
    compiled["head"].modified = compiled["head"].created
    compiled.recalcTimestamp = False
    if turns.turning or turns.pairs or turns.words:
        compiled["GSUB"] = substitutions(turns, compiled.getReverseGlyphMap())
        compiled["OS/2"].usMaxContext = maxCtxFont(compiled)
    file = io.BytesIO()
    compiled.save(file)
    return file.getvalue()


def compile_woff2(hand: Hand) -> bytes:
    """Return the typeface packed for web pages (W3C WOFF 2.0)."""
    typeface = TTFont(io.BytesIO(compile_otf(hand)), recalcTimestamp=False)
    typeface.flavor = "woff2"
    file = io.BytesIO()
    typeface.save(file)
    return file.getvalue()


def _inform(font: Font, hand: Hand) -> None:
    """Add what a typeface needs beyond the UFO of a hand: names, permission, vertical measures."""
    info, measured = font.info, hand.metrics
    info.postscriptFontName = f"{_plain(hand.name)}-Regular"
    info.versionMajor, info.versionMinor = 1, 0
    info.openTypeHeadCreated = _EPOCH
    info.openTypeOS2Type = EDITABLE_EMBEDDING
    info.openTypeOS2Selection = USE_TYPO_METRICS
    info.italicAngle = 0 if abs(info.italicAngle or 0) < 1 else info.italicAngle
    boxes = [take.outline.bounds for takes in hand.takes.values() for take in takes if take.outline.contours]
    highest = math.ceil(max([measured.ascender, *(box.y1 for box in boxes)]))
    lowest = math.floor(min([measured.descender, *(box.y0 for box in boxes)]))
    gap = max(round(measured.row_pitch) - (highest - lowest), 0)
    info.openTypeOS2TypoAscender = info.openTypeHheaAscender = info.openTypeOS2WinAscent = highest
    info.openTypeOS2TypoDescender = info.openTypeHheaDescender = lowest
    info.openTypeOS2WinDescent = -lowest
    info.openTypeOS2TypoLineGap = info.openTypeHheaLineGap = gap


def _plain(name: str) -> str:
    """Return a name of the letters that PostScript names allow."""
    return re.sub(r"[^A-Za-z0-9]", "", name)[:40] or "Hand"
