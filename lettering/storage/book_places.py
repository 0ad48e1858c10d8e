"""One value in the text of a book file changed, added or taken out; every other character stays.

A place is told by the keys and indices that lead to it: ("spreads", 1, "figures", "wren", "box").
"""

from dataclasses import dataclass
from typing import Any

import yaml

from lettering.errors import BookError, LetteringError
from lettering.storage.book_outline import Rows, Span
from lettering.storage.book_text import Edit, edited, words_in_yaml
from lettering.storage.yaml_text import compose

Place = tuple[str | int, ...]

STEP = 2
"""Columns that a row is set in under the one it belongs to."""


def with_value(text: str, place: Place, value: str, file: str = "book.yaml") -> str:
    """Return `text` with the YAML `value` at `place`: in place of what is there, or added behind its kin.

    Raises BookError when the text cannot be read, LetteringError when nothing can be added there.
    """
    found = _way(text, place, file)
    node = found[-1].value
    if len(found) == len(place) + 1:
        start, end = _span(text, node)
        return edited(text, [Edit(start, end, value)])
    return edited(text, [_addition(text, found[-1], place[len(found) - 1 :], value)])


def without(text: str, place: Place, file: str = "book.yaml") -> str:
    """Return `text` without what is at `place`; a list or mapping that is then empty goes as well.

    What is not there needs no change. Raises BookError when the text cannot be read.
    """
    found = _way(text, place, file)
    if len(found) < len(place) + 1:
        return text
    parent, entry = found[-2].value, found[-1]
    kin = list(_entries(parent))
    if len(kin) == 1:
        return without(text, place[:-1], file)
    at = next(i for i, one in enumerate(kin) if one.value is entry.value)
    if parent.flow_style:
        if at + 1 < len(kin):
            return edited(text, [Edit(entry.start, kin[at + 1].start, "")])
        return edited(text, [Edit(_span(text, kin[at - 1].value)[1], _span(text, entry.value)[1], "")])
    rows = Rows(text)
    begin = rows.start(entry.start)
    if at == 0 and text[begin : entry.start].strip():
        return edited(text, [Edit(entry.start, kin[1].start, "")])  # it shares its row with a dash
    return edited(text, [Edit(begin, rows.end(rows.last(entry.value)), "")])


def entry_rows(text: str, place: Place, file: str = "book.yaml") -> list[tuple[str, Span]]:
    """Return the keys of the mapping at `place` and the whole rows of each; none where they share rows."""
    found = _way(text, place, file)
    node, rows = found[-1].value, Rows(text)
    if len(found) < len(place) + 1 or not isinstance(node, yaml.MappingNode) or node.flow_style:
        return []
    spans = [Span(rows.start(e.start), rows.end(rows.last(e.value))) for e in _entries(node)]
    return [(key.value, span) for (key, _), span in zip(node.value, spans, strict=True)]


@dataclass(frozen=True, slots=True)
class _Entry:
    """A value in a list or mapping, with its key where it has one."""

    key: Any
    value: Any
    dash: int = 0
    """Where the dash of a row of a list stands."""

    @property
    def start(self) -> int:
        if self.key is not None:
            return int(self.key.start_mark.index)
        return self.dash or int(self.value.start_mark.index)


def _way(text: str, place: Place, file: str) -> list[_Entry]:
    """Return what leads to `place`, the whole file first, as far as it is there."""
    composed = compose(text.encode(), file)
    if composed.problems or composed.value is None:
        raise BookError(composed.problems)
    found = [_Entry(None, yaml.compose(text, Loader=yaml.SafeLoader))]
    for name in place:
        entries = list(_entries(found[-1].value))
        if isinstance(name, int):
            at = entries[name : name + 1] if isinstance(found[-1].value, yaml.SequenceNode) else []
        else:
            at = [one for one in entries if one.key is not None and one.key.value == name]
        if not at:
            break
        found.append(at[0])
    return found


def _entries(node: Any) -> list[_Entry]:
    if isinstance(node, yaml.MappingNode):
        return [_Entry(key, value) for key, value in node.value]
    if isinstance(node, yaml.SequenceNode):
        buffer = node.start_mark.buffer
        return [_Entry(None, one, _dash(buffer, one) if not node.flow_style else 0) for one in node.value]
    return []


def _dash(buffer: str | None, node: Any) -> int:
    """Return where the dash before a row of a list stands."""
    return buffer.rfind("-", 0, node.start_mark.index) if buffer else int(node.start_mark.index)


def _span(text: str, node: Any) -> tuple[int, int]:
    """Return from where to where a value stands, without the end of its row."""
    start = int(node.start_mark.index)
    end = Rows(text).last(node) + 1 if not getattr(node, "flow_style", True) else int(node.end_mark.index)
    while end > start and text[end - 1] in " \t\r\n":
        end -= 1
    return start, end


def _addition(text: str, parent: _Entry, rest: Place, value: str) -> Edit:
    """Return the edit that adds `value`, and what leads to it, to `parent`."""
    node, rows = parent.value, Rows(text)
    if isinstance(node, yaml.ScalarNode):
        if node.value.strip() or parent.key is None:
            where = f"{'/'.join(map(str, rest))}"
            raise LetteringError("nothing can be added here.", where, "Write it in rows of its own.")
        at = rows.end(parent.key.end_mark.index)
        return Edit(
            at, _behind_pattern(text, at, rest[0]), _block(rest, value, parent.key.start_mark.column + STEP)
        )
    if node.flow_style:
        inner = _flow(rest, value)
        if node.value:
            at = _span(text, _entries(node)[-1].value)[1]
            return Edit(at, at, f", {inner}")
        return Edit(node.start_mark.index + 1, node.start_mark.index + 1, inner)
    at = rows.end(rows.last(node))
    ended = "" if text[at - 1 : at] == "\n" else "\n"
    return Edit(at, at, ended + _block(rest, value, node.start_mark.column))


def _behind_pattern(text: str, at: int, name: str | int) -> int:
    """Return where to go on behind the commented pattern of what is added, when it stands at `at`."""
    row = text[at : Rows(text).end(at)]
    return at + len(row) if row.strip().startswith(f"# {name}: {{box: [x,") else at


def _block(rest: Place, value: str, indent: int) -> str:
    name, inner, pad = rest[0], rest[1:], " " * indent
    if isinstance(name, int):
        return f"{pad}- {_flow(inner, value) if inner else value}\n"
    if inner:
        return f"{pad}{words_in_yaml(name)}:\n" + _block(inner, value, indent + STEP)
    return f"{pad}{words_in_yaml(name)}: {value}\n"


def _flow(rest: Place, value: str) -> str:
    name, inner = rest[0], rest[1:]
    deeper = (
        value
        if not inner
        else f"[{_flow(inner, value)}]"
        if isinstance(inner[0], int)
        else f"{{{_flow(inner, value)}}}"
    )
    return deeper if isinstance(name, int) else f"{words_in_yaml(name, in_braces=True)}: {deeper}"
