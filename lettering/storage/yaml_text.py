"""YAML as its text: texts, lists and mappings that know their line, with no guessing of types.

YAML 1.1 would read `No` as false, `12:30` as 750 and `1.50` as 1.5, and would follow anchors and build
objects for tags. Here only its syntax is used: every value stays the text that was typed.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from lettering.errors import LetteringError, Where

MOST_BYTES = 250_000
"""Largest file that is read; a book of a hundred spreads has about 50,000 bytes."""
DEEPEST = 12
"""Most values one inside another; a book file has seven."""
MOST_REPAIRS = 40
"""How often reading goes on, after a row that wants quotes, to find what else is wrong."""
MOST_READ = 1_000_000
"""Bytes that are read in all by reading on; a file of 25,000 bytes gets all its repairs."""
LONGEST_ROW = 4_000
"""Characters of a row that is still mended; 300 words have about 1,800."""

_ROW_END = re.compile("\r\n|[\r\n\x85\u2028\u2029]")
"""What ends a row in YAML 1.1."""
_ENTRY = re.compile(r"(?P<stem>\s*(?:-\s+)*[^\s'\"{}\[\]#:-][^'\"{}\[\]#:]*:\s+)(?P<words>\S.*)")
_ITEM = re.compile(r"(?P<stem>\s*-\s+)(?P<words>\S.*)")


@dataclass(frozen=True, slots=True)
class Text:
    """A scalar as it was typed, whatever it looks like."""

    value: str
    where: Where
    cut_short: str | None = None
    """What follows on the row behind a '#', when it may have been meant as words."""


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    values: tuple["Value", ...]
    where: Where


@dataclass(frozen=True, slots=True)
class Fields:
    """A mapping in the order of the file; names are unique."""

    values: dict[str, tuple[Text, "Value"]]
    """By name: the name where it stands, and its value."""
    where: Where


Value = Text | Items | Fields


@dataclass(frozen=True, slots=True)
class Composed:
    """What was read, and what was wrong with its syntax."""

    value: Value | None
    """None when nothing can be read."""
    problems: tuple[LetteringError, ...]


class _SyntaxFaultError(Exception):
    """The syntax is broken at `line`, `column` (from 0); `message` says how."""

    def __init__(self, at: tuple[int, int], message: str, hint: str | None = None) -> None:
        super().__init__(message)
        self.line, self.column = at
        self.message = message
        self.hint = hint


def compose(data: bytes, file: str) -> Composed:
    """Return the values written in `data`, the content of the file that people call `file`.

    A row of words that wants quotes is reported with those quotes and then read as if it had them, so that
    every further problem is found as well. Tags, anchors and aliases are refused, never followed.
    """
    if len(data) > MOST_BYTES:
        message = f"the file has {len(data):,} bytes; at most {MOST_BYTES:,} are read."
        return Composed(None, (LetteringError(message, Where(file)),))
    try:
        rows = _ROW_END.split(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        return Composed(None, (_not_utf8(data, error, file),))
    problems: list[LetteringError] = []
    mended: set[int] = set()
    value = None
    while len(mended) <= min(MOST_REPAIRS, MOST_READ // (len(data) + 1)):
        builder = _Builder(file, rows)
        try:
            value = builder.document()
        except _SyntaxFaultError as fault:
            # A row is mended once: mending it again would double its quotes without end.
            fresh = fault.line < len(rows) and fault.line not in mended
            repaired = _mended(rows[fault.line], fault.column) if fresh else None
            problems.append(_problem(fault, repaired, file))
            if repaired is None:
                break
            rows[fault.line] = repaired
            mended.add(fault.line)
        else:
            problems += builder.problems
            break
    return Composed(value, tuple(problems))


def _not_utf8(data: bytes, error: UnicodeDecodeError, file: str) -> LetteringError:
    before = data[: error.start]
    line = before.count(b"\n") + 1
    column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", errors="replace")) + 1
    return LetteringError(
        f"byte {data[error.start]:#04x} is not UTF-8 text.",
        Where(file, line, column),
        "Save the file as UTF-8 in your editor.",
    )


def _problem(fault: _SyntaxFaultError, repaired: str | None, file: str) -> LetteringError:
    hint = f"Write it with quotes: {repaired.strip()}" if repaired else fault.hint
    return LetteringError(fault.message, Where(file, fault.line + 1, fault.column + 1), hint)


def _mended(row: str, column: int) -> str | None:
    """Return the row with quotes round the words at `column`; none when no bare words are there."""
    short = row[:LONGEST_ROW].rstrip()
    match = _ENTRY.match(short) or _ITEM.match(short)
    if match is None or "\t" in match["stem"] or len(row) > LONGEST_ROW:
        return None
    words, behind = _parted(match["words"])
    if words[0] in "{[" and words[-1] in "}]":
        return _mended_inside(row, column)
    if words[0] in "'\"" and words[-1] == words[0] and len(words) > 1 and words[0] not in words[1:-1]:
        return None
    return match["stem"] + _in_quotes(words) + behind


def _mended_inside(row: str, column: int) -> str | None:
    """Return the row with quotes round one field between braces."""
    start = row.rfind(": ", 0, column + 1) + 2
    match = re.compile(r"[^,{}\[\]'\"\s][^,{}\[\]]*").match(row, start)
    if start < 2 or match is None:
        return None
    words = match[0].rstrip()
    return row[:start] + _in_quotes(words) + row[start + len(words) :]


def _parted(words: str) -> tuple[str, str]:
    """Return words and the comment behind them."""
    comment = re.search(r"\s#\s", words)
    at = len(words[: comment.start()].rstrip()) if comment else len(words)
    return words[:at], words[at:]


def _in_quotes(words: str) -> str:
    if '"' not in words and "\\" not in words:
        return f'"{words}"'
    return "'" + words.replace("'", "''") + "'"


class _Builder:
    """Builds values from the events of one YAML text."""

    def __init__(self, file: str, rows: list[str]) -> None:
        self.file = file
        self.rows = rows
        self.problems: list[LetteringError] = []

    def document(self) -> Value:
        """Return the one document; raises _SyntaxFaultError when the syntax is broken."""
        events = self._events()
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                break
        else:
            raise _SyntaxFaultError((0, 0), "the file is empty.", "Begin with 'title: …'.")
        value = self._value(next(events), events, depth=1)
        next(events)
        following = next(events)
        if isinstance(following, yaml.DocumentStartEvent):
            mark = following.start_mark
            raise _SyntaxFaultError(_at(mark), "a second document begins here.", "Keep one book a file.")
        return value

    def _events(self) -> Iterator[yaml.Event]:
        try:
            yield from yaml.parse("\n".join(self.rows) + "\n", Loader=yaml.SafeLoader)
        except yaml.reader.ReaderError as error:
            raise self._unprintable(error) from None
        except yaml.MarkedYAMLError as error:
            raise _explained(error) from None

    def _unprintable(self, error: yaml.reader.ReaderError) -> _SyntaxFaultError:
        before = ("\n".join(self.rows) + "\n")[: error.position]
        line = before.count("\n")
        column = len(before) - before.rfind("\n") - 1
        return _SyntaxFaultError(
            (line, column), f"character U+{_code(error.character):04X} cannot be used in text."
        )

    def _value(self, event: yaml.Event, events: Iterator[yaml.Event], depth: int) -> Value:
        mark = event.start_mark
        _refuse_references(event)
        if depth > DEEPEST:
            raise _SyntaxFaultError(_at(mark), f"values are nested more than {DEEPEST} deep.")
        line, column = _at(mark)
        where = Where(self.file, line + 1, column + 1)
        if isinstance(event, yaml.ScalarEvent):
            return Text(event.value, where, self._behind(event))
        if isinstance(event, yaml.SequenceStartEvent):
            return Items(tuple(self._items(events, depth)), where)
        return self._fields(events, where, depth)

    def _items(self, events: Iterator[yaml.Event], depth: int) -> Iterator[Value]:
        while not isinstance(event := next(events), yaml.SequenceEndEvent):
            yield self._value(event, events, depth + 1)

    def _fields(self, events: Iterator[yaml.Event], where: Where, depth: int) -> Fields:
        fields: dict[str, tuple[Text, Value]] = {}
        while not isinstance(event := next(events), yaml.MappingEndEvent):
            name = self._value(event, events, depth + 1)
            value = self._value(next(events), events, depth + 1)
            if not isinstance(name, Text):
                self.problems.append(LetteringError("a name is wanted before the colon.", name.where))
            elif name.value in fields:
                first = fields[name.value][0].where.line
                hint = f"It is first given on line {first}; keep one of the two."
                self.problems.append(LetteringError(f"'{name.value}' is given twice.", name.where, hint))
            else:
                fields[name.value] = (name, value)
        return Fields(fields, where)

    def _behind(self, event: yaml.ScalarEvent) -> str | None:
        """Return '#…' when it directly follows bare words and has no space behind it, as comments do."""
        line, column = _at(event.end_mark)
        if event.style or line >= len(self.rows):
            return None
        rest = self.rows[line][column:].strip()
        return rest if re.match(r"#[^\s#]", rest) else None


def _at(mark: Any) -> tuple[int, int]:
    # The two parsers of the library have marks of two unrelated types.
    return (mark.line, mark.column) if mark else (0, 0)


def _code(character: str | bytes | int) -> int:
    return character if isinstance(character, int) else ord(character)


def _refuse_references(event: yaml.Event) -> None:
    mark = event.start_mark
    if isinstance(event, yaml.AliasEvent):
        raise _SyntaxFaultError(_at(mark), "words that begin with '*' need quotes in YAML.")
    if getattr(event, "anchor", None) is not None:
        raise _SyntaxFaultError(_at(mark), "words that begin with '&' need quotes in YAML.")
    if getattr(event, "tag", None) is not None:
        raise _SyntaxFaultError(_at(mark), "words that begin with '!' need quotes in YAML.")


_REASONS = (
    ("while scanning an alias", "words that begin with '*' need quotes in YAML."),
    ("while scanning an anchor", "words that begin with '&' need quotes in YAML."),
    ("while parsing a tag", "words that begin with '!' need quotes in YAML."),
    ("while scanning a tag", "words that begin with '!' need quotes in YAML."),
    ("mapping values are not allowed", "words with ': ' in them need quotes in YAML."),
    ("while scanning a quoted scalar", "a quotation mark is opened here and never closed."),
    ("found character '\\t'", "a tab stands where YAML wants spaces."),
    ("that cannot start any token", "words that begin with this character need quotes in YAML."),
    ("while scanning a directive", "words that begin with '%' need quotes in YAML."),
    ("while scanning a block scalar", "words that begin with '|' or '>' need quotes in YAML."),
    ("flow sequence", "a list is not closed: ']' is wanted."),
    ("expected ',' or '}', but got ':'", "words with ': ' in them need quotes in YAML."),
    ("expected ',' or '}', but got '<scalar>'", "words with quotation marks in them need quotes round them."),
    ("flow mapping", "a mapping is not closed: '}' is wanted."),
    ("found unknown escape", "a backslash inside double quotes begins a code; write it twice."),
)


_BEGIN_EARLIER = ("unexpected end of stream", "scanning an alias", "scanning an anchor", "scanning a tag")
"""Faults that a person sees where the words begin, not where the reading stopped."""


def _explained(error: yaml.MarkedYAMLError) -> _SyntaxFaultError:
    """Return the fault in our words, at the place where a person would mend it."""
    said = f"{error.context or ''} {error.problem or ''}"
    mark = error.problem_mark or error.context_mark
    if any(of in said for of in _BEGIN_EARLIER) and error.context_mark:
        mark = error.context_mark
    message = next((ours for theirs, ours in _REASONS if theirs in said), None)
    hint = "Indent with spaces." if "'\\t'" in said else "See the rows above for a missing quote or colon."
    return _SyntaxFaultError(_at(mark), message or f"this is no YAML: {error.problem}.", hint)
