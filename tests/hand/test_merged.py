"""Hands of one person made one."""

from dataclasses import replace

from lettering.hand.aside import called_back
from lettering.hand.gathered import hand_from
from lettering.hand.merged import merged
from tests.hand.drawn_rows import drawn_rows


def test_what_was_called_back_stays_so_in_the_merged_hand() -> None:
    """An odd drawing that she wants is a take of the merged hand, also when more is gathered."""
    rows = drawn_rows("patrick-hand", ["on one stone no moon"], page="two.png")
    odd = replace(drawn_rows("patrick-hand", ["W"], page="z.png")[0], char="o")
    second = called_back(hand_from([*rows, odd], name="two", mm_per_unit=None), "o.aside1")
    first = hand_from(drawn_rows("patrick-hand", ["go on to noon"], seed=2), name="one", mm_per_unit=None)
    both = merged(first, second)
    more = drawn_rows("patrick-hand", ["no moon"], page="three.png", seed=3)
    later = hand_from(more, name="one", mm_per_unit=None, previous=both)

    for hand in (both, later):
        assert not hand.aside
        wanted = [take for take in hand.takes["o"] if take.called_back]
        assert [take.source.page for take in wanted if take.source] == ["z.png"]
    assert not [take for take in both.takes["n"] if take.called_back]
