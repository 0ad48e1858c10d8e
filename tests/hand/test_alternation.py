"""Which take comes next."""

from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from lettering.hand.alternation import WINDOW, choose, choose_takes
from lettering.hand.hand import Hand, Word
from tests.typeface_hand import typeface_hand


def hand_with(takes: int) -> Hand:
    """Return a hand with so many takes of each character."""
    hand = typeface_hand("patrick-hand")
    numbered = {
        char: tuple(replace(group[0], name=f"{group[0].name}.take{n}") for n in range(1, takes + 1))
        for char, group in hand.takes.items()
    }
    return replace(hand, takes=numbered)


def names(text: str, hand: Hand) -> list[str | None]:
    """Return the names of the takes chosen."""
    return [take and take.name for take in choose_takes(text, hand)]


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
    assert once[:4] == [
        "a.take1",
        None,
        "l.take2",
        "i.take3",
    ]  # code points 0 + 32, 32 + 105, 108 + 116 by eights


def test_words_before_a_change_keep_their_takes() -> None:
    """Adding words at the end leaves the takes before them alone."""
    hand = hand_with(4)

    assert names("the old toad", hand) == names("the old toad sat down", hand)[:12]


def test_white_space_and_lacking_characters_have_no_take() -> None:
    """The answer is as long as the text, with nothing where nothing is drawn."""
    assert [take is None for take in choose_takes("a  ☃\nb", hand_with(2))] == [False, *[True] * 4, False]


def test_a_pair_always_drawn_together_is_one_drawing() -> None:
    """`tt` is set in the takes it was drawn with, one after the other, at their own distance."""
    hand = hand_with(2)
    pairs = [
        Word(takes=takes, starts=(0.0, step), page="p", row=0, place=place, joined=True)
        for place, (takes, step) in enumerate(
            ((("t.take2", "t.take1"), 140.0), (("t.take1", "t.take2"), 150.0))
        )
    ]
    chosen = choose("tt tt att", replace(hand, words={"tt": tuple(pairs)}))
    told = [(found.take.name, found.step) for found in chosen if found and found.take.char == "t"]

    assert told[:2] != told[2:4] != told[4:]
    assert {step for _, step in told[1::2]} == {140.0, 150.0}
    assert told[::2] == [(pairs[0 if step == 140.0 else 1].takes[0], None) for _, step in told[1::2]]
