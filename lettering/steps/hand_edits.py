"""What may be done to the letters of a hand on the table, each giving the hand as it is then."""

from lettering.hand import edited
from lettering.hand.aside import called_back
from lettering.hand.edited import preferred, take_named, with_sides, without_take
from lettering.hand.hand import Hand
from lettering.steps.mend import join, split

__all__ = ["called_back", "join", "preferred", "renamed", "split", "with_sides", "without_take"]


def renamed(hand: Hand, name: str, char: str) -> Hand:
    """Return the hand with a drawing as a take of `char`, also one that was set aside; raises HandError."""
    if take_named(hand, name).aside:
        return called_back(hand, name, edited.character(char, name))
    return edited.renamed(hand, name, char)
