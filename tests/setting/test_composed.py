"""Accented letters made of a base and a mark."""

from dataclasses import replace

import pytest
from fontTools.ttLib import TTFont

from lettering.geometry.point import Vector
from lettering.geometry.region import Region
from lettering.hand.hand import Hand
from lettering.hand.take import Take
from lettering.setting.composed import composed, made_up
from lettering.setting.stand_ins import missing
from tests.typeface_hand import TYPEFACES, _take, typeface_hand

LETTERED = set("éàôñü") | {chr(code) for code in range(0x21, 0x7F)}


def poorer(name: str) -> Hand:
    """Return the hand of a typeface in which only a few accented letters were lettered."""
    hand = typeface_hand(name)
    return replace(hand, takes={char: takes for char, takes in hand.takes.items() if char in LETTERED})


@pytest.mark.parametrize("name", ["patrick-hand", "delius"])
@pytest.mark.parametrize("char", "áíèìùâêîõãöï")
def test_composed_as_the_designer_drew_it(name: str, char: str) -> None:
    """A composed letter covers nearly the ink that the typeface's designer gave it (two open typefaces)."""
    (made,), (drawn,) = composed(char, poorer(name)), typeface_hand(name).takes[char]
    a, b = (area(take) for take in (made, drawn))

    assert a.intersection(b).area / Region.union([a, b]).area > 0.75


@pytest.mark.parametrize("char", "çąęÇĄĘş")
def test_marks_below_stand_where_the_designer_put_them(char: str) -> None:
    """A cedilla or ogonek lettered by itself grows out of its letter as in the typeface (Andika)."""
    font = TTFont(next((TYPEFACES / "andika").glob("*.ttf")))
    scale = 1000 / font["head"].unitsPerEm
    hand = typeface_hand("andika")
    alone = {mark: (_take(font, mark, scale),) for mark in "¸˛"}
    letters = {c: takes for c, takes in hand.takes.items() if c in LETTERED}
    (made,) = composed(char, replace(hand, takes=letters | alone))
    a, b = area(made), area(_take(font, char, scale))
    a = a.moved(Vector(b.bounds.x0 - a.bounds.x0, 0.0))

    assert a.parts == 1
    assert a.intersection(b).area / Region.union([a, b]).area > 0.75


def test_two_marks_are_set_one_over_the_other() -> None:
    """A letter with two marks is composed mark by mark, the second farther out than the first."""
    hand = poorer("delius")
    (usual,), (once,), (made,) = hand.takes["u"], composed("ü", hand) or hand.takes["ü"], composed("ǘ", hand)

    assert made.outline.bounds.y1 > once.outline.bounds.y1 > usual.outline.bounds.y1


def area(take: Take) -> Region:
    """Return the ink of a take about the middle of its box."""
    return Region.of_contours(take.outline.contours, 0.5)


def test_what_was_composed_is_listed() -> None:
    """Letters that were lettered are not listed as composed, nor those that cannot be composed."""
    assert made_up("Él café, ç Ж", poorer("delius")) == ("É",)


def test_what_cannot_be_composed_is_missing() -> None:
    """A mark that was never lettered, and one below the letter, leave their letters missing."""
    assert missing("ç ž á", poorer("delius")) == ("ç", "ž")


def test_each_take_of_the_base_carries_the_mark() -> None:
    """A base of three takes gives three composed takes, each with a name of its own."""
    hand = poorer("delius")
    (usual,) = hand.takes["a"]
    three = tuple(replace(usual, name=f"a.take{i}") for i in (1, 2, 3))
    made = composed("á", replace(hand, takes={**hand.takes, "a": three}))

    assert len({take.name for take in made}) == 3
