"""Letters that a page's reading was not sure of: kept aside, and taken when she says so."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from lettering.errors import HandError
from lettering.hand.aside import called_back
from lettering.hand.edited import without_take
from lettering.hand.gathered import hand_from
from lettering.hand.hand import Hand
from lettering.hand.names import UNNAMED
from lettering.hand.take import Drawn, Take
from tests.hand.drawn_rows import UNITS_PER_PX, WORDS, drawn_rows
from tests.hand.test_edited import drawn

WHY = "could be another letter"
PLACE = (0, 5)
"""Row and place of the l of `old`."""
GRID = 0.1001
"""Outlines that are laid on the grid once more may be a tenth of a font unit off."""


def doubted(rows: Sequence[Drawn], char: str | None = None) -> list[Drawn]:
    """Return letters of which the one at the place is in doubt, and perhaps taken for another."""
    return [
        replace(one, doubt=WHY, char=char or one.char) if (one.row, one.place) == PLACE else one
        for one in rows
    ]


def sure(rows: Sequence[Drawn]) -> list[Drawn]:
    """Return the letters without the one at the place."""
    return [one for one in rows if (one.row, one.place) != PLACE]


def made(letters: Sequence[Drawn], previous: Hand | None = None) -> Hand:
    """Return the hand that letters make."""
    return hand_from(letters, name="hers", mm_per_unit=0.008, previous=previous)


def lettered() -> list[Drawn]:
    """Return the letters of a page of known scale."""
    rows = drawn_rows("patrick-hand")
    return [replace(one, source=replace(one.source, units_per_px=UNITS_PER_PX)) for one in rows]


def after(one: Drawn) -> bool:
    """Tell whether a letter stands in the same row behind the place."""
    return one.row == PLACE[0] and one.place > PLACE[1]


def moved(one: Drawn, by: int) -> Drawn:
    """Return a letter so many places farther on in its row."""
    place = one.place + by
    return replace(one, place=place, source=replace(one.source, place=place))


def edges(take: Take) -> tuple[float, ...]:
    """Return the edges of a take's ink, font units."""
    box = take.outline.bounds
    return (box.x0, box.y0, box.x1, box.y1)


def standing(hand: Hand) -> Take:
    """Return the take at the place."""
    takes = (take for group in hand.takes.values() for take in group)
    return next(t for t in takes if t.source and (t.source.row, t.source.place) == PLACE)


def test_a_letter_in_doubt_is_kept_aside_and_teaches_nothing() -> None:
    """But for the drawing aside, with the reason, the hand is the one of the letters that are sure."""
    rows = lettered()
    hand = made(doubted(rows))
    (odd,) = hand.aside["l"]

    assert replace(hand, aside={}) == made(sure(rows))
    assert made(doubted(rows), previous=hand) == hand
    assert (odd.name, odd.aside, odd.doubtful) == ("l.aside1", WHY, True)
    assert odd.picture == rows[0].picture


@pytest.mark.parametrize("name", [None, "l"], ids=["as it is read", "under another name"])
def test_a_letter_in_doubt_that_is_used_is_a_take_as_if_it_had_been_sure(name: str | None) -> None:
    """Its outline, room, place and word are those of the hand in which it was never in doubt."""
    rows = lettered()
    right = made(rows)
    hand = called_back(made(doubted(rows, "o" if name else None)), "o.aside1" if name else "l.aside1", name)
    was, now = standing(right), standing(hand)

    assert hand.aside == {}
    assert (now.char, now.source) == ("l", was.source)
    assert now.advance == pytest.approx(was.advance, abs=GRID)
    assert edges(now) == pytest.approx(edges(was), abs=GRID)
    assert drawn(hand, "old") == [pytest.approx(word, abs=2 * GRID) for word in drawn(right, "old")]


def test_a_letter_that_was_used_stays_one_when_its_page_is_gathered_again() -> None:
    """What she said of it holds, though the reading is still not sure."""
    rows = doubted(lettered())
    hand = made(rows, previous=called_back(made(rows), "l.aside1"))

    assert hand.aside == {}
    assert standing(hand).called_back


def test_ink_that_is_not_named_wants_a_name_and_a_place_of_its_own() -> None:
    """Without a name it is refused; with one the letters behind it in its row stand a place farther on."""
    rows = lettered()
    hand = made([moved(one, -1) if after(one) else one for one in doubted(rows, UNNAMED)])
    with pytest.raises(HandError, match="the reading does not say"):
        called_back(hand, "uniFFFD.aside1")
    named = called_back(hand, "uniFFFD.aside1", "l")

    assert "od" in hand.words
    assert "old" in named.words
    places = {t.source.place for g in named.takes.values() for t in g if t.source and t.source.row == 0}
    assert places == {i for i, char in enumerate(WORDS[0]) if char != " "}


def test_letters_that_run_together_are_no_letter() -> None:
    """A run must be split before it is used; dropped it is gone."""
    rows = lettered()
    hand = made(doubted(rows, "ld"))
    with pytest.raises(HandError, match="one character"):
        called_back(hand, "l_d.aside1")

    assert without_take(hand, "l_d.aside1").aside == {}
