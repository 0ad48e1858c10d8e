"""Withdraw: a lettered page's letters are taken out of a hand again."""

from dataclasses import replace
from pathlib import Path

from lettering.errors import LetteringError, did_you_mean
from lettering.hand.gathered import gathering
from lettering.hand.hand import Hand
from lettering.storage.ufo import read_hand, write_hand


def withdraw(page: str, hand_path: Path) -> tuple[Hand, int]:
    """Take what came from `page` out of the hand on disk; return the hand and how many takes went.

    `page` is the page's file name, as the hand knows it. Spacing and measures are learnt anew from the pages
    that are left; their takes keep their names. Raises LetteringError when the hand knows no such page, or
    knows no other; it is then untouched.
    """
    hand = read_hand(hand_path)
    name = Path(page).name
    kept = {
        char: tuple(t for t in takes if not t.source or t.source.page != name)
        for char, takes in hand.takes.items()
    }
    left = {char: takes for char, takes in kept.items() if takes}
    gone = sum(map(len, hand.takes.values())) - sum(map(len, left.values()))
    if not gone:
        raise LetteringError(
            f"no letter of this hand came from '{name}'.", str(hand_path), _pages_hint(hand, name)
        )
    if not left:
        raise LetteringError(
            f"every letter of this hand came from '{name}'.",
            str(hand_path),
            "Gather another page first, or delete the hand's folder.",
        )
    remaining = replace(hand, takes=left)
    made = gathering([], name=hand.name, mm_per_unit=hand.mm_per_unit, previous=remaining).hand
    write_hand(made, hand_path)
    return made, gone


def _pages_hint(hand: Hand, name: str) -> str:
    pages = sorted(
        {take.source.page for takes in hand.takes.values() for take in takes if take.source} - {""}
    )
    return did_you_mean(name, pages) or f"Its pages are: {', '.join(pages) or 'not known'}."
