"""Drawings that were set aside, and how they are called back."""

from dataclasses import replace
from itertools import count

from lettering.errors import HandError, did_you_mean
from lettering.hand.hand import Hand
from lettering.hand.names import take_name


def called_back(hand: Hand, name: str) -> Hand:
    """Return the hand with a drawing that was set aside as a take; gathering will not set it aside again.

    Raises HandError when no drawing of that name was set aside.
    """
    every = {take.name: take for takes in hand.aside.values() for take in takes}
    if name not in every:
        raise HandError(f"no drawing '{name}' was set aside.", hand.name, did_you_mean(name, every))
    take = every[name]
    have = hand.takes.get(take.char, ())
    names = {one.name for one in have}
    free = next(n for number in count(1) if (n := take_name(take.char, number)) not in names)
    back = replace(take, name=free, aside=None, called_back=True)
    left = tuple(one for one in hand.aside[take.char] if one is not take)
    aside = {char: takes for char, takes in {**hand.aside, take.char: left}.items() if takes}
    return replace(hand, takes=dict(sorted({**hand.takes, take.char: (*have, back)}.items())), aside=aside)
