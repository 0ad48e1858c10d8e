"""What a spread still lacks before it can be lettered, and what is read from disk to letter it."""

from collections.abc import Iterator, Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lettering.book.book import Book, Spread
from lettering.hand.hands import Hands
from lettering.setting.stand_ins import missing
from lettering.setting.words import shown
from lettering.steps.place import art_detail

Detail = NDArray[np.float64] | None
"""How busy art is, as placing wants it; none without art."""


def lacking(
    book: Book, spread: Spread, hands: Hands | None, troubles: Mapping[str, str], base: Path
) -> Iterator[str]:
    """Yield in sentences what a spread of `book` lacks before it can be lettered.

    `troubles` tells why a hand is not there, by its glyph set as the book file names it.
    """
    if spread.art is not None and not (base / spread.art).is_file():
        yield f"The art is not there: {spread.art}."
    for number, line in enumerate(spread.lines, 1):
        if line.off is None:
            for who in line.who:
                count = len(spread.figures_of(who))
                if count < max(line.figure, 1):
                    yield f"Line {number}: {who} speaks and has no figure here."
    if hands is None:
        yield troubles[book.hand]
        return
    named = dict.fromkeys(map(book.hand_of, spread.lines))
    yield from (troubles[path] for path in named if path in troubles)
    for path in (path for path in named if path not in troubles):
        own = [line for line in spread.lines if book.hand_of(line) == path]
        hand = hands.of(own[0])
        if chars := missing("".join(shown(line.says) for line in own), hand):
            yield f"The hand {hand.name} has no {' '.join(chars)}."


def busy(book: Book, spread: Spread, base: Path, known: dict[str, Detail]) -> Detail:
    """Return how busy the art of a spread is, noting it in `known` for as long as the file is as it was."""
    if spread.art is None:
        return None
    path = base / spread.art
    key = f"{spread.art} {path.stat().st_mtime_ns} {book.page} {len(spread.pages)}"
    if key not in known:
        known[key] = art_detail(book, spread, base)
    return known[key]
