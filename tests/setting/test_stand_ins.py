"""What may be drawn instead of what."""

from dataclasses import replace

import pytest

from lettering.hand.hand import Hand
from lettering.setting.stand_ins import capitals_only, clusters, completed, lettered, missing
from tests.typeface_hand import typeface_hand


def holding(chars: str) -> Hand:
    """Return a hand that holds only some characters."""
    hand = typeface_hand("delius")
    return replace(hand, takes={char: hand.takes[char] for char in chars})


@pytest.mark.parametrize(
    ("lacking", "held", "drawn"),
    [
        ("’", "'", ("'",)),
        ("'", "’", ("’",)),
        ("“", '"', ('"',)),
        ('"', "”", ("”",)),
        ("”", "’", ("’", "’")),
        ("…", ".", (".", ".", ".")),
        ("—", "–", ("–",)),
        ("–", "-", ("-",)),
        ("‽", "?!", ("?", "!")),
    ],
)
def test_a_mark_that_reads_the_same_stands_in(lacking: str, held: str, drawn: tuple[str, ...]) -> None:
    """Quotation marks, dashes and the ellipsis are drawn by their nearest kin when they were not lettered."""
    assert lettered(lacking, holding("a" + held)) == drawn


def test_letters_have_no_stand_in() -> None:
    """A letter or figure that was not lettered is missing, and each is named once."""
    assert missing("a bad hat, a 3!", holding("a")) == ("!", ",", "3", "b", "d", "h", "t")


def test_a_hand_of_capitals_letters_in_capitals() -> None:
    """Where only capitals were lettered small letters are drawn as capitals, ß as two."""
    hand = holding("ASTR")

    assert capitals_only(hand)
    assert lettered("a", hand) == ("A",)
    assert lettered("ß", hand) == ("S", "S")
    assert missing("Straße", hand) == ("e",)
    assert not capitals_only(holding("Aa"))


def test_a_base_keeps_its_marks() -> None:
    """Combining marks belong to the character before them."""
    assert clusters("ax\u0304\u0301b") == ("a", "x\u0304\u0301", "b")


def test_a_full_hand_is_left_alone() -> None:
    """Completing a hand that lacks nothing gives that very hand; the same lack gives the same hand again."""
    full, poor = typeface_hand("delius"), holding("aeé")

    assert completed(full, "a é") is full
    assert completed(poor, "á") is completed(poor, "á")
    assert "á" in completed(poor, "á").takes
