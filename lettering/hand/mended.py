"""Drawings replaced by others of the same ink: a take that was two letters, or two that were one."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lettering.hand.edited import free_name, take_named, with_takes, without_take
from lettering.hand.gathered import gathering
from lettering.hand.grid import on_grid
from lettering.hand.hand import Hand, Word
from lettering.hand.names import UNNAMED, aside_name
from lettering.hand.take import Drawn, Take


@dataclass(frozen=True, slots=True)
class Shift:
    """Places of a row that are counted anew, for it has more letters than its reading said, or fewer."""

    page: str
    row: int
    after: int
    """Places beyond this one are …"""
    by: int
    """… so many places farther on."""


def room_for(take: Take, letters: int) -> Shift | None:
    """Return how a row is counted once ink is so many letters of it; none for ink that the reading names."""
    if take.char != UNNAMED or take.source is None:
        return None
    return Shift(take.source.page, take.source.row, take.source.place - 1, letters)


def mended(hand: Hand, gone: Sequence[str], fresh: Sequence[Drawn], shift: Shift | None = None) -> Hand:
    """Return the hand with the drawings named `gone` replaced by `fresh` ones; all others stay as they are.

    `fresh` stand in the coordinates of their row, beside the takes that are left. They get the room that all
    of the hand's rows teach, and the words that they now complete are known; those in doubt are set aside. Of
    other takes only the place in their row changes, by `shift`.
    """
    counted = _counted(hand, shift) if shift else hand
    added, names = _with_fresh(counted, fresh)
    left = added
    for name in sorted(gone, reverse=True):  # the higher number first: what stands aside moves up
        left = without_take(left, _now(added, left, name))
    named = [_now(added, left, name) for name in names]
    learnt = gathering([], name=hand.name, mm_per_unit=None, previous=left).hand
    takes = _as_they_were(left, learnt, set(named))
    kerning = dict(left.kerning) | {
        pair: by for pair, by in learnt.kerning.items() if not set(pair) <= hand.takes.keys()
    }
    return replace(left, takes=takes, words=_words(learnt, takes), kerning=dict(sorted(kerning.items())))


def _with_fresh(hand: Hand, fresh: Sequence[Drawn]) -> tuple[Hand, list[str]]:
    """Return the hand with drawings as takes in the coordinates of their rows, and the takes' names."""
    names = []
    for drawn in fresh:
        if drawn.doubt is None:
            have = hand.takes.get(drawn.char, ())
            take = replace(_take(drawn, free_name(drawn.char, have)), called_back=True)
            hand = with_takes(hand, {drawn.char: (*have, take)})
            names.append(take.name)
        else:
            odd = hand.aside.get(drawn.char, ())
            take = _take(drawn, aside_name(drawn.char, len(odd) + 1))
            take = replace(take, aside=drawn.doubt, doubtful=True)
            hand = replace(hand, aside=dict(sorted({**hand.aside, drawn.char: (*odd, take)}.items())))
    return hand, names


def _take(drawn: Drawn, name: str) -> Take:
    known = drawn.source.start is not None
    return Take(
        name=name,
        char=drawn.char,
        outline=drawn.outline,
        advance=on_grid(drawn.outline.bounds.width),
        source=replace(drawn.source, start=0.0 if known else None),
        picture=drawn.picture,
        as_drawn=drawn.as_drawn,
    )


def _now(before: Hand, after: Hand, name: str) -> str:
    """Return what a drawing is called after others have gone."""
    outline = take_named(before, name).outline
    every = (take for group in (*after.takes.values(), *after.aside.values()) for take in group)
    return next(take.name for take in every if take.outline is outline)


def _as_they_were(left: Hand, learnt: Hand, names: set[str]) -> dict[str, tuple[Take, ...]]:
    """Return the takes of `left`, those named with the room that was learnt for them."""
    found = {take.name: take for group in learnt.takes.values() for take in group}
    return {
        char: tuple(found.get(take.name, take) if take.name in names else take for take in group)
        for char, group in left.takes.items()
    }


def _words(learnt: Hand, takes: Mapping[str, Sequence[Take]]) -> dict[str, tuple[Word, ...]]:
    """Return the words that were learnt, their letters where these takes stood in their rows."""
    starts = {
        take.name: take.source.start
        for group in takes.values()
        for take in group
        if take.source and take.source.start is not None
    }
    words = {
        text: tuple(
            replace(word, starts=tuple(on_grid(starts[n] - starts[word.takes[0]]) for n in word.takes))
            for word in group
            if starts.keys() >= set(word.takes)
        )
        for text, group in learnt.words.items()
    }
    return {text: group for text, group in words.items() if group}


def _counted(hand: Hand, shift: Shift) -> Hand:
    """Return the hand with the places of a row counted anew."""

    def take(one: Take) -> Take:
        source = one.source
        if source is None or (source.page, source.row) != (shift.page, shift.row):
            return one
        beyond = source.place > shift.after
        return replace(one, source=replace(source, place=source.place + shift.by)) if beyond else one

    return replace(
        hand,
        takes={char: tuple(map(take, group)) for char, group in hand.takes.items()},
        aside={char: tuple(map(take, group)) for char, group in hand.aside.items()},
    )
