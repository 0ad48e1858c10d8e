"""Whether the book says what the manuscript says: every line once, in order, by the same speaker."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from lettering.book.book import Book, pages_label
from lettering.book.manuscript import Manuscript, key_of
from lettering.checks.catalogue import finding
from lettering.checks.finding import Finding
from lettering.setting.words import shown

LIKE = 0.5
"""Share of their letters that two wordings have in common, in order, to be one line edited."""

SLIP = 1
"""Letters by which a word may be off to look like a slip of the pen."""

_PLAIN = str.maketrans({"’": "'", "‘": "'", "“": '"', "”": '"', "\u00a0": " ", "\u200b": None})


@dataclass(frozen=True, slots=True)
class Said:
    """A line as far as the two texts can be compared."""

    where: str
    who: tuple[str, ...]
    words: str
    """Without emphasis, breaks and curls of quotation marks."""


def check_manuscript(book: Book, manuscript: Manuscript) -> Iterator[Finding]:
    """Yield where the words, speakers and order of the book are not those of the manuscript."""
    written, lettered = _written(book, manuscript), _lettered(book)
    pairs, missing, added = _matched(written, lettered)
    for text, line in pairs:
        yield from _compared(text, line)
    elsewhere = {line.words: line for line in added}
    for text in missing:
        if text.words in elsewhere:
            line = elsewhere.pop(text.words)
            message = f"'{text.words}' stands elsewhere in the manuscript: {text.where}."
            yield finding("manuscript-order", line.where, message, 1, 0)
        else:
            yield finding("manuscript-missing", text.where, f"'{text.words}' is not in the book.", 0, 1)
    for line in elsewhere.values():
        yield finding("manuscript-added", line.where, f"'{line.words}' is not in the manuscript.", 1, 0)


def _lettered(book: Book) -> list[Said]:
    return [
        Said(f"{spread.label}, line {number}", line.who, _bare(shown(line.says)))
        for spread in book.spreads
        for number, line in enumerate(spread.lines, 1)
    ]


def _written(book: Book, manuscript: Manuscript) -> list[Said]:
    keys = {key_of(one.name): one.key for one in book.cast}
    return [
        Said(pages_label(spread.pages), _keys(line.who, keys), _bare(shown(line.says)))
        for spread in manuscript.spreads
        for line in spread.lines
    ]


def _keys(names: Sequence[str], keys: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(keys.get(key_of(name), key_of(name)) for name in names)


def _bare(text: str) -> str:
    return re.sub(r"\s+", " ", text.translate(_PLAIN)).strip()


def _matched(
    written: Sequence[Said], lettered: Sequence[Said]
) -> tuple[list[tuple[Said, Said]], list[Said], list[Said]]:
    """Return lines that answer to each other, then those that only the manuscript or only the book has."""
    wanted, given = ([line.words for line in side] for side in (written, lettered))
    pairs, missing, added = [], [], []
    for _, i0, i1, j0, j1 in SequenceMatcher(None, wanted, given, autojunk=False).get_opcodes():
        left = list(lettered[j0:j1])
        for text in written[i0:i1]:
            best = max(left, key=lambda line: _likeness(text, line), default=None)
            if best is not None and _likeness(text, best) >= LIKE:
                # What was passed over cannot answer to a later line: the order would be wrong.
                index = left.index(best)
                added += left[:index]
                left = left[index + 1 :]
                pairs.append((text, best))
            else:
                missing.append(text)
        added += left
    return pairs, missing, added


def _likeness(text: Said, line: Said) -> float:
    return SequenceMatcher(None, text.words.casefold(), line.words.casefold(), autojunk=False).ratio()


def _compared(text: Said, line: Said) -> Iterator[Finding]:
    if set(text.who) != set(line.who):
        written, lettered = (" and ".join(side.who) or "nobody" for side in (text, line))
        message = f"{lettered} says '{line.words}'; in the manuscript {written} does."
        yield finding("manuscript-speaker", line.where, message, len(set(text.who) ^ set(line.who)), 0)
    if text.words == line.words:
        return
    ours, theirs = line.words.split(), text.words.split()
    pairs = [(a, b) for a, b in zip(ours, theirs, strict=False) if a != b]
    if len(ours) == len(theirs) and all(edits(a, b) <= SLIP for a, b in pairs):
        off = ", ".join(f"'{a}' for '{b}'" for a, b in pairs)
        message = f"a letter off the manuscript: {off}."
        yield finding("manuscript-letter", line.where, message, len(pairs), 0)
    else:
        message = f"the book says '{line.words}'; the manuscript says '{text.words}'."
        yield finding("manuscript-words", line.where, message, edits(line.words, text.words), 0)


def edits(one: str, other: str) -> int:
    """Return the least number of letters to put in, leave out or change to make one text of the other.

    Levenshtein's distance (1966), by rows.
    """
    row = list(range(len(other) + 1))
    for i, a in enumerate(one, 1):
        before, row[0] = row[0], i
        for j, b in enumerate(other, 1):
            before, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, before + (a != b))
    return row[-1]
