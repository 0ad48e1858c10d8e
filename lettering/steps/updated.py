"""A changed manuscript brought into its book file: only what changed is written, every other byte stays."""

import re
from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from lettering.book.book import Spread
from lettering.book.line import Line
from lettering.book.manuscript import Manuscript, ManuscriptSpread, Speech, key_of
from lettering.geometry.point import Point
from lettering.placing.former import FormerLine, FormerSpread, match, match_spreads
from lettering.storage.book_outline import BookOutline, LineOutline, SpreadOutline
from lettering.storage.book_text import (
    Edit,
    character_row,
    edited,
    key_for,
    line_rows,
    spread_rows,
    words_in_yaml,
)

Kind = Literal[
    "changed", "new", "gone", "moved", "voice", "pages", "new spread", "gone spread", "new speaker"
]

MANNERS = ("thought", "whisper", "shout")
"""Voices that a manuscript states; where it states none the illustrator may have chosen one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing in which a manuscript differs from the book file that was made of it."""

    kind: Kind
    where: str
    """'pages 4-5'; empty for a speaker."""
    before: str = ""
    """What the book file said."""
    after: str = ""
    """What it says now; of a voice, and of a spread that is gone, what the manuscript has.

    These two are left as they are in the book file, for the illustrator to decide.
    """

    @property
    def told(self) -> str:
        """The change as people read it."""
        where = f"{self.where}: " if self.where else ""
        if self.kind in ("changed", "pages"):
            return f"{where}{self.kind}: {self.before} → {self.after}"
        if self.kind == "voice":
            return f"{where}a {self.after} in the manuscript; the book file's voice stays: {self.before}"
        if self.kind == "gone spread":
            return f"{where}no longer in the manuscript; left in the book file with its art and figures"
        return f"{where}{self.kind} {self.after or self.before}".rstrip()


def updated(book: BookOutline, manuscript: Manuscript) -> tuple[str, tuple[Change, ...]]:
    """Return the text of the book file with the words of the manuscript, and what changed."""
    keys = _keys(book, manuscript)
    update = _Update(book, keys)
    found = match_spreads([_spread(s, keys) for s in manuscript.spreads], [_former(s) for s in book.spreads])
    by_pages = {spread.pages: spread for spread in book.spreads}
    pairs = [
        (spread, by_pages[was.pages] if was else None)
        for spread, was in zip(manuscript.spreads, found, strict=True)
    ]
    for spread, was in pairs:
        if was is not None:
            update.spread(spread, was)
    update.new_spreads(pairs)
    update.gone_spreads({was.pages for _, was in pairs if was is not None})
    update.cast(manuscript)
    return edited(book.text, update.edits), tuple(update.changes)


def _keys(book: BookOutline, manuscript: Manuscript) -> dict[str, str]:
    """Return by key of a speaker in the manuscript the key in the book, which may have been renamed there."""
    by_name = {key_of(name): key for key, name in book.cast.items()}
    return {key: key if key in book.cast else by_name.get(key, key) for key in manuscript.cast}


def _line(speech: Speech, keys: Mapping[str, str]) -> Line:
    who = tuple(keys[key_of(name)] for name in speech.who)
    return Line(who=who, says=_bare(speech.says), voice=speech.voice)


def _spread(spread: ManuscriptSpread, keys: Mapping[str, str]) -> Spread:
    return Spread(pages=spread.pages, lines=tuple(_line(line, keys) for line in spread.lines))


def _former(spread: SpreadOutline) -> FormerSpread:
    return FormerSpread(spread.pages, tuple(map(_former_line, spread.lines)))


def _former_line(line: LineOutline) -> FormerLine:
    who = () if line.key in ("caption", "sound") else tuple(name.strip() for name in line.key.split("+"))
    return FormerLine(who=who, says=_bare(line.says), rows=(), position=Point(0.0, 0.0), x_height_mm=0.0)


_SAME = str.maketrans({"\n": " ", "\u00a0": " ", "\u200b": "", "\u00ad": "", "*": "", "’": "'", "‘": "'"})
_SAME |= str.maketrans({"“": '"', "”": '"'})


def _bare(words: str) -> str:
    """Return words without what the illustrator may have done to them: breaks, emphasis, curled quotes."""
    return re.sub(r"\s+", " ", words.translate(_SAME)).strip()


class _Update:
    """The edits that bring one book file up to date, and what they change."""

    def __init__(self, book: BookOutline, keys: Mapping[str, str]) -> None:
        self.book = book
        self.keys = keys
        self.edits: list[Edit] = []
        self.changes: list[Change] = []

    def spread(self, spread: ManuscriptSpread, was: SpreadOutline) -> None:
        """Bring one spread up to date."""
        label = _label(spread.pages)
        if spread.pages != was.pages:
            self.edits.append(Edit(was.where.start, was.where.end, "-".join(map(str, spread.pages))))
            self.changes.append(Change(kind="pages", where=label, before=_label(was.pages), after=label))
        pairs = self._matched(spread, was)
        staying = _in_order([i for _, i in pairs if i is not None])
        following = was.lines_end
        inserted: list[Edit] = []
        for speech, index in reversed(pairs):
            line = was.lines[index] if index is not None else None
            if line is not None and index in staying:
                self.edits += self._reworded(speech, line)
                following = line.rows.start
            else:
                rows = self._rows(speech, line, was)
                inserted.append(Edit(following, following, rows))
        self.edits += reversed(self._headed(inserted, was))
        used = {index for _, index in pairs}
        for index, line in enumerate(was.lines):
            if index not in staying:
                self.edits.append(Edit(line.rows.start, line.rows.end, ""))
            if index not in used:
                self.changes.append(Change(kind="gone", where=label, before=_said(line.key, line.says)))
        self.changes += self._told(label, pairs, was, staying)

    def _matched(self, spread: ManuscriptSpread, was: SpreadOutline) -> list[tuple[Speech, int | None]]:
        former = [_former_line(line) for line in was.lines]
        found = match([_line(line, self.keys) for line in spread.lines], former)
        # Two lines may be equal; each former one answers once, so that identity tells them apart.
        index = {id(line): i for i, line in enumerate(former)}
        return [
            (speech, index[id(line)] if line is not None else None)
            for speech, line in zip(spread.lines, found, strict=True)
        ]

    def _reworded(self, speech: Speech, line: LineOutline) -> list[Edit]:
        if _bare(speech.says) == _bare(line.says):
            return []
        words = words_in_yaml(speech.says, in_braces=line.in_braces)
        return [Edit(line.words.start, line.words.end, words)]

    def _rows(self, speech: Speech, line: LineOutline | None, was: SpreadOutline) -> str:
        """Return the rows of a line that is new or has moved."""
        if line is None:
            return line_rows(self._keyed(speech), was.line_indent)
        rows, start = self.book.text[line.rows.start : line.rows.end], line.rows.start
        moved = [Edit(e.start - start, e.end - start, e.text) for e in self._reworded(speech, line)]
        return edited(rows, moved)

    def _headed(self, inserted: list[Edit], was: SpreadOutline) -> list[Edit]:
        """Return the insertions with the field `lines` before them on a spread that has none."""
        if not inserted or was.has_lines:
            return inserted
        *rest, first = inserted
        return [*rest, Edit(first.start, first.end, f"{' ' * was.indent}lines:\n{first.text}")]

    def _told(
        self,
        label: str,
        pairs: Sequence[tuple[Speech, int | None]],
        was: SpreadOutline,
        staying: frozenset[int],
    ) -> Iterator[Change]:
        for speech, index in pairs:
            now = _said(key_for(self._keyed(speech)), speech.says)
            if index is None:
                yield Change(kind="new", where=label, after=now)
                continue
            line = was.lines[index]
            before = _said(line.key, line.says)
            if _bare(speech.says) != _bare(line.says):
                yield Change(kind="changed", where=label, before=before, after=now)
            if speech.voice in MANNERS and speech.voice != line.voice:
                yield Change(kind="voice", where=label, before=before, after=speech.voice)
            if index not in staying:
                yield Change(kind="moved", where=label, before=before, after=now)

    def new_spreads(self, pairs: Sequence[tuple[ManuscriptSpread, SpreadOutline | None]]) -> None:
        """Add the spreads that the book file has not, each behind the one before it."""
        first = self.book.spreads[0]
        indent = first.indent
        at = self.book.text.rfind("\n", 0, first.where.start) + 1
        gone = [s for s in self.book.spreads if all(s is not was for _, was in pairs)]
        for spread, was in pairs:
            if was is not None:
                at = was.end
                continue
            at = max([at, *(s.end for s in gone if s.pages < spread.pages)])
            keyed = ManuscriptSpread(
                pages=spread.pages, lines=tuple(map(self._keyed, spread.lines)), notes=spread.notes
            )
            self.edits.append(Edit(at, at, spread_rows(keyed, indent)))
            self.changes.append(Change(kind="new spread", where=_label(spread.pages)))

    def gone_spreads(self, kept: set[tuple[int, ...]]) -> None:
        """Tell of spreads that the manuscript has no longer; their figures and art are not thrown away."""
        for spread in self.book.spreads:
            if spread.pages not in kept:
                self.changes.append(Change(kind="gone spread", where=_label(spread.pages)))

    def cast(self, manuscript: Manuscript) -> None:
        """Add the speakers that the book file has not."""
        new = {key: name for key, name in manuscript.cast.items() if self.keys[key] not in self.book.cast}
        if not new:
            return
        rows = "".join(character_row(key, name, self.book.cast_indent) for key, name in new.items())
        at = self.book.cast_end
        if at is None:
            at, rows = self.book.spreads_start, f"cast:\n{rows}"
        self.edits.append(Edit(at, at, rows))
        self.changes += [Change(kind="new speaker", where="", after=name) for name in new.values()]

    def _keyed(self, speech: Speech) -> Speech:
        """Return the speech with its speakers called as in the book file."""
        who = tuple(self.keys[key_of(name)] for name in speech.who)
        return Speech(who=who, says=speech.says, voice=speech.voice, notes=speech.notes)


def _in_order(indices: Sequence[int]) -> frozenset[int]:
    """Return a longest increasing run among `indices`: the lines that need not move."""
    ends: list[int] = []
    chains: list[tuple[int, ...]] = []
    for index in indices:
        at = bisect_left(ends, index)
        chain = (*(chains[at - 1] if at else ()), index)
        ends[at:], chains[at:] = [index, *ends[at + 1 :]], [chain, *chains[at + 1 :]]
    return frozenset(chains[-1]) if chains else frozenset()


def _label(pages: Sequence[int]) -> str:
    return ("pages " if len(pages) > 1 else "page ") + "-".join(map(str, pages))


def _said(key: str, says: str) -> str:
    return f"{key}: {says}"
