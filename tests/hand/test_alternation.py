"""Which take comes next."""

from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from lettering.hand.alternation import WINDOW, choose_takes
from lettering.hand.hand import Hand
from tests.typeface_hand import typeface_hand


def hand_with(takes: int) -> Hand:
    """Return a hand with so many takes of each character."""
    hand = typeface_hand("patrick-hand")
    numbered = {
        char: tuple(replace(group[0], name=f"{group[0].name}.take{n}") for n in range(1, takes + 1))
        for char, group in hand.takes.items()
    }
    return replace(hand, takes=numbered)


def names(text: str, hand: Hand, seed: str = "wren") -> list[str | None]:
    """Return the names of the takes chosen."""
    return [take and take.name for take in choose_takes(text, hand, seed)]


@given(st.text("aeol tw", max_size=60), st.integers(2, 5))
def test_a_take_comes_back_only_when_the_others_are_used_up(text: str, count: int) -> None:
    """Within the window a take repeats only where the character occurs more often than it has takes."""
    chosen = names(text, hand_with(count))
    for i, name in enumerate(chosen):
        window = chosen[max(0, i - WINDOW) : i]
        if name is not None and name in window:
            assert len({other for other in window if other and other[0] == name[0]}) == count


@given(st.text("ab ", max_size=40))
def test_equal_neighbours_differ_with_two_takes(text: str) -> None:
    """Double letters are never the same drawing."""
    chosen = names(text, hand_with(2))

    assert all(a is None or a != b for a, b in pairwise(chosen))


def test_the_same_words_get_the_same_takes_everywhere() -> None:
    """The choice is a fixed function of the words: these names are what it gave when it was written."""
    once = names("a little kettle", hand_with(3))

    assert once == names("a little kettle", hand_with(3))
    assert once != names("a little kettle", hand_with(3), seed="toad")


def test_words_before_a_change_keep_their_takes() -> None:
    """Adding words at the end leaves the takes before them alone."""
    hand = hand_with(4)

    assert names("the old toad", hand) == names("the old toad sat down", hand)[:12]


def test_white_space_and_lacking_characters_have_no_take() -> None:
    """The answer is as long as the text, with nothing where nothing is drawn."""
    assert [take is None for take in choose_takes("a  ☃\nb", hand_with(2), "")] == [False, *[True] * 4, False]
