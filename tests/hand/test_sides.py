"""The rooms of letters' sides: what a few gaps tell of letters that none of them shows."""

from functools import cache
from itertools import product

import pytest

from lettering.hand.profile import Profile, profile
from lettering.hand.sides import Evidence, Shapes, Sides
from lettering.hand.spacing import white
from tests.hand.drawn_rows import X_HEIGHT, drawn_rows

SEEN, UNSEEN = "aceghijlnorstu", "bdfkmpqvwxyz"
GAP = 60.0


@cache
def shapes() -> dict[str, Profile]:
    """Return the profiles of an open typeface's letters."""
    return {letter.char: profile(letter.outline) for letter in drawn_rows("andika", [SEEN + UNSEEN])}


@cache
def whites() -> dict[str, tuple[float, float]]:
    """Return the white areas of their sides."""
    return {char: (white(p.left, X_HEIGHT), white(p.right, X_HEIGHT)) for char, p in shapes().items()}


def room(first: str, second: str, share: float) -> float:
    """Return the room between two letters of a hand that heeds this share of the white."""
    return GAP + (1 - share) * (whites()[first][1] + whites()[second][0])


def error(sides: Sides, share: float) -> float:
    """Return how far the rooms of letters that were never seen are off, font units, on average."""
    off = [abs(sides.room(a, b) - room(a, b, share)) for a, b in product(UNSEEN, UNSEEN)]
    return sum(off) / len(off)


@pytest.mark.parametrize("share", [0.0, 0.5])
def test_a_hand_that_heeds_white_less_is_known_by_its_gaps(share: float) -> None:
    """Fourteen gaps of a hand that leaves one gap, or half heeds white, foretell letters not among them."""
    seen = [Evidence(a, b, room(a, b, share)) for a, b in zip(SEEN, SEEN[::-1], strict=True)]
    knowing, unknowing = Shapes(shapes(), whites()).fit(seen), Shapes(shapes()).fit(seen)

    assert error(knowing, share) < 0.5 * error(unknowing, share)
    assert error(knowing, share) < 10.0  # a hundredth of the em


def test_a_hand_that_heeds_all_white_stays_as_it_is() -> None:
    """Where the white explains every gap, rooms stay at nothing, heeded or not."""
    seen = [Evidence(a, b, GAP) for a, b in zip(SEEN, SEEN[::-1], strict=True)]

    assert error(Shapes(shapes(), whites()).fit(seen), 1.0) < 0.5
