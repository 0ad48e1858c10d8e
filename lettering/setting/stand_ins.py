"""Marks that stand for one another when a hand holds only one of them.

Only marks that a reader takes for the same stand in, and none ever stands for a letter: curly and straight
quotation marks and apostrophes, an ellipsis and three full stops, dashes of different lengths. Whatever else
a hand lacks is missing.
"""

import unicodedata

from lettering.hand.hand import Hand

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
    for drawn in (cluster, *STAND_INS.get(cluster, ())):
        if drawn in hand.takes:
            return (drawn,)
        if len(drawn) > 1 and all(char in hand.takes for char in drawn):
            return tuple(drawn)
    return None


def missing(text: str, hand: Hand) -> tuple[str, ...]:
    """Return the characters of `text` that the hand cannot draw, even by a stand-in, each once, sorted."""
    wanted = {cluster for cluster in clusters(text) if not cluster.isspace() and cluster != "\u200b"}
    return tuple(sorted(cluster for cluster in wanted if lettered(cluster, hand) is None))
