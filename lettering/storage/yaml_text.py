"""YAML as its text: texts, lists and mappings that know their line, with no guessing of types.

YAML 1.1 would read `No` as false, `12:30` as 750 and `1.50` as 1.5, and would follow anchors and build
objects for tags. Here only its syntax is used: every value stays the text that was typed.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

import yaml

from lettering.errors import LetteringError, Where
from lettering.storage.yaml_faults import SyntaxFaultError, explained, mended_row, place

MOST_BYTES = 250_000
"""Largest file that is read; a book of a hundred spreads has about 50,000 bytes."""
DEEPEST = 12
"""Most values one inside another; a book file has seven."""
MOST_REPAIRS = 40
"""How often reading goes on, after a row that wants quotes, to find what else is wrong."""
MOST_READ = 1_000_000
"""Bytes that are read in all by reading on; a file of 25,000 bytes gets all its repairs."""
_ROW_END = re.compile("\r\n|[\r\n\x85\u2028\u2029]")
"""What ends a row in YAML 1.1."""


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
        except SyntaxFaultError as fault:
            # A row is mended once: mending it again would double its quotes without end.
            fresh = fault.line < len(rows) and fault.line not in mended
            repaired = mended_row(rows[fault.line], fault.column) if fresh else None
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


def _problem(fault: SyntaxFaultError, repaired: str | None, file: str) -> LetteringError:
    hint = f"Write it with quotes: {repaired.strip()}" if repaired else fault.hint
    return LetteringError(fault.message, Where(file, fault.line + 1, fault.column + 1), hint)


class _Builder:
    """Builds values from the events of one YAML text."""

    def __init__(self, file: str, rows: list[str]) -> None:
        self.file = file
        self.rows = rows
        self.problems: list[LetteringError] = []

    def document(self) -> Value:
        """Return the one document; raises SyntaxFaultError when the syntax is broken."""
        events = self._events()
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                break
        else:
            raise SyntaxFaultError((0, 0), "the file is empty.", "Begin with 'title: …'.")
        value = self._value(next(events), events, depth=1)
        next(events)
        following = next(events)
        if isinstance(following, yaml.DocumentStartEvent):
            mark = following.start_mark
            raise SyntaxFaultError(place(mark), "a second document begins here.", "Keep one book a file.")
        return value

    def _events(self) -> Iterator[yaml.Event]:
        try:
            yield from yaml.parse("\n".join(self.rows) + "\n", Loader=yaml.SafeLoader)
        except yaml.reader.ReaderError as error:
            raise self._unprintable(error) from None
        except yaml.MarkedYAMLError as error:
            raise explained(error) from None

    def _unprintable(self, error: yaml.reader.ReaderError) -> SyntaxFaultError:
        before = ("\n".join(self.rows) + "\n")[: error.position]
        line = before.count("\n")
        column = len(before) - before.rfind("\n") - 1
        return SyntaxFaultError(
            (line, column), f"character U+{_code(error.character):04X} cannot be used in text."
        )

    def _value(self, event: yaml.Event, events: Iterator[yaml.Event], depth: int) -> Value:
        mark = event.start_mark
        _refuse_references(event)
        if depth > DEEPEST:
            raise SyntaxFaultError(place(mark), f"values are nested more than {DEEPEST} deep.")
        line, column = place(mark)
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
        line, column = place(event.end_mark)
        if event.style or line >= len(self.rows):
            return None
        rest = self.rows[line][column:].strip()
        return rest if re.match(r"#[^\s#]", rest) else None


def _code(character: str | bytes | int) -> int:
    return character if isinstance(character, int) else ord(character)


def _refuse_references(event: yaml.Event) -> None:
    mark = event.start_mark
    if isinstance(event, yaml.AliasEvent):
        raise SyntaxFaultError(place(mark), "words that begin with '*' need quotes in YAML.")
    if getattr(event, "anchor", None) is not None:
        raise SyntaxFaultError(place(mark), "words that begin with '&' need quotes in YAML.")
    if getattr(event, "tag", None) is not None:
        raise SyntaxFaultError(place(mark), "words that begin with '!' need quotes in YAML.")
