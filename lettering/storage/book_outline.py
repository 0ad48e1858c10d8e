"""Where everything stands in the text of a book file, so that a change touches only its own bytes."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import yaml

from lettering.errors import BookError, LetteringError
from lettering.storage.yaml_text import compose


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of the text, in characters: from `start` up to `end`."""

    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LineOutline:
    """One line of dialogue as it stands in the file."""

    key: str
    """What is written before the colon: 'wren', 'wren + toad', 'caption'."""
    says: str
    words: Span
    """The words, with the quotation marks that YAML asks for."""
    in_braces: bool
    """Whether they stand between braces, with more than the words."""
    rows: Span
    """Its whole rows, with the comments right above it."""
    voice: str | None = None
    """How it is said, where that is written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadOutline:
    """One spread as it stands in the file."""

    pages: tuple[int, ...]
    where: Span
    """The page numbers."""
    lines: tuple[LineOutline, ...]
    end: int
    """Behind the last row that belongs to it."""
    lines_end: int
    """Behind the last of its lines; where more may be added."""
    indent: int
    """Column of its fields."""
    line_indent: int
    """Column of the dashes of its lines."""
    has_lines: bool
    """Whether it has the field `lines`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookOutline:
    """A whole book file as it stands."""

    text: str
    cast: Mapping[str, str]
    """By key of the character, its name."""
    cast_end: int | None
    """Behind the last of the cast; none when the file has none that rows can be added to."""
    cast_indent: int
    """Column of its keys."""
    spreads_start: int
    """Where the row 'spreads:' begins."""
    spreads: tuple[SpreadOutline, ...]


def outline(text: str, file: str) -> BookOutline:
    """Return where cast, spreads and lines stand in `text`, the content of what people call `file`.

    Only the form is looked at: pages that repeat or speakers without a figure are left to reading the book.
    Raises BookError when the text cannot be read as YAML, or writes its lists between brackets.
    """
    composed = compose(text.encode(), file)
    if composed.problems or composed.value is None:
        raise BookError(composed.problems)
    node: Any = yaml.compose(text, Loader=yaml.SafeLoader)
    root = _fields(node)
    cast: Any = root.get("cast")
    spreads = root.get("spreads")
    if not isinstance(spreads, yaml.SequenceNode) or spreads.flow_style:
        hint = "Write 'spreads:' and below it a row '- pages: 4-5' for each."
        raise BookError([LetteringError("no list of spreads is in this book file.", file, hint)])
    rows = Rows(text)
    people = cast.value if isinstance(cast, yaml.MappingNode) else []
    in_rows = bool(people) and not cast.flow_style
    return BookOutline(
        text=text,
        cast={key.value: getattr(_fields(given).get("name"), "value", key.value) for key, given in people},
        cast_end=rows.end(rows.last(cast)) if in_rows else None,
        cast_indent=cast.start_mark.column if in_rows else 2,
        spreads_start=next(
            rows.start(key.start_mark.index) for key, _ in node.value if key.value == "spreads"
        ),
        spreads=tuple(_spread(each, rows, file) for each in spreads.value),
    )


def _fields(node: Any) -> dict[str, Any]:
    if not isinstance(node, yaml.MappingNode):
        return {}
    return {key.value: value for key, value in node.value}


class Rows:
    """The rows of a text, by character."""

    def __init__(self, text: str) -> None:
        self.text = text

    def start(self, index: int) -> int:
        """Return where the row begins that holds `index`."""
        return self.text.rfind("\n", 0, index) + 1

    def end(self, index: int) -> int:
        """Return where the row after the one that holds `index` begins."""
        found = self.text.find("\n", index)
        return len(self.text) if found < 0 else found + 1

    def last(self, node: Any) -> int:
        """Return the index of a node's last character; block nodes end where the next thing begins."""
        if isinstance(node, yaml.ScalarNode) or node.flow_style:
            return max(int(node.end_mark.index) - 1, int(node.start_mark.index))
        inner = node.value[-1]
        return self.last(inner[1] if isinstance(inner, tuple) else inner)

    def with_comments(self, span: Span, least: int) -> Span:
        """Return `span` with the comments right above it, not above `least`."""
        start = span.start
        while start > least:
            above = self.start(start - 1)
            if above < least or not self.text[above:start].lstrip().startswith("#"):
                break
            start = above
        return Span(start, span.end)


_PAGES = re.compile(r"\s*(\d{1,4})(?:\s*[-–]\s*(\d{1,4}))?\s*")


def _spread(node: Any, rows: Rows, file: str) -> SpreadOutline:
    fields = _fields(node)
    pages = fields.get("pages")
    match = _PAGES.fullmatch(pages.value) if isinstance(pages, yaml.ScalarNode) else None
    if match is None or pages is None or node.flow_style:
        where = f"{file}:{node.start_mark.line + 1}"
        raise BookError([LetteringError("this spread has no pages, or stands between braces.", where)])
    end = rows.end(rows.last(node))
    indent = node.start_mark.column
    field_key = next((key for key, _ in node.value if key.value == "lines"), None)
    lines = fields.get("lines")
    listed: tuple[LineOutline, ...] = ()
    lines_end, line_indent = end, indent + 2
    if isinstance(lines, yaml.SequenceNode):
        if lines.flow_style and lines.value:
            where = f"{file}:{lines.start_mark.line + 1}"
            raise BookError([LetteringError("lines stand between brackets.", where, "Write one a row.")])
        if not lines.flow_style:
            listed = _lines(lines, rows, rows.end(field_key.end_mark.index) if field_key else 0)
            line_indent = lines.start_mark.column
            lines_end = listed[-1].rows.end
    elif field_key is not None:
        lines_end = rows.end(field_key.end_mark.index)
    return SpreadOutline(
        pages=tuple(int(number) for number in match.groups() if number),
        where=Span(pages.start_mark.index, pages.end_mark.index),
        lines=listed,
        end=end,
        lines_end=lines_end,
        indent=indent,
        line_indent=line_indent,
        has_lines=field_key is not None,
    )


def _lines(node: Any, rows: Rows, least: int) -> tuple[LineOutline, ...]:
    """Return the lines; comments above `least` belong to none of them."""
    found: list[LineOutline] = []
    for item in node.value:
        line = _line(item, rows, least)
        if line is not None:
            found.append(line)
            least = line.rows.end
    return tuple(found)


def _line(item: Any, rows: Rows, least: int) -> LineOutline | None:
    if not isinstance(item, yaml.MappingNode) or len(item.value) != 1:
        return None
    ((key, value),) = item.value
    fields = _fields(value) if isinstance(value, yaml.MappingNode) else {}
    words, voice = fields.get("says") if fields else value, fields.get("voice")
    if not isinstance(words, yaml.ScalarNode):
        return None
    span = Span(rows.start(item.start_mark.index), rows.end(rows.last(value)))
    return LineOutline(
        key=key.value,
        says=words.value.strip(),
        words=Span(words.start_mark.index, words.end_mark.index),
        in_braces=value is not words and value.flow_style,
        rows=rows.with_comments(span, least),
        voice=voice.value.strip() if isinstance(voice, yaml.ScalarNode) else None,
    )
