"""Takes dropped, preferred, named anew and moved: names and words stay in order."""

import pytest

from lettering.errors import HandError
from lettering.hand.edited import character, preferred, renamed, with_sides, without_take
from lettering.hand.gathered import hand_from
from lettering.hand.hand import Hand
from lettering.hand.word import word_takes
from tests.hand.drawn_rows import drawn_rows
from tests.typeface_hand import typeface_hand


@pytest.fixture(scope="module")
def hand() -> Hand:
    """A hand of a few words in an open typeface."""
    rows = drawn_rows("patrick-hand", ("see the hen", "the seas at sea"))
    return hand_from(rows, name="hers", mm_per_unit=None)


def drawn(hand: Hand, text: str) -> list[list[float]]:
    """Return where the ink of each letter begins in every kept drawing of a word, from the first's."""
    return [
        [
            s + t.outline.bounds.x0 - word.takes[0].outline.bounds.x0
            for s, t in zip(word.starts, word.takes, strict=True)
        ]
        for word in word_takes(hand, text)
    ]


def test_a_dropped_usual_take_gives_its_name_to_the_next(hand: Hand) -> None:
    """The words it stood in go; those of the next take stay, under its new name."""
    used = {name for words in hand.words.values() for word in words for name in word.takes}
    second = hand.takes["s"][1]
    assert {"s", second.name} <= used
    after = without_take(hand, "s")

    assert after.takes["s"][0].outline is second.outline
    assert [t.name for t in after.takes["s"]] == ["s", *[t.name for t in hand.takes["s"][2:]]]
    for text, words in after.words.items():
        before = {tuple(word.starts): word.takes for word in hand.words[text]}
        for word in words:
            was = before[tuple(word.starts)]
            assert "s" not in was
            assert [n if n != second.name else "s" for n in was] == list(word.takes)


def test_a_preferred_take_changes_names_with_the_first(hand: Hand) -> None:
    """Preferred twice the hand is what it was, words and all."""
    name = hand.takes["e"][2].name
    once = preferred(hand, name)

    assert once.takes["e"][0].outline is hand.takes["e"][2].outline
    assert preferred(once, name) == hand


def test_a_renamed_take_leaves_its_words(hand: Hand) -> None:
    """It stands among the takes of the other character and in no word of its former one."""
    name = hand.takes["e"][1].name
    after = renamed(hand, name, " a\u0301 ")

    assert [take.char for take in after.takes["á"]] == ["á"]
    assert after.takes["á"][0].name == "aacute"
    assert all(name not in word.takes for words in after.words.values() for word in words)
    with pytest.raises(HandError, match="one character"):
        character("two words")


def test_sides_move_a_take_in_a_line_and_not_in_its_words(hand: Hand) -> None:
    """So much room more on the left moves outline and advance; the word stands as she lettered it."""
    (take, *_), was = hand.takes["h"], drawn(hand, "the")
    after = with_sides(hand, take.name, 30.0, -10.0)
    now = after.takes["h"][0]

    assert now.advance == pytest.approx(take.advance + 20.0)
    assert now.outline.bounds.x0 == pytest.approx(take.outline.bounds.x0 + 30.0)
    assert now.source
    assert take.source
    assert now.source.start == pytest.approx((take.source.start or 0.0) - 30.0)
    assert drawn(after, "the") == [pytest.approx(one, abs=0.2) for one in was]
    with pytest.raises(HandError, match="would meet"):
        with_sides(hand, take.name, -2000.0, 0.0)


def test_a_hand_keeps_its_last_take() -> None:
    """A hand without a take is none."""
    hand = typeface_hand("patrick-hand")
    last = Hand(name="x", metrics=hand.metrics, takes={"a": hand.takes["a"]})
    with pytest.raises(HandError, match="without a take"):
        without_take(last, last.takes["a"][0].name)
    with pytest.raises(HandError, match="no such take"):
        without_take(last, "b")
