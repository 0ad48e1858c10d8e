"""What the table shows of a book, as plain values and as drawings; mm, y down."""

import zlib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from lettering.book.book import Book, Spread
from lettering.book.cast import Character
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.errors import LetteringError
from lettering.export.svg import svg
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.placing.placement import Broken
from lettering.setting.reading_age import band_for
from lettering.setting.words import shown
from lettering.steps.lettering_layers import lettering_layers
from lettering.steps.moved import Moved
from lettering.steps.on_table import OnTable
from lettering.steps.own_hands import new_hand, offered
from lettering.steps.place import to_keep

Plain = dict[str, Any]

AGES = range(2, 15)
"""Readers' ages that are chosen among on the table, years."""
SEVERITIES = ("error", "warning", "note")
"""Kinds of findings, the worst first."""


def book_view(state: OnTable) -> Plain:
    """Return the whole book in brief: what stands on every thumbnail, the cast, the findings."""
    book, base = state.book, state.path.parent
    return {
        "title": book.title,
        "language": book.language,
        "readerAge": field_view(book, "reader_age"),
        "page": {name: field_view(book, name) for name in ("width", "height", "bleed", "safe", "gutter")},
        "xHeight": round(state.x_height_mm, 2),
        "ownXHeight": book.x_height_mm,
        "band": _band(book.reader_age),
        "bands": {str(age): _band((age, age)) for age in AGES},
        "hand": {"path": book.hand, "name": state.hand.name if state.hand else None},
        "hands": list(offered(book, base)),
        "cast": [
            {
                "key": one.key,
                **character_view(one),
                "newHand": new_hand(book, base, one.key),
                "handLacks": bool(one.hand) and one.hand in state.troubles,
            }
            for one in book.cast
        ],
        "spreads": [_brief(state, index) for index in range(len(book.spreads))],
        "findings": [_finding(state, finding) for finding in state.findings],
    }


def field_view(book: Book, name: str) -> str | float | None:
    """Return a single value of a book by its name among those that may be set, see `book_changes.FIELDS`."""
    younger, older = book.reader_age
    values = {
        "title": book.title,
        "language": book.language,
        "reader_age": f"{younger}" if younger == older else f"{younger}-{older}",
        "x_height": book.x_height_mm,
    }
    return values[name] if name in values else getattr(book.page, f"{name}_mm", None)


def character_view(one: Character) -> Plain:
    """Return what may be set of one of the cast."""
    return {"name": one.name, "height": one.height_mm, "hand": one.hand or ""}


def figure_view(spread: Spread, who: str, number: int) -> Plain | None:
    """Return the figure of a character on a spread, its first or a later one; none when there is none."""
    every = [figure for figure in spread.figures if figure.who == who]
    if number not in range(len(every)):
        return None
    figure = every[number]
    return {
        "box": _box(figure.box),
        "face": _box(figure.face) if figure.face else None,
        "mouth": _point(figure.mouth) if figure.mouth else None,
    }


def keep_clear_view(spread: Spread, number: int) -> list[float] | None:
    """Return a place of a spread that is kept clear; none when there is none."""
    return _box(spread.keep_clear[number]) if number in range(len(spread.keep_clear)) else None


def spread_view(state: OnTable, index: int) -> Plain:
    """Return one spread in full; raises LetteringError when there is none at `index`."""
    spread, finished = spread_at(state, index), state.spreads[index]
    frame = state.book.frame(spread)
    return {
        **_brief(state, index),
        "trim": _box(frame.trim),
        "bleed": state.book.page.bleed_mm,
        "safe": _box(frame.safe),
        "gutter": _box(frame.gutter) if frame.gutter else None,
        "fold": frame.fold_x,
        "figures": _figures(spread),
        "keepClear": [_box(box) for box in spread.keep_clear],
        "lines": [_line(state, spread, finished, i) for i in range(len(spread.lines))],
        "svg": svg(lettering_layers(finished, state.book)) if finished else None,
        "broken": [broken_view(one) for one in finished.placed.broken] if finished else [],
    }


def _figures(spread: Spread) -> list[Plain]:
    found: list[Plain] = []
    for who in [figure.who for figure in spread.figures]:
        number = sum(one["who"] == who for one in found)
        found.append({"who": who, "number": number} | (figure_view(spread, who, number) or {}))
    return found


def move_view(state: OnTable, move: Moved, *, lettering: bool) -> Plain:
    """Return a line as it is drawn while it is moved, with what it breaks.

    Without `lettering` the drawing has bubbles alone: the letters of a line that keeps its rows only shift.
    """
    only = (move.line, *move.also)
    part = replace(move.desk.finished, lines=tuple(sorted(only, key=lambda line: line.number)))
    drawing = lettering_layers(part, state.book)
    if not lettering:
        drawing = replace(drawing, layers=drawing.layers[:1])
    return {
        "svg": svg(drawing),
        "lines": [_place(line) for line in only],
        "broken": [broken_view(one) for one in move.broken],
    }


def _band(age: tuple[int, int]) -> Plain:
    band = band_for(age)
    return {
        "least": band.x_min,
        "wanted": band.x_target,
        "rowWords": band.words_row,
        "bubbleWords": band.words_bubble,
    }


def age_view(state: OnTable, index: int, findings: Sequence[Finding]) -> Plain:
    """Return a spread as readers of some age would want it, see `table_changes.at_age`."""
    finished = state.spreads[index]
    assert finished is not None
    counts = Counter[str](one.severity for one in findings if one.accepted is None)
    return {
        "svg": svg(lettering_layers(finished, state.book)),
        "xHeight": round(state.x_height_mm, 2),
        "least": band_for(state.book.reader_age).x_min,
        "counts": {kind: counts[kind] for kind in SEVERITIES},
    }


def broken_view(broken: Broken) -> Plain:
    """Return a hard rule that is broken, in words."""
    return {"rule": broken.rule, "lines": list(broken.lines), "detail": broken.detail}


def spread_at(state: OnTable, index: int) -> Spread:
    """Return a spread of the book; raises LetteringError when there is none at `index`."""
    if not 0 <= index < len(state.book.spreads):
        raise LetteringError("there is no such spread.")
    return state.book.spreads[index]


def _brief(state: OnTable, index: int) -> Plain:
    spread = state.book.spreads[index]
    found = [one for one in state.findings if one.where.split(",")[0] == spread.label]
    counts = Counter[str](one.severity for one in found if one.accepted is None)
    art = state.path.parent / spread.art if spread.art else None
    stamp = f"{art.stat().st_mtime_ns}" if art and art.is_file() else ""
    return {
        "index": index,
        "label": spread.label,
        "pages": list(spread.pages),
        "art": spread.art,
        "artStamp": stamp,
        "stamp": f"{_look(state, index) ^ zlib.crc32(stamp.encode()):08x}",
        "lineCount": len(spread.lines),
        "lacks": list(state.lacks[index]),
        "ready": state.spreads[index] is not None,
        "counts": {kind: counts[kind] for kind in SEVERITIES},
    }


def _look(state: OnTable, index: int) -> int:
    """Return a number that changes with how the lettering of a spread looks."""
    finished = state.spreads[index]
    return zlib.crc32(repr(to_keep([finished])).encode()) if finished else 0


def _line(state: OnTable, spread: Spread, finished: FinishedSpread | None, index: int) -> Plain:
    line = spread.lines[index]
    plain: Plain = {
        "number": index + 1,
        "who": list(line.who),
        "says": line.says,
        "shown": " ".join(shown(line.says).split()),
        "voice": line.voice,
        "off": line.off,
        "from": line.figure,
        "joint": line.joint,
        "frame": line.frame,
        "along": [_point(point) for point in line.along] if isinstance(line.along, tuple) else line.along,
        "outline": line.outline_mm,
    }
    return plain | (_place(finished.lines[index]) if finished else {})


def _place(line: FinishedLine) -> Plain:
    bubble = line.bubble
    return {
        "number": line.number,
        "rows": [row.text for row in line.stack.rows],
        "held": line.placement.held,
        "centre": _point(line.placement.centre),
        "tips": [_point(tip) for tip in line.placement.tips],
        "body": _box(bubble.body.bounds if bubble else line.stack.ink),
        "xHeight": round(line.stack.x_height_mm, 2),
    }


def _finding(state: OnTable, finding: Finding) -> Plain:
    labels = {spread.label: index for index, spread in enumerate(state.book.spreads)}
    place, *rest = finding.where.split(", ")
    number = next((part.removeprefix("line ") for part in rest if part.startswith("line ")), "")
    return {
        "code": finding.code,
        "severity": finding.severity,
        "where": finding.where,
        "spread": labels.get(place),
        "line": int(number) if number.isdigit() else None,
        "message": finding.message,
        "measured": finding.measured,
        "wanted": finding.wanted,
        "unit": finding.unit,
        "source": finding.source,
        "accepted": finding.accepted,
    }


def _box(rect: Rect) -> list[float]:
    return [round(value, 3) for value in (rect.x0, rect.y0, rect.width, rect.height)]


def _point(point: Point) -> list[float]:
    return [round(point.x, 3), round(point.y, 3)]


def rect_of(values: Iterable[float]) -> Rect:
    """Return the box that the page sends as x, y, width and height."""
    x, y, width, height = values
    return Rect.sized(x, y, width, height)


def point_of(values: Iterable[float]) -> Point:
    """Return the point that the page sends as x and y."""
    x, y = values
    return Point(x, y)
