"""Letters made ready for setting, and how close two may stand."""

import pytest

from lettering.geometry.point import Vector
from lettering.geometry.region import Region
from lettering.hand.take import Take
from lettering.setting.forms import Form, forms_of
from tests.typeface_hand import typeface_hand


def ink(form: Form) -> Region:
    """Return the area of a letter's ink, font units."""
    take: Take = form.take
    return Region.of_contours(take.outline.contours, 0.1)


@pytest.mark.parametrize("pair", ["ov", "AV", "fj", "To", "r.", "“A", "L’", "ij", "_g"])
def test_least_step_keeps_the_distance(pair: str) -> None:
    """At the least step two letters are as far apart as was asked for, not less and hardly more (shapely)."""
    hand = typeface_hand("patrick-hand")
    forms = forms_of(hand)
    left, right = (forms.form(hand.takes[char if char in hand.takes else "—"][0]) for char in pair)
    step = forms.least_step(left, right, 50.0)

    assert 45.5 < ink(left).distance(ink(right).moved(Vector(step, 0))) < 51


def test_letters_that_never_meet_need_no_step() -> None:
    """A full stop may slip under a dash: at no height do they come near each other."""
    hand = typeface_hand("patrick-hand")
    forms = forms_of(hand)
    stop, quote = (forms.form(hand.takes[char][0]) for char in ".’")

    assert forms.least_step(stop, quote, 20.0) == float("-inf")


def test_forms_are_made_once() -> None:
    """Asking again for a hand's forms, and for a form, gives the same ones."""
    hand = typeface_hand("delius")

    assert forms_of(hand) is forms_of(hand)
    assert forms_of(hand).form(hand.takes["a"][0]) is forms_of(hand).form(hand.takes["a"][0])
