"""Two glyph sets of one person made one."""

from dataclasses import replace

from lettering.hand.gathered import gathering
from lettering.hand.hand import Hand
from lettering.hand.incoming import drawn_of


def merged(first: Hand, second: Hand) -> Hand:
    """Return `first` with the takes and words of `second`; takes of `first` keep their names.

    Pages that both know are one page. A page of the same name that says something else is told apart by the
    name of its hand.
    """
    known: dict[str, set[tuple[str, int, int]]] = {}
    for letter in drawn_of(first):
        known.setdefault(letter.source.page, set()).add((letter.char, letter.row, letter.place))
    fresh = []
    for letter in drawn_of(second):
        page = letter.source.page
        if (letter.char, letter.row, letter.place) in known.get(page, ()):
            continue
        told_apart = f"{second.name}: {page}" if page in known else page
        fresh.append(replace(letter, source=replace(letter.source, page=told_apart)))
    return gathering(fresh, name=first.name, mm_per_unit=second.mm_per_unit, previous=first).hand
