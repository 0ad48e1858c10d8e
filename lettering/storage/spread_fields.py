"""One spread of the book file: its pages, its figures and its lines of dialogue."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from lettering.book.book import Spread
from lettering.book.cast import Figure
from lettering.book.line import Line
from lettering.book.page import PageFormat, frame
from lettering.errors import Where, counted, did_you_mean
from lettering.geometry.rect import Rect
from lettering.storage.fields import Problems, Record, rect
from lettering.storage.line_fields import UNSPOKEN, spoken, unspoken
from lettering.storage.yaml_text import Fields, Items, Text, Value

HAIR_MM = 0.01
"""Rounding that typed coordinates may carry; a tenth of the finest line a press holds."""

_PAGES = re.compile(r"([0-9]{1,4})(?:\s*[-–]\s*([0-9]{1,4}))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadSpread:
    """A spread, and where it and its lines stand in the file."""

    spread: Spread
    where: Where
    lines: tuple[Where, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Setting:
    """What a spread's fields are read against."""

    page: PageFormat | None
    cast: tuple[str, ...]
    problems: Problems


def read_spread(
    value: Value, page: PageFormat | None, cast: tuple[str, ...], problems: Problems
) -> ReadSpread | None:
    """Return the spread written in `value`, noting what is wrong; none when it has no usable pages.

    `page` is none when the book's page could not be read: then nothing is measured against it.
    """
    record = Record.of(
        value, "a spread", problems, needs=("pages",), allows=("art", "figures", "keep_clear", "lines")
    )
    if record is None:
        return None
    setting = _Setting(page=page, cast=cast, problems=problems)
    pages = pages_of(record)
    reach = _reach(page, pages)
    figures = tuple(_figures(record, reach, setting))
    lines = tuple(_lines(record, _drawn(record), setting))
    keep_clear = tuple(_keep_clear(record, reach))
    art = record.text("art")
    if pages is None:
        return None
    spread = Spread(
        pages=pages, lines=tuple(line for line, _ in lines), figures=figures, keep_clear=keep_clear, art=art
    )
    return ReadSpread(spread=spread, where=record.where("pages"), lines=tuple(where for _, where in lines))


def pages_of(record: Record) -> tuple[int, ...] | None:
    """Return the field `pages`: one page number, or two that follow each other; none when it is wrong."""
    text = record.text("pages")
    if text is None:
        return None
    match = _PAGES.fullmatch(text)
    first = int(match[1]) if match else 0
    last = int(match[2]) if match and match[2] else first
    if match and first >= 1 and (match[2] is None or last == first + 1):
        return (first,) if match[2] is None else (first, last)
    hint = "Write two pages that follow each other, such as 4-5, or one alone, such as 1."
    record.problems.add(record.where("pages"), f"'{text}' are no facing pages.", hint)
    return None


def _reach(page: PageFormat | None, pages: tuple[int, ...] | None) -> Rect | None:
    """Return how far a spread reaches, bleed and all; none when it is not known."""
    if page is None or pages is None:
        return None
    return frame(page, len(pages)).trim.inset(-page.bleed_mm - HAIR_MM)


def _off_spread(box: Rect, reach: Rect, what: str, where: Where, problems: Problems) -> None:
    if not reach.contains(box):
        hint = (
            f"x must lie from {reach.x0 + HAIR_MM:g} to {reach.x1 - HAIR_MM:g} mm and "
            f"y from {reach.y0 + HAIR_MM:g} to {reach.y1 - HAIR_MM:g} mm, bleed included."
        )
        sides = f"{box.x0:g} to {box.x1:g} across and {box.y0:g} to {box.y1:g} down"
        problems.add(where, f"{what} is off the spread: it reaches from {sides}.", hint)


def _figures(record: Record, reach: Rect | None, setting: _Setting) -> Iterator[Figure]:
    value = record.get("figures")
    if value is None:
        return
    if isinstance(value, Text) and not value.value:
        return
    if not isinstance(value, Fields):
        hint = "Write a row for each figure: 'wren: {box: [x, y, width, height]}'."
        setting.problems.add(value.where, "figures wants characters of the cast.", hint)
        return
    for who, (at, given) in value.values.items():
        if who not in setting.cast:
            hint = did_you_mean(who, setting.cast) or "The cast is empty."
            setting.problems.add(at.where, f"no character named '{who}'.", hint)
        for each in given.values if isinstance(given, Items) else (given,):
            if figure := _figure(who, each, reach, setting.problems):
                yield figure


def _drawn(record: Record) -> dict[str, int]:
    """Return how many figures are written of each character, also of those whose measures are wrong.

    One mistake is told once: a speaker whose box is miswritten is not also said to have no figure.
    """
    value = record.get("figures")
    written = value.values.items() if isinstance(value, Fields) else ()
    return {who: len(given.values) if isinstance(given, Items) else 1 for who, (_, given) in written}


def _figure(who: str, value: Value, reach: Rect | None, problems: Problems) -> Figure | None:
    record = Record.of(value, f"figure {who}", problems, needs=("box",), allows=("face", "mouth"))
    if record is None:
        return None
    box, face, mouth = record.rect("box"), record.rect("face"), record.point("mouth")
    if box is None:
        return None
    if reach:
        _off_spread(box, reach, f"the box of {who}", record.where("box"), problems)
    room = box.inset(-HAIR_MM)
    if face and not room.contains(face):
        problems.add(record.where("face"), f"the face of {who} reaches outside its box.", _extent(box))
    if mouth and not room.contains(Rect(mouth.x, mouth.y, mouth.x, mouth.y)):
        problems.add(record.where("mouth"), f"the mouth of {who} lies outside its box.", _extent(box))
    return Figure(who=who, box=box, face=face, mouth=mouth)


def _extent(box: Rect) -> str:
    return f"The box reaches from {box.x0:g} to {box.x1:g} mm across and {box.y0:g} to {box.y1:g} mm down."


def _keep_clear(record: Record, reach: Rect | None) -> Iterator[Rect]:
    value = record.get("keep_clear")
    if value is None:
        return
    if not isinstance(value, Items):
        record.problems.add(value.where, "keep_clear wants a list of [x, y, width, height].")
        return
    for each in value.values:
        if box := rect(each, "a place in keep_clear", record.problems):
            if reach:
                _off_spread(box, reach, "a place in keep_clear", each.where, record.problems)
            yield box


def _lines(record: Record, drawn: dict[str, int], setting: _Setting) -> Iterator[tuple[Line, Where]]:
    value = record.get("lines")
    if value is None:
        return
    if not isinstance(value, Items):
        if isinstance(value, Text) and not value.value:
            return
        setting.problems.add(value.where, "lines wants a list.", "Begin each line with '- wren: words'.")
        return
    before: Line | None = None
    for each in value.values:
        if line := _line(each, drawn, setting):
            _check_joint(line, before, each.where, setting.problems)
            before = line
            yield line, each.where


def _line(value: Value, drawn: dict[str, int], setting: _Setting) -> Line | None:
    if not isinstance(value, Fields) or len(value.values) != 1:
        hint = "Write '- wren: words', '- wren: {says: words, voice: shout}' or '- caption: words'."
        setting.problems.add(value.where, "a line has one speaker and what is said.", hint)
        return None
    ((key, (at, said)),) = value.values.items()
    if key in UNSPOKEN:
        return unspoken(said, key, setting.problems)
    who = tuple(name.strip() for name in key.split("+"))
    known = _known(who, at.where, setting)
    line = spoken(who, said, setting.problems)
    if line and known:
        _check_figures(line, drawn, at.where, setting.problems)
    return line


def _known(who: tuple[str, ...], where: Where, setting: _Setting) -> bool:
    """Note speakers that are not of the cast, or that are named twice."""
    strangers = [name for name in who if name not in setting.cast]
    for name in strangers:
        hint = did_you_mean(name, (*setting.cast, *UNSPOKEN))
        setting.problems.add(where, f"no character named '{name}'.", hint)
    if len(set(who)) < len(who):
        setting.problems.add(where, f"'{' + '.join(who)}' names a speaker twice.")
    return not strangers


def _check_joint(line: Line, before: Line | None, where: Where, problems: Problems) -> None:
    """Note a bubble that is to meet one that is not there, or that a neck would give to another speaker."""
    if line.joint is None:
        return
    if before is None or not before.has_bubble:
        problems.add(where, f"'joint: {line.joint}', but no bubble is spoken just before.")
    elif line.joint == "neck" and before.who != line.who:
        hint = "A reply that lies against the bubble before is touching it ('joint: touching')."
        problems.add(where, "a neck joins two bubbles of the same speaker.", hint)


def _check_figures(line: Line, drawn: dict[str, int], where: Where, problems: Problems) -> None:
    """Note speakers in the picture who have no figure, or fewer than the line counts."""
    if line.off is not None:
        return
    for name in line.who:
        count = drawn.get(name, 0)
        if count == 0:
            hint = "Give it a figure, or say where it is with 'off: left', right, top or bottom."
            problems.lacks(where, f"{name} speaks here and has no figure on this spread.", hint)
        elif line.figure > count:
            figures = counted(count, "figure")
            problems.add(where, f"'from: {line.figure}', but {name} has {figures} on this spread.")
