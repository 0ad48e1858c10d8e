"""Faults of YAML in our words: what is wrong, where a person would mend it, and the row as it should be."""

import re
from typing import Any

import yaml

LONGEST_ROW = 4_000
"""Characters of a row that is still mended; 300 words have about 1,800."""

_ENTRY = re.compile(r"(?P<stem>\s*(?:-\s+)*[^\s'\"{}\[\]#:-][^'\"{}\[\]#:]*:\s+)(?P<words>\S.*)")
_ITEM = re.compile(r"(?P<stem>\s*-\s+)(?P<words>\S.*)")


class SyntaxFaultError(Exception):
    """The syntax is broken at `line`, `column` (from 0); `message` says how."""

    def __init__(self, at: tuple[int, int], message: str, hint: str | None = None) -> None:
        super().__init__(message)
        self.line, self.column = at
        self.message = message
        self.hint = hint


def place(mark: Any) -> tuple[int, int]:
    """Return the line and the column, from 0, of a mark, of which the library has two unrelated types."""
    return (mark.line, mark.column) if mark else (0, 0)


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


def explained(error: yaml.MarkedYAMLError) -> SyntaxFaultError:
    """Return the fault in our words, at the place where a person would mend it."""
    said = f"{error.context or ''} {error.problem or ''}"
    mark = error.problem_mark or error.context_mark
    if any(of in said for of in _BEGIN_EARLIER) and error.context_mark:
        mark = error.context_mark
    message = next((ours for theirs, ours in _REASONS if theirs in said), None)
    hint = "Indent with spaces." if "'\\t'" in said else "See the rows above for a missing quote or colon."
    return SyntaxFaultError(place(mark), message or f"this is no YAML: {error.problem}.", hint)


def mended_row(row: str, column: int) -> str | None:
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
