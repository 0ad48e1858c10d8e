"""What may be done to the letters of a hand on the table, each giving the hand as it is then."""

from lettering.hand.aside import called_back
from lettering.hand.edited import preferred, renamed, with_sides, without_take
from lettering.steps.mend import join, split

__all__ = ["called_back", "join", "preferred", "renamed", "split", "with_sides", "without_take"]
