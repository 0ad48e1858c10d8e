"""What a spread still lacks before it can be lettered, and what is read from disk to letter it."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lettering.book.book import Book, Spread
from lettering.errors import LetteringError
from lettering.hand.hand import Hand
from lettering.setting.stand_ins import missing
from lettering.setting.words import shown
from lettering.steps.place import art_detail
from lettering.storage.ufo import read_hand

Detail = NDArray[np.float64] | None
"""How busy art is, as placing wants it; none without art."""


def hand_at(path: Path) -> tuple[Hand | None, str]:
    """Return the hand at `path`, or in a sentence why there is none."""
    if not path.exists():
        return None, "The book has no hand yet: gather a lettered page."
    try:
        return read_hand(path), ""
    except LetteringError as error:
        return None, f"The hand cannot be read: {error}"


def lacking(spread: Spread, hand: Hand | None, trouble: str, base: Path) -> Iterator[str]:
    """Yield in sentences what a spread lacks before it can be lettered."""
    if spread.art is not None and not (base / spread.art).is_file():
        yield f"The art is not there: {spread.art}."
    for number, line in enumerate(spread.lines, 1):
        if line.off is None:
            for who in line.who:
                count = len(spread.figures_of(who))
                if count < max(line.figure, 1):
                    yield f"Line {number}: {who} speaks and has no figure here."
    if hand is None:
        yield trouble
        return
    if chars := missing("".join(shown(line.says) for line in spread.lines), hand):
        yield f"The hand has no {' '.join(chars)}."


def busy(book: Book, spread: Spread, base: Path, known: dict[str, Detail]) -> Detail:
    """Return how busy the art of a spread is, noting it in `known` for as long as the file is as it was."""
    if spread.art is None:
        return None
    path = base / spread.art
    key = f"{spread.art} {path.stat().st_mtime_ns} {book.page} {len(spread.pages)}"
    if key not in known:
        known[key] = art_detail(book, spread, base)
    return known[key]
