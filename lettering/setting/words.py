"""The words of a line as typed, and as shown: emphasis between asterisks.

A small part of CommonMark 0.31: a run of asterisks opens when it is left-flanking, closes when it is
right-flanking, and `\\*` is an asterisk. A run of any length is one mark and all mean the same emphasis; a
mark that finds no partner is shown as typed.
"""

import re
import unicodedata
from dataclasses import dataclass

_KEEPING = "\u00a0\u202f"
"""Spaces that keep words together, the second one narrow."""
_BLANKS = re.compile(r"[^\S\n]+")
_UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn")
_MARK = re.compile(r"\\([*\\])|(\*+)")


@dataclass(frozen=True, slots=True)
class Span:
    """Words that are said alike."""

    text: str
    strong: bool = False
    """Whether they are emphasised."""


def spans(says: str) -> tuple[Span, ...]:
    """Return the words of `says` tidied, cut where emphasis begins and ends.

    Tidied means: NFC; characters that draw nothing dropped, soft hyphens among them; a run of blanks is one
    space, or one that keeps words together when such a one is in it; none at the ends of a row. A line feed
    and U+200B are kept, for they steer the breaking.
    """
    cut: list[Span] = []
    for text, strong in _marked(_tidy(says)):
        if cut and cut[-1].strong == strong:
            cut[-1] = Span(cut[-1].text + text, strong)
        elif text:
            cut.append(Span(text, strong))
    return tuple(cut)


def shown(says: str) -> str:
    """Return the words as they are read, without emphasis marks."""
    return "".join(span.text for span in spans(says))


def _tidy(says: str) -> str:
    text = unicodedata.normalize("NFC", "\n".join(says.splitlines()).replace("\t", " "))
    drawn = "".join(char for char in text if char in "\n\u200b" or unicodedata.category(char) not in _UNSEEN)
    rows = (_BLANKS.sub(_blank, row).strip(_KEEPING + " \u200b") for row in drawn.split("\n"))
    return "\n".join(row for row in rows if row)


def _blank(run: "re.Match[str]") -> str:
    """Return the one blank that a run of blanks amounts to."""
    return next((char for char in run[0] if char in _KEEPING), " ")


def _marked(text: str) -> list[tuple[str, bool]]:
    """Return pieces of `text` with their emphasis; marks are pieces only where they are shown as typed."""
    pieces: list[tuple[str, bool]] = []
    opened: list[int] = []
    end = 0
    for mark in _MARK.finditer(text):
        pieces.append((text[end : mark.start()], False))
        end = mark.end()
        if mark[1]:
            pieces.append((mark[1], False))
        elif opened and _flanks(text, mark, left=False):
            opener = opened.pop()
            pieces[opener:] = [(piece, True) for piece, _ in pieces[opener + 1 :]]
        else:
            if _flanks(text, mark, left=True):
                opened.append(len(pieces))
            pieces.append((mark[2], False))
    return [*pieces, (text[end:], False)]


def _flanks(text: str, mark: "re.Match[str]", *, left: bool) -> bool:
    """Tell whether a run of asterisks is left-flanking (or right-flanking), as CommonMark defines it."""
    before = text[mark.start() - 1] if mark.start() else " "
    after = text[mark.end()] if mark.end() < len(text) else " "
    inner, outer = (after, before) if left else (before, after)
    if inner.isspace():
        return False
    return not _punctuates(inner) or outer.isspace() or _punctuates(outer)


def _punctuates(char: str) -> bool:
    return unicodedata.category(char)[0] in "PS"
