"""Which drawing of a character is which take: a name that once meant a drawing never means another."""

from collections.abc import Sequence
from itertools import count

from lettering.hand.incoming import Letter
from lettering.hand.likeness import by_typicality
from lettering.hand.look import Look
from lettering.hand.names import take_number


def numbered(kept: Sequence[Letter], look: Look, every: Sequence[Letter]) -> dict[int, Letter]:
    """Return the letters of one character that are kept by take number, from 1.

    Names stay; the most typical is first where the first is new or gone. `every`: all letters of the
    character; the number of one that is no longer kept is left free.
    """
    known = {take_number(letter.name): letter for letter in kept if letter.name}
    fresh = [letter for letter in kept if letter.name is None]
    ranked = by_typicality(look.apart([letter.drawn for letter in kept]))
    fresh.sort(key=lambda letter: ranked.index(kept.index(letter)))
    if 1 not in known and known:
        first = kept[ranked[0]]
        known = {number: letter for number, letter in known.items() if letter is not first}
        fresh = [letter for letter in fresh if letter is not first]
        known[1] = first
    used = {take_number(letter.name) for letter in every if letter.name} - {1}
    free = (number for number in count(1) if number not in known.keys() | used)
    return known | dict(zip(free, fresh, strict=False))
