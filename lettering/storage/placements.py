"""Placements on disk: where each line of a book goes, beside the book file, kind to version control."""

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from lettering.errors import LetteringError, Where
from lettering.geometry.point import Point
from lettering.placing.former import FormerLine, FormerSpread
from lettering.storage.atomic import write_text

FORMAT = "lettering-placements"
VERSION = 1
POSITION_DIGITS = 2
"""Positions are kept to 0.01 mm: a tenth of the finest line a press holds."""
SIZE_DIGITS = 3
MOST_BYTES = 20_000_000

_LINE_NAMES = {"who", "says", "rows", "position", "tips", "x_height", "held"}


def placements_path(book: Path) -> Path:
    """Return where the placements of a book file are kept: `book.placements.json` for `book.yaml`."""
    return book.with_suffix(".placements.json")


def write_placements(spreads: Sequence[FormerSpread], path: Path) -> None:
    """Write placements: stable order and rounding, a row of text for each fact; raises OutputError."""
    write_text(path, placements_text(spreads))


def placements_text(spreads: Sequence[FormerSpread]) -> str:
    """Return placements as the JSON text that is kept on disk."""
    inner = ",\n".join(_spread_text(spread) for spread in spreads)
    body = f"[\n{inner}\n ]" if spreads else "[]"
    return (
        f'{{\n "format": {_json(FORMAT)},\n "version": {VERSION},\n "unit": "mm",\n "spreads": {body}\n}}\n'
    )


def read_placements(path: Path) -> tuple[FormerSpread, ...]:
    """Return the placements kept at `path`, none when there is no such file.

    Raises LetteringError for a file that is damaged or of a later version; it is then left as it is.
    """
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return ()
    except OSError as error:
        raise LetteringError(f"cannot be read: {error.strerror}.", str(path)) from None
    if len(data) > MOST_BYTES:
        raise LetteringError(f"the placements have more than {MOST_BYTES:,} bytes.", str(path))
    return placements_of(data, str(path))


def placements_of(data: bytes, file: str) -> tuple[FormerSpread, ...]:
    """Return the placements in `data`, the content of what people call `file`; raises LetteringError."""
    reader = _Reader(file)
    whole = reader.fields(_parsed(data, file), "the file", {"format", "version", "unit", "spreads"})
    if whole["format"] != FORMAT:
        raise reader.wrong("the file", "is not a file of placements")
    if whole["version"] != VERSION:
        raise reader.wrong("the file", f"has version {whole['version']!r}; this program knows {VERSION}")
    spreads = reader.items(whole["spreads"], "spreads")
    return tuple(reader.spread(value, f"spread {i}") for i, value in enumerate(spreads, 1))


def _parsed(data: bytes, file: str) -> Any:
    try:
        return json.loads(data.decode("utf-8"), parse_constant=_no_number)
    except json.JSONDecodeError as error:
        raise _damaged(Where(file, error.lineno, error.colno), error.msg) from None
    except (ValueError, RecursionError) as error:
        raise _damaged(file, str(error)) from None


def _no_number(name: str) -> float:
    raise ValueError(f"{name} is no number")


def _damaged(where: Where | str, how: str) -> LetteringError:
    hint = "Restore an earlier copy, or move the file away to place the book afresh."
    return LetteringError(f"the placements are damaged: {how}.", where, hint)


class _Reader:
    """Takes placements from plain JSON values; `what` says in words which value is meant."""

    def __init__(self, file: str) -> None:
        self.file = file

    def wrong(self, what: str, how: str) -> LetteringError:
        """Return the error that `what` is not as it should be."""
        return _damaged(self.file, f"{what} {how}")

    def fields(self, value: Any, what: str, names: set[str]) -> dict[str, Any]:
        """Return a mapping that has exactly `names`."""
        if not isinstance(value, dict):
            raise self.wrong(what, "is not a group of fields")
        if unlike := sorted(names ^ value.keys()):
            how = "lacks" if unlike[0] in names else "has an unknown field"
            raise self.wrong(what, f"{how} '{unlike[0]}'")
        return value

    def items(self, value: Any, what: str) -> list[Any]:
        """Return a list."""
        if not isinstance(value, list):
            raise self.wrong(what, "is not a list")
        return value

    def text(self, value: Any, what: str) -> str:
        """Return text."""
        if not isinstance(value, str) or any("\ud800" <= letter <= "\udfff" for letter in value):
            raise self.wrong(what, "is not text")
        return value

    def texts(self, value: Any, what: str) -> tuple[str, ...]:
        """Return a list of texts."""
        return tuple(self.text(part, what) for part in self.items(value, what))

    def number(self, value: Any, what: str) -> float:
        """Return a number."""
        if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > 1e6:
            raise self.wrong(what, "is not a measure in mm")
        return float(value)

    def point(self, value: Any, what: str) -> Point:
        """Return a point."""
        parts = self.items(value, what)
        if len(parts) != 2:
            raise self.wrong(what, "is not [x, y]")
        return Point(self.number(parts[0], what), self.number(parts[1], what))

    def points(self, value: Any, what: str) -> tuple[Point, ...]:
        """Return a list of points."""
        return tuple(self.point(part, what) for part in self.items(value, what))

    def spread(self, value: Any, what: str) -> FormerSpread:
        """Return one spread."""
        fields = self.fields(value, what, {"pages", "lines"})
        pages = self.items(fields["pages"], f"'pages' of {what}")
        if len(pages) not in (1, 2) or not all(type(page) is int for page in pages):
            raise self.wrong(f"'pages' of {what}", "is not one page number or two")
        lines = enumerate(self.items(fields["lines"], f"'lines' of {what}"), 1)
        return FormerSpread(tuple(pages), tuple(self.line(line, f"line {i} of {what}") for i, line in lines))

    def line(self, value: Any, what: str) -> FormerLine:
        """Return one line."""
        fields = self.fields(value, what, _LINE_NAMES)
        if not isinstance(fields["held"], bool):
            raise self.wrong(f"'held' of {what}", "is neither true nor false")
        return FormerLine(
            who=self.texts(fields["who"], f"'who' of {what}"),
            says=self.text(fields["says"], f"'says' of {what}"),
            rows=self.texts(fields["rows"], f"'rows' of {what}"),
            position=self.point(fields["position"], f"'position' of {what}"),
            tips=self.points(fields["tips"], f"'tips' of {what}"),
            x_height_mm=self.number(fields["x_height"], f"'x_height' of {what}"),
            held=fields["held"],
        )


def _spread_text(spread: FormerSpread) -> str:
    inner = ",\n".join("    {\n" + ",\n".join(_line_facts(line)) + "\n    }" for line in spread.lines)
    body = f"[\n{inner}\n   ]" if spread.lines else "[]"
    return f'  {{\n   "pages": {_json(spread.pages)},\n   "lines": {body}\n  }}'


def _line_facts(line: FormerLine) -> Iterator[str]:
    facts = {
        "who": line.who,
        "says": line.says,
        "rows": line.rows,
        "position": _position(line.position),
        "tips": [_position(tip) for tip in line.tips],
        "x_height": round(line.x_height_mm, SIZE_DIGITS),
        "held": line.held,
    }
    return (f'     "{name}": {_json(value)}' for name, value in facts.items())


def _position(point: Point) -> list[float]:
    return [round(part, POSITION_DIGITS) + 0.0 for part in (point.x, point.y)]


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)
