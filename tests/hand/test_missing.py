"""What a book needs of a hand."""

from dataclasses import replace

from lettering.hand.missing import Wanted, wanted
from tests.typeface_hand import typeface_hand


def test_missing_characters_come_first_then_crowded_ones() -> None:
    """A snowman is missing; of `o`, four stand close together and there is one take."""
    hand = typeface_hand("patrick-hand")

    assert wanted(["☃ too soon!"], hand) == (Wanted("☃", 0, 1, 1), Wanted("o", 1, 4, 4))


def test_letters_far_apart_need_one_take() -> None:
    """Two of a letter with a row between them are served by one take."""
    hand = typeface_hand("patrick-hand")

    assert wanted(["x" + "bcdefghijklmnop" + "x"], hand) == ()
    assert wanted(["xx"], replace(hand, takes={"x": hand.takes["x"] * 2})) == ()
