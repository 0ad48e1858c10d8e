"""From an open UFO to a hand: glyphs to takes, groups and pairs to kerning, `lib` to the rest."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

import numpy as np
from fontTools.pens.basePen import BasePen
from fontTools.ufoLib import UFOReader
from fontTools.ufoLib.glifLib import GlyphSet

from lettering.errors import HandError
from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.geometry.rect import Rect
from lettering.hand.grid import thirds
from lettering.hand.hand import GatheredPage, Hand, Metrics, Word
from lettering.hand.names import named_char, take_number
from lettering.hand.take import Source, Take
from lettering.storage.as_drawn_fields import as_drawn_in
from lettering.storage.ufo_glif import Glif, read_glif
from lettering.units import UNITS_PER_EM

HAND_KEY = "org.lettering-hand.hand"
"""Key in the font's `lib`: measures that UFO has no place for, and the size on paper."""
WORDS_KEY = "org.lettering-hand.words"
"""Key in the font's `lib`: words kept whole, by text."""
TAKE_KEY = "org.lettering-hand.take"
"""Key in a glyph's `lib`: where the take was drawn."""
PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
"""How every PNG begins (ISO/IEC 15948)."""
MOST_PAIRS = 1_000_000
"""Kerned pairs after groups are written out: all pairs of a thousand characters."""


def hand_in(reader: UFOReader, path: Path) -> Hand:
    """Return the hand in an open UFO; raises HandError, or what the reader raises for a damaged file."""
    glyphs = _glyphs(reader, path)
    every = _takes(glyphs, path)
    takes = {char: used for char, group in every.items() if (used := tuple(t for t in group if not t.aside))}
    aside = {char: odd for char, group in every.items() if (odd := tuple(t for t in group if t.aside))}
    if not takes:
        raise HandError("this UFO holds no letter.", str(path))
    lib = reader.readLib()
    facts = dict(lib.get(HAND_KEY, {}))
    info = _Info()
    reader.readInfo(info)
    if info.unitsPerEm != UNITS_PER_EM:
        raise HandError(f"has {info.unitsPerEm} units in the em; a hand has {UNITS_PER_EM}.", str(path))
    size = facts.pop("mm_per_unit", None)
    return Hand(
        name=info.familyName or path.stem,
        metrics=_metrics(info, facts, glyphs),
        takes=takes,
        kerning=_kerning(reader, takes, path),
        words={text: tuple(map(_word, words)) for text, words in dict(lib.get(WORDS_KEY, {})).items()},
        aside=aside,
        mm_per_unit=None if size is None else float(size),
        pages=tuple(tuple(map(_page, batch)) for batch in facts.get("pages", ())),
    )


def _page(facts: Mapping[str, Any]) -> GatheredPage:
    size = facts.get("mm_per_unit")
    return GatheredPage(str(facts["name"]), None if size is None else float(size))


def _word(facts: Mapping[str, Any]) -> Word:
    return Word(
        takes=tuple(map(str, facts["takes"])),
        starts=tuple(map(float, facts["starts"])),
        page=str(facts["page"]),
        row=int(facts["row"]),
        place=int(facts["place"]),
        joined=bool(facts.get("joined", False)),
    )


@dataclass
class _Info:
    """What is asked of fontinfo.plist, under the names it has there."""

    familyName: str | None = None  # noqa: N815 - UFO 3 names it
    unitsPerEm: float | None = None  # noqa: N815 - UFO 3 names it
    xHeight: float | None = None  # noqa: N815 - UFO 3 names it
    capHeight: float | None = None  # noqa: N815 - UFO 3 names it
    ascender: float | None = None
    descender: float | None = None


def _glyphs(reader: UFOReader, path: Path) -> dict[str, Glif]:
    glyph_set: GlyphSet = reader.getGlyphSet()
    for name, file in glyph_set.contents.items():
        if Path(file).name != file:
            raise HandError(f"glyph '{name}' lies outside its folder.", str(path))
    return {name: _glyph(name, glyph_set, path) for name in glyph_set.contents}


def _glyph(name: str, glyph_set: GlyphSet, path: Path) -> Glif:
    """Return a glyph, by way of fontTools when its file holds more than a hand's own files do."""
    # The default layer lies in `glyphs` (UFO 3); fontTools would look the folder up for every glyph.
    if usual := read_glif((path / "glyphs" / glyph_set.contents[name]).read_bytes()):
        return usual
    from ufoLib2.objects import Glyph  # noqa: PLC0415  most hands are read without it, in less than its loading

    glyph = Glyph(name)
    glyph_set.readGlyph(name, glyph, glyph.getPointPen())
    if glyph.components:
        hint = "Turn its components into outlines in the font editor."
        raise HandError(f"glyph '{name}' is made of other glyphs.", str(path), hint)
    pen = _ContourPen()
    glyph.draw(pen)
    return Glif(
        name=name,
        width=float(glyph.width),
        outline=Outline(tuple(pen.contours)),
        codes=tuple(glyph.unicodes),
        picture=glyph.image.fileName,
        lib=glyph.lib,
    )


def _takes(glyphs: Mapping[str, Glif], path: Path) -> dict[str, tuple[Take, ...]]:
    """Return takes by character, in the order of the alphabet of code points and of their numbers."""
    found: dict[str, list[Take]] = defaultdict(list)
    for name, glyph in glyphs.items():
        char = _char(name, glyphs)
        if char and not char.isspace():
            found[char].append(_take(glyph, char, path))
    return {char: tuple(sorted(found[char], key=lambda t: take_number(t.name))) for char in sorted(found)}


def _char(name: str, glyphs: Mapping[str, Glif]) -> str:
    """Return what a glyph draws: as the hand says, else by code point, else by name; may be nothing."""
    facts = glyphs[name].lib.get(TAKE_KEY, {})
    if char := str(facts.get("char", "")):
        return char
    if glyphs[name].codes:
        return chr(glyphs[name].codes[0])
    base, _, suffix = name.partition(".")
    if not base or not suffix.startswith("take"):
        return ""
    return _char(base, glyphs) if base in glyphs else named_char(base)


def _take(glyph: Glif, char: str, path: Path) -> Take:
    facts = dict(glyph.lib.get(TAKE_KEY, {}))
    return Take(
        name=glyph.name,
        char=char,
        outline=glyph.outline,
        advance=glyph.width,
        source=_source(facts),
        picture=_picture(glyph.picture, path) if glyph.picture else None,
        rise=float(facts.get("rise", 0.0)),
        turn=float(facts.get("turn", 0.0)),
        aside=str(facts["aside"]) if "aside" in facts else None,
        doubtful=bool(facts.get("doubtful", False)),
        called_back=bool(facts.get("called_back", False)),
        as_drawn=as_drawn_in(facts["as_drawn"]) if "as_drawn" in facts else None,
    )


def _picture(name: str, path: Path) -> bytes:
    if Path(name).name != name:
        raise HandError(f"picture '{name}' lies outside its folder.", str(path))
    png = (path / "images" / name).read_bytes()
    if not png.startswith(PNG_SIGNATURE):
        raise HandError(f"picture '{name}' is no PNG.", str(path), "Gather its page again.")
    return png


def _source(facts: dict[str, Any]) -> Source | None:
    if "page" not in facts:
        return None
    scale, start = facts.get("units_per_px"), facts.get("start")
    return Source(
        page=str(facts["page"]),
        row=int(facts["row"]),
        place=int(facts["place"]),
        box=Rect(*map(float, facts["box"])),
        confidence=float(facts["confidence"]),
        units_per_px=None if scale is None else float(scale),
        start=None if start is None else float(start),
    )


class _ContourPen(BasePen):  # type: ignore[misc]  # the pens library has no types
    """Collects closed outlines as cubic pieces; an open one is closed, as filling does."""

    def __init__(self) -> None:
        super().__init__(None)
        self.contours: list[Contour] = []
        self._knots: list[np.ndarray[tuple[int, ...], np.dtype[np.float64]]] = []
        self._first = (0.0, 0.0)

    def _moveTo(self, pt: tuple[float, float]) -> None:  # noqa: N802 - the pen protocol names it
        self._knots, self._first = [], pt

    def _lineTo(self, pt: tuple[float, float]) -> None:  # noqa: N802 - the pen protocol names it
        start, end = np.array(self._getCurrentPoint(), dtype=float), np.array(pt, dtype=float)
        if not np.array_equal(start, end):
            self._knots.append(thirds(start, end))

    def _curveToOne(  # noqa: N802 - the pen protocol names it
        self, pt1: tuple[float, float], pt2: tuple[float, float], pt3: tuple[float, float]
    ) -> None:
        self._knots.append(np.array([self._getCurrentPoint(), pt1, pt2], dtype=float))

    def _closePath(self) -> None:  # noqa: N802 - the pen protocol names it
        self._lineTo(self._first)
        if self._knots:
            self.contours.append(Contour(np.stack(self._knots)))

    def _endPath(self) -> None:  # noqa: N802 - the pen protocol names it
        self._closePath()


def _metrics(info: _Info, facts: Mapping[str, Any], glyphs: Mapping[str, Glif]) -> Metrics:
    """Return the measures: what the font says where UFO has a place for it, the rest from `lib`.

    A UFO from elsewhere has no such entry; common proportions stand in (common practice, no source).
    """
    x_height = float(info.xHeight or facts.get("x_height", UNITS_PER_EM / 2))
    ascender = float(info.ascender or x_height * 1.5)
    descender = float(info.descender if info.descender is not None else -x_height / 2)
    space = glyphs.get("space")
    usual = {
        "x_height": x_height,
        "cap_height": float(info.capHeight or x_height * 1.4),
        "ascender": ascender,
        "descender": descender,
        "stem": x_height / 6,
        "row_pitch": (ascender - descender) * 1.2,
    }
    names = {field.name for field in fields(Metrics)}
    own = {name: float(value) for name, value in facts.items() if name in names and name not in _IN_FONT}
    if space is not None:
        own["word_space"] = float(space.width)
    return Metrics(**({"word_space": x_height * 0.6} | usual | own))


_IN_FONT = ("x_height", "cap_height", "ascender", "descender", "word_space")
"""Measures that UFO itself has a place for: a font editor may have changed them there."""


def _kerning(
    reader: UFOReader, takes: Mapping[str, tuple[Take, ...]], path: Path
) -> dict[tuple[str, str], float]:
    """Return kerning by characters; a pair of glyphs overrides a pair of groups, as UFO has it."""
    char_of = {take.name: char for char, group in takes.items() for take in group}
    groups = reader.readGroups()
    pairs: dict[tuple[str, str], float] = {}
    by_width = sorted(reader.readKerning().items(), key=lambda item: _exactness(item[0], groups))
    for (first, second), value in by_width:
        firsts, seconds = set(_chars(first, groups, char_of)), set(_chars(second, groups, char_of))
        if len(pairs) + len(firsts) * len(seconds) > MOST_PAIRS:
            raise HandError(f"kerns more than {MOST_PAIRS} pairs.", str(path))
        pairs |= {(a, b): float(value) for a in firsts for b in seconds}
    return dict(sorted(pairs.items()))


def _exactness(pair: tuple[str, str], groups: Mapping[str, Any]) -> tuple[int, tuple[str, str]]:
    return sum(side not in groups for side in pair), pair


def _chars(side: str, groups: Mapping[str, Any], char_of: Mapping[str, str]) -> Iterator[str]:
    return (char_of[name] for name in groups.get(side, (side,)) if name in char_of)
