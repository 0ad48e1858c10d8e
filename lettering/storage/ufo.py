"""A hand on disk: a UFO 3 folder that any font editor opens, with what only this project knows in `lib`.

Coordinates are written to a tenth of a font unit (see `hand.grid`). The same hand gives the same bytes.
"""

from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

from fontTools.ufoLib import UFOReader, UFOWriter
from fontTools.ufoLib.filenames import userNameToFileName
from ufoLib2.objects import Image

from lettering.errors import HandError
from lettering.hand.font import font_of
from lettering.hand.hand import Hand, Metrics
from lettering.hand.take import Source, Take
from lettering.storage.atomic import replacing_folder
from lettering.storage.ufo_bounds import check_folder
from lettering.storage.ufo_hand import HAND_KEY, TAKE_KEY, hand_in

CREATOR = "org.lettering-hand"


def write_hand(hand: Hand, path: Path) -> None:
    """Write `hand` as a UFO 3 folder at `path`, in place of one that is there.

    Raises OutputError when the disk refuses; what was there is then untouched.
    """
    font = font_of(hand)
    font.lib[HAND_KEY] = _hand_facts(hand)
    pictures: dict[str, bytes] = {}
    for take in _takes(hand):
        glyph = font[take.name]
        glyph.lib[TAKE_KEY] = _take_facts(take)
        if take.picture:
            name = userNameToFileName(take.name, existing=pictures, suffix=".png")
            pictures[name] = take.picture
            glyph.image = _placed(name, take)
    with replacing_folder(path) as folder:
        folder.rmdir()  # the writer takes a folder that exists for a UFO to be changed
        with UFOWriter(folder, fileCreator=CREATOR, validate=True) as writer:
            font.write(writer)
        if pictures:
            (folder / "images").mkdir()
        for name, png in pictures.items():
            (folder / "images" / name).write_bytes(png)


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


def _takes(hand: Hand) -> Iterator[Take]:
    return (take for takes in hand.takes.values() for take in takes)


def _hand_facts(hand: Hand) -> dict[str, Any]:
    facts: dict[str, Any] = {field.name: getattr(hand.metrics, field.name) for field in fields(Metrics)}
    return facts if hand.mm_per_unit is None else facts | {"mm_per_unit": hand.mm_per_unit}


def _take_facts(take: Take) -> dict[str, Any]:
    facts: dict[str, Any] = {"char": take.char}
    if take.source is None:
        return facts
    source, box = take.source, take.source.box
    known = {field.name: getattr(source, field.name) for field in fields(Source) if field.name != "box"}
    facts |= {name: value for name, value in known.items() if value is not None}
    return facts | {"box": [box.x0, box.y0, box.x1, box.y1]}


def _placed(name: str, take: Take) -> Image:
    """Return the crop laid over the outline: its middle on the outline's middle, at the page's scale."""
    source: Source | None = take.source
    if source is None or not take.outline.contours or not source.box.width:
        return Image(fileName=name)
    middle = take.outline.bounds.centre
    scale = source.units_per_px or take.outline.bounds.width / source.box.width
    left, low = middle.x - source.box.width * scale / 2, middle.y - source.box.height * scale / 2
    return Image(
        fileName=name,
        transformation=(round(scale, 4), 0, 0, round(scale, 4), round(left, 1), round(low, 1)),
    )
