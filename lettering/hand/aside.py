"""Drawings that were set aside, and how they become takes."""

from dataclasses import replace

from lettering.errors import HandError, did_you_mean
from lettering.hand.edited import character, free_name, with_takes, without_aside
from lettering.hand.hand import Hand
from lettering.hand.incoming import stood
from lettering.hand.mended import mended, room_for
from lettering.hand.names import UNNAMED


def called_back(hand: Hand, name: str, char: str | None = None) -> Hand:
    """Return the hand with a drawing that was set aside as a take of `char`, or of what its reading says.

    It stands in its row again, gets the room that the hand's rows teach, and completes the words that lacked
    it; gathering will not set it aside again. Raises HandError when no drawing of that name was set aside, or
    when it is not one character.
    """
    every = {take.name: take for takes in hand.aside.values() for take in takes}
    if name not in every:
        raise HandError(f"no drawing '{name}' was set aside.", hand.name, did_you_mean(name, every))
    take = every[name]
    draws = character(char or take.char, name)
    if draws == UNNAMED:
        raise HandError("the reading does not say what this is.", name, "Type the character that it is.")
    if take.source is None or take.source.start is None:
        have = hand.takes.get(draws, ())
        back = replace(
            take, name=free_name(draws, have), char=draws, aside=None, doubtful=False, called_back=True
        )
        return with_takes(without_aside(hand, take), {draws: (*have, back)})
    (drawn,) = stood([take])
    return mended(hand, [name], [replace(drawn, char=draws, doubt=None)], room_for(take, 1))
