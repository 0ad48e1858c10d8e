"""Marks that stand for one another when a hand holds only one of them.

Only marks that a reader takes for the same stand in, and none ever stands for a letter: curly and straight
quotation marks and apostrophes, an ellipsis and three full stops, dashes of different lengths. Whatever else
a hand lacks is missing, unless it is an accented letter that can be composed. A hand of capitals alone
letters everything in capitals.
"""

import unicodedata
from dataclasses import replace

from lettering.hand.hand import Hand
from lettering.setting.composed import composed, made_up

STAND_INS: dict[str, tuple[str, ...]] = {
    "'": ("’", "‘"),
    "’": ("'", "‘"),
    "‘": ("'", "’"),
    "‚": (",",),
    '"': ("”", "“", "''", "’’"),
    "“": ('"', "”", "''", "‘‘"),
    "”": ('"', "“", "''", "’’"),
    "„": (",,",),
    "…": ("...",),
    "–": ("—", "-"),
    "—": ("–", "-"),
    "‐": ("-",),
    "‑": ("-", "‐"),
    "‽": ("?!",),
}
"""For each mark what may be drawn instead, best first."""


def clusters(text: str) -> tuple[str, ...]:
    """Return the characters of NFC `text`, each with the combining marks that follow it."""
    found: list[str] = []
    for char in text:
        if found and unicodedata.combining(char):
            found[-1] += char
        else:
            found.append(char)
    return tuple(found)


def lettered(cluster: str, hand: Hand) -> tuple[str, ...] | None:
    """Return the characters that the hand draws for one cluster; none when it cannot."""
    capital = (cluster.upper(),) if cluster.islower() and capitals_only(hand) else ()
    for drawn in (cluster, *STAND_INS.get(cluster, ()), *capital):
        if drawn in hand.takes:
            return (drawn,)
        if len(drawn) > 1 and all(char in hand.takes for char in drawn):
            return tuple(drawn)
    return None


def capitals_only(hand: Hand) -> bool:
    """Tell whether a hand has capitals and no small letters: it letters everything in capitals."""
    return "a" not in hand.takes and not any(char.islower() for char in hand.takes) and "A" in hand.takes


def completed(hand: Hand, text: str) -> Hand:
    """Return the hand with the accented letters of `text` that it can compose; itself when there are none."""
    capitals = text.upper() if capitals_only(hand) else ""
    made = frozenset(made_up(text + capitals, hand))
    if not made:
        return hand
    for former, chars, full in _completed:
        if former is hand and chars >= made:
            return full
    full = replace(hand, takes={**hand.takes, **{char: composed(char, hand) for char in made}})
    _completed.insert(0, (hand, made, full))
    del _completed[16:]
    return full


_completed: list[tuple[Hand, frozenset[str], Hand]] = []
"""The last few completed hands, kept because everything made ready of a hand belongs to that very hand."""


def missing(text: str, hand: Hand) -> tuple[str, ...]:
    """Return the characters of `text` that the hand cannot draw or stand in for, each once, sorted."""
    full = completed(hand, text)
    wanted = {cluster for cluster in clusters(text) if not cluster.isspace() and cluster != "\u200b"}
    return tuple(sorted(cluster for cluster in wanted if lettered(cluster, full) is None))
