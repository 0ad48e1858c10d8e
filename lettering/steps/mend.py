"""Mend: a drawing that is two letters is split, two that are one are joined, and both are traced anew.

What was kept of the paper is all that is needed: the crop beside every take, and where it stood on its page.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from lettering.capture.letters.kept import joined, parted
from lettering.errors import HandError
from lettering.hand.edited import character, take_named
from lettering.hand.hand import Hand
from lettering.hand.mended import Shift, mended, room_for
from lettering.hand.names import UNNAMED
from lettering.hand.take import Source
from lettering.setting.stand_ins import clusters
from lettering.steps.retrace import every_take, seen_at, sourced

A_SPACE = 0.75
"""Ink so far from the next, in word spaces, ends a word."""


def split(hand: Hand, name: str, stroke: Sequence[Sequence[float]], chars: tuple[str, str]) -> Hand:
    """Return the hand with one drawing parted along `stroke`, px of its crop, into the letters `chars`.

    Both are traced anew from the kept crop and stand in the row where they stood. Of a run of letters that
    was set aside a part may still be several of them; it stays aside. Raises HandError when the stroke parts
    nothing, or when too little was kept.
    """
    take = take_named(hand, name)
    source = sourced(take)
    run = take.doubtful and "".join(chars) == take.char
    names = [char if run and len(clusters(char)) > 1 else character(char, name) for char in chars]
    seen = seen_at(hand, take)
    parts = parted(seen.ink(take), np.asarray(stroke, dtype=float))
    places = source.place, source.place + len(clusters(names[0]))
    fresh = [
        replace(
            seen.drawn(ink, char, replace(source, place=place)),
            doubt=take.aside if len(clusters(char)) > 1 else None,
        )
        for ink, char, place in zip(parts, names, places, strict=True)
    ]
    end = max(drawn.outline.bounds.x1 for drawn in fresh)
    return mended(hand, [name], fresh, room_for(take, 2) or _one_more(hand, source, end))


def join(hand: Hand, name: str, other: str, char: str) -> Hand:
    """Return the hand with two drawings of one row as one letter `char`, traced anew as one."""
    char = character(char, name)
    pair = take_named(hand, name), take_named(hand, other)
    first, second = sorted(pair, key=lambda take: sourced(take).place)
    source, behind = sourced(first), sourced(second)
    if name == other or (source.page, source.row) != (behind.page, behind.row):
        raise HandError("only two drawings of one row are one letter.", name)
    seen = seen_at(hand, first)
    named = [sourced(take) for take in (first, second) if take.char != UNNAMED]
    drawn = seen.drawn(joined(seen.ink(first), seen.ink(second)), char, (named or [source])[0])
    # Ink that the reading does not name has no place of its own to give up.
    steps = behind.place - source.place if len(named) == 2 else 0
    return mended(hand, [name, other], [drawn], Shift(source.page, source.row, behind.place, -steps))


def _one_more(hand: Hand, source: Source, end: float) -> Shift | None:
    """Return how the places of a row are counted when a letter more stands behind `source`, ending at `end`.

    Where the reading had a letter that was not found its place is free. It is not when a space or a letter
    stands there; all that follow are then one place farther on.
    """
    following = [
        (other.place, other.start + take.outline.bounds.x0)
        for take in every_take(hand)
        if (other := take.source) and (other.page, other.row) == (source.page, source.row)
        if other.place > source.place and other.start is not None and take.outline.contours
    ]
    if not following:
        return None
    place, begin = min(following)
    space = begin - end > A_SPACE * hand.metrics.word_space
    free = place - source.place - 1 - int(space)
    return None if free > 0 else Shift(source.page, source.row, source.place, 1)
