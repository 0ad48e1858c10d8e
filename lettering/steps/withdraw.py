"""Withdraw: a lettered page's letters are taken out of a hand again."""

from pathlib import Path

from lettering.errors import LetteringError, did_you_mean
from lettering.hand.hand import Hand
from lettering.hand.withdrawn import without_page
from lettering.storage.ufo import read_hand, write_hand


def withdraw(page: str, hand_path: Path) -> tuple[Hand, int]:
    """Take what came from `page` out of the hand on disk; return the hand and how many takes went.

    `page` is the page's file name, as the hand knows it. The hand is then as if that page had never been
    gathered (see `hand.withdrawn`). Raises LetteringError when the hand knows no such page, or no other;
    the hand is then untouched.
    """
    hand = read_hand(hand_path)
    name = Path(page).name
    pages = [take.source.page if take.source else "" for takes in hand.takes.values() for take in takes]
    gone = pages.count(name)
    if not gone:
        raise LetteringError(
            f"no letter of this hand came from '{name}'.", str(hand_path), _pages_hint(name, set(pages))
        )
    if gone == len(pages):
        raise LetteringError(
            f"every letter of this hand came from '{name}'.",
            str(hand_path),
            "Gather another page first, or delete the hand's folder.",
        )
    made = without_page(hand, name)
    write_hand(made, hand_path)
    return made, gone


def _pages_hint(name: str, known: set[str]) -> str:
    pages = sorted(known - {""})
    return did_you_mean(name, pages) or f"Its pages are: {', '.join(pages) or 'not known'}."
