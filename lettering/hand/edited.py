"""A hand changed by its owner: takes dropped, preferred, named anew, given more room or less."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import count
from unicodedata import category, normalize

from lettering.errors import HandError
from lettering.geometry.affine import Affine
from lettering.geometry.point import Vector
from lettering.hand.grid import on_grid
from lettering.hand.hand import Hand, Word
from lettering.hand.names import aside_name, take_name
from lettering.hand.take import Take

MOST_POINTS = 4
"""Code points of one character: a letter with three marks."""


def changed_letters(before: Hand, after: Hand) -> frozenset[str] | None:
    """Return the characters that are drawn or spaced otherwise; none where any words may look otherwise."""
    if (before.metrics, before.takes.keys()) != (after.metrics, after.takes.keys()):
        return None
    drawn = {char for char, takes in before.takes.items() if takes != after.takes[char]}
    spaced = {pair for pair, _ in before.kerning.items() ^ after.kerning.items()}
    lettered = {text for text in before.words.keys() | after.words.keys() if _differ(text, before, after)}
    return frozenset(drawn | {part[0] for part in spaced | lettered if not drawn & set(part)})


def _differ(text: str, before: Hand, after: Hand) -> bool:
    return before.words.get(text) != after.words.get(text)


def take_named(hand: Hand, name: str) -> Take:
    """Return a drawing by its glyph name, one that was set aside too; raises HandError for none."""
    for group in (*hand.takes.values(), *hand.aside.values()):
        for take in group:
            if take.name == name:
                return take
    raise HandError("the hand has no such take any more.", name)


def character(char: str, where: str = "") -> str:
    """Return the one character that was typed, NFC; raises HandError when it is none, or several."""
    clean = normalize("NFC", char.strip())
    marks = all(category(part).startswith("M") for part in clean[1:])
    if not clean or len(clean) > MOST_POINTS or not marks:
        raise HandError("a take draws one character.", where or None, "Type the character that it is.")
    return clean


def free_name(char: str, group: Sequence[Take]) -> str:
    """Return the first name that no take of a character has."""
    used = {take.name for take in group}
    return next(name for number in count(1) if (name := take_name(char, number)) not in used)


def without_take(hand: Hand, name: str) -> Hand:
    """Return the hand without one drawing; raises HandError when it is the last of all."""
    take = take_named(hand, name)
    if take.aside:
        return without_aside(hand, take)
    return with_takes(hand, {take.char: tuple(t for t in hand.takes[take.char] if t is not take)})


def without_aside(hand: Hand, take: Take) -> Hand:
    """Return the hand without a drawing that was set aside; the others of its character move up."""
    left = [one for one in hand.aside[take.char] if one is not take]
    named = tuple(replace(one, name=aside_name(take.char, k)) for k, one in enumerate(left, start=1))
    every = {**hand.aside, take.char: named}
    return replace(hand, aside={char: takes for char, takes in every.items() if takes})


def preferred(hand: Hand, name: str) -> Hand:
    """Return the hand with a take as the usual one of its character: it changes names with the first."""
    take = take_named(hand, name)
    first, *others = hand.takes[take.char]
    if take is first:
        return hand
    swapped = {take.name: first.name, first.name: take.name}
    takes = [replace(take, name=first.name)]
    takes += [replace(first, name=take.name) if one is take else one for one in others]
    return replace(
        hand, takes={**hand.takes, take.char: tuple(takes)}, words=_words_renamed(hand.words, swapped)
    )


def renamed(hand: Hand, name: str, char: str) -> Hand:
    """Return the hand with a take told to be of another character; raises HandError when that is none."""
    char = character(char, name)
    take = take_named(hand, name)
    if char == take.char:
        return hand
    have = hand.takes.get(char, ())
    moved = replace(take, name=free_name(char, have), char=char, called_back=True)
    left = tuple(one for one in hand.takes[take.char] if one is not take)
    return with_takes(hand, {take.char: left, char: (*have, moved)})


def with_sides(hand: Hand, name: str, left: float, right: float) -> Hand:
    """Return the hand with so many font units more room on the left and right of a take; less when negative.

    Words lettered as a whole stand as they stood. Raises HandError when the take would have no advance left.
    Gathering another page learns all sides anew.
    """
    take = take_named(hand, name)
    left = on_grid(left)
    advance = on_grid(take.advance + left + right)
    if advance <= 0:
        raise HandError("the sides of this take would meet.", name, "Pull them apart.")
    source = take.source
    if source and source.start is not None:
        source = replace(source, start=on_grid(source.start - left))
    outline = take.outline.transformed(Affine.translation(Vector(left, 0.0)))
    wider = replace(take, outline=outline, advance=advance, source=source)
    group = tuple(wider if one is take else one for one in hand.takes[take.char])
    words = {
        text: tuple(_started(word, name, left) if name in word.takes else word for word in words)
        for text, words in hand.words.items()
    }
    return replace(hand, takes={**hand.takes, take.char: group}, words=words)


def with_takes(hand: Hand, changed: Mapping[str, tuple[Take, ...]]) -> Hand:
    """Return the hand with other takes of some characters; words that used a take that is gone go too.

    A character whose usual take is gone gets another: the next takes its name. Raises HandError when no take
    is left.
    """
    given = {char: group for char, group in {**hand.takes, **changed}.items() if group}
    if not given:
        raise HandError("a hand without a take is none.", hint="Gather another page first.")
    takes = {char: _first_named(char, group) for char, group in sorted(given.items())}
    left = {one.name for group in given.values() for one in group}
    gone = {one.name for group in hand.takes.values() for one in group} - left
    named = {
        was.name: now.name
        for char in changed
        for was, now in zip(_usual_first(char, given.get(char, ())), takes.get(char, ()), strict=True)
        if was.name != now.name
    }
    kept = {
        text: whole
        for text, group in hand.words.items()
        if (whole := tuple(word for word in group if not gone & set(word.takes)))
    }
    kerning = {pair: by for pair, by in hand.kerning.items() if pair[0] in takes and pair[1] in takes}
    return replace(hand, takes=takes, words=_words_renamed(kept, named), kerning=kerning)


def _usual_first(char: str, group: Sequence[Take]) -> tuple[Take, ...]:
    return tuple(sorted(group, key=lambda take: take.name != take_name(char, 1)))


def _first_named(char: str, group: Sequence[Take]) -> tuple[Take, ...]:
    """Return takes of which the first has the usual name."""
    first, *others = _usual_first(char, group)
    return (replace(first, name=take_name(char, 1)), *others)


def _words_renamed(
    words: Mapping[str, tuple[Word, ...]], names: Mapping[str, str]
) -> dict[str, tuple[Word, ...]]:
    return {
        text: tuple(replace(word, takes=tuple(names.get(n, n) for n in word.takes)) for word in group)
        for text, group in words.items()
    }


def _started(word: Word, name: str, left: float) -> Word:
    """Return a word in which the named take's own x = 0 lies so much farther to the left."""
    moved = [s - left if n == name else s for n, s in zip(word.takes, word.starts, strict=True)]
    return replace(word, starts=tuple(on_grid(start - moved[0]) for start in moved))
