"""A hand on disk: a UFO 3 folder that any font editor opens, with what only this project knows in `lib`.

Coordinates are written to a tenth of a font unit (see `hand.grid`). The same hand gives the same bytes.
"""

import tempfile
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from fontTools.ufoLib import UFOReader, UFOWriter
from fontTools.ufoLib.filenames import userNameToFileName

from lettering.errors import HandError
from lettering.geometry.outline import Outline
from lettering.geometry.rect import Rect
from lettering.hand.edges import Edges
from lettering.hand.font_facts import (
    NOTDEF,
    SPACE,
    font_info,
    frame,
    glyph_order,
    group_kerning,
    kerning_groups,
)
from lettering.hand.grid import on_grid
from lettering.hand.hand import GatheredPage, Hand, Metrics, Word
from lettering.hand.take import Source, Take
from lettering.storage.as_drawn_fields import as_drawn_facts
from lettering.storage.atomic import replacing_folder
from lettering.storage.ufo_bounds import check_folder
from lettering.storage.ufo_glif import UPRIGHT, Glif, glif_text
from lettering.storage.ufo_hand import HAND_KEY, TAKE_KEY, WORDS_KEY, hand_in

CREATOR = "org.lettering-hand"
SKIP_KEY = "public.skipExportGlyphs"
ORDER_KEY = "public.glyphOrder"


def write_hand(hand: Hand, path: Path) -> None:
    """Write `hand` as a UFO 3 folder at `path`, in place of one that is there.

    Raises OutputError when the disk refuses; what was there is then untouched.
    """
    with replacing_folder(path) as folder:
        for name, data in _written(hand, folder).items():
            (folder / name).parent.mkdir(exist_ok=True)
            (folder / name).write_bytes(data)


def hand_files(hand: Hand) -> dict[str, bytes]:
    """Return the files of `hand` as a UFO 3 folder, by their paths in it."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "hand.ufo"
        folder.mkdir()
        files = _written(hand, folder)
        lists = (path for path in folder.rglob("*") if path.is_file())
        return {path.relative_to(folder).as_posix(): path.read_bytes() for path in lists} | files


def _written(hand: Hand, folder: Path) -> dict[str, bytes]:
    """Write all that lists the glyphs of a hand into an empty folder; return the files of the glyphs."""
    folder.rmdir()  # the writer takes a folder that exists for a UFO to be changed
    with UFOWriter(folder, fileCreator=CREATOR, validate=True) as writer:
        writer.writeInfo(SimpleNamespace(**font_info(hand)))
        writer.writeGroups(kerning_groups(hand))
        writer.writeKerning(group_kerning(hand))
        writer.writeLib(
            {ORDER_KEY: glyph_order(hand), HAND_KEY: _hand_facts(hand), WORDS_KEY: _word_facts(hand)}
            | _unused(hand)
        )
        glyphs = writer.getGlyphSet()
        named, files = _glyph_files(hand)
        glyphs.contents |= named
        glyphs.writeContents()
        writer.writeLayerContents(["public.default"])
    return files


def read_hand(path: Path) -> Hand:
    """Return the hand in the UFO folder at `path`; raises HandError when it is none, damaged or too large."""
    check_folder(path)
    try:
        with UFOReader(path, validate=True) as reader:
            return hand_in(reader, path)
    except HandError:
        raise
    except Exception as error:
        # The reader raises whatever its parsers raise; all of it means that the file is damaged.
        hint = "Gather it again, or take it from a copy."
        raise HandError(f"this UFO is damaged ({error}).", str(path), hint) from error


def _glyph_files(hand: Hand) -> tuple[dict[str, str], dict[str, bytes]]:
    """Return file names by glyph, and all glyphs' files and pictures by their paths."""
    named: dict[str, str] = {}
    files: dict[str, bytes] = {}
    taken: set[str] = set()
    for glyph, picture in _glyphs(hand):
        file = named[glyph.name] = userNameToFileName(glyph.name, existing=taken, suffix=".glif")
        taken.add(file.lower())
        files[f"glyphs/{file}"] = glif_text(glyph).encode("utf-8")
        if glyph.picture and picture:
            files[f"images/{glyph.picture}"] = picture
    return named, files


def _glyphs(hand: Hand) -> Iterator[tuple[Glif, bytes | None]]:
    """Yield every glyph with its picture."""
    outline, width = frame(hand)
    space = on_grid(hand.metrics.word_space)
    yield Glif(name=NOTDEF, width=width, outline=outline), None
    yield Glif(name=SPACE, width=space, outline=Outline(()), codes=(ord(" "),)), None
    pictures: set[str] = set()
    used = [take for takes in hand.takes.values() for take in takes]
    usual = {takes[0].name for takes in hand.takes.values()}
    every = [*used, *(take for takes in hand.aside.values() for take in takes)]
    boxes = Edges.of([take.outline for take in every]).rects()
    for take, box in zip(every, boxes, strict=True):
        yield _glyph(take, box, usual=take.name in usual, pictures=pictures), take.picture


def _glyph(take: Take, box: Rect, *, usual: bool, pictures: set[str]) -> Glif:
    """Return the take as a glyph; `pictures` has the names that are taken, in lower case."""
    picture = None
    if take.picture:
        picture = userNameToFileName(take.name, existing=pictures, suffix=".png")
        pictures.add(picture.lower())
    return Glif(
        name=take.name,
        width=on_grid(take.advance),
        outline=take.outline,
        codes=(ord(take.char),) if usual and len(take.char) == 1 else (),
        picture=picture,
        place=_placed(take, box) if picture else UPRIGHT,
        lib={TAKE_KEY: _take_facts(take)},
    )


def _unused(hand: Hand) -> dict[str, list[str]]:
    """Return what tells compilers to leave out the drawings that were set aside (a public key of UFO 3)."""
    names = [take.name for takes in hand.aside.values() for take in takes]
    return {SKIP_KEY: names} if names else {}


def _hand_facts(hand: Hand) -> dict[str, Any]:
    facts: dict[str, Any] = {field.name: getattr(hand.metrics, field.name) for field in fields(Metrics)}
    if hand.pages:
        facts["pages"] = [[_page_facts(page) for page in batch] for batch in hand.pages]
    return facts if hand.mm_per_unit is None else facts | {"mm_per_unit": hand.mm_per_unit}


def _page_facts(page: GatheredPage) -> dict[str, Any]:
    return {"name": page.name} | ({} if page.mm_per_unit is None else {"mm_per_unit": page.mm_per_unit})


def _word_facts(hand: Hand) -> dict[str, list[dict[str, Any]]]:
    """Return the whole words by text; every word on its own, so that a new page changes few lines."""
    return {text: [_word_plain(word) for word in words] for text, words in hand.words.items()}


def _word_plain(word: Word) -> dict[str, Any]:
    facts = {field.name: _plain(getattr(word, field.name)) for field in fields(Word)}
    return {name: value for name, value in facts.items() if value is not False}


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def _take_facts(take: Take) -> dict[str, Any]:
    own = {
        "rise": take.rise,
        "turn": take.turn,
        "aside": take.aside,
        "doubtful": int(take.doubtful),
        "called_back": int(take.called_back),
    }
    facts: dict[str, Any] = {"char": take.char} | {name: value for name, value in own.items() if value}
    if take.as_drawn is not None:
        facts["as_drawn"] = as_drawn_facts(take.as_drawn)
    if take.source is None:
        return facts
    source, box = take.source, take.source.box
    known = {field.name: getattr(source, field.name) for field in fields(Source) if field.name != "box"}
    facts |= {name: value for name, value in known.items() if value is not None}
    # Whole px are written as such, whether they were measured just now or read from a file.
    edges = (box.x0, box.y0, box.x1, box.y1)
    return facts | {"box": [int(edge) if edge == int(edge) else edge for edge in edges]}


def _placed(take: Take, bounds: Rect) -> tuple[float, ...]:
    """Return where the crop lies: its middle on the outline's middle, at the page's scale."""
    source: Source | None = take.source
    if source is None or not take.outline.contours or not source.box.width:
        return UPRIGHT
    middle, scale = bounds.centre, source.units_per_px or bounds.width / source.box.width
    left, low = middle.x - source.box.width * scale / 2, middle.y - source.box.height * scale / 2
    return (round(scale, 4), 0, 0, round(scale, 4), round(left, 1), round(low, 1))
