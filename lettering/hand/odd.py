"""Drawings that are unlike the others of their character, each with the measure that says so; and doubles."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lettering.hand.likeness import LEAST_GROUP, strangers
from lettering.hand.look import Look
from lettering.hand.take import Drawn

SIZE = 1.4
"""A letter so many times as high as the others, or as low, is another size (house default)."""
STEM = 1.6
"""… and one with a stroke so many times as thick, or as thin, another pen (house default)."""
LEAN = np.radians(20)
"""… and one that leans so much farther, another slant (house default), where the others agree within …"""
AGREED = np.radians(5)
"""… this, as a median distance: round letters tell no slant."""
UPRIGHT = frozenset("bdfhijklmnpqrtuBDEFHIKLMNPRTU14")
"""Letters with an upright stroke: w and its like lean one way as much as the other, and tell no slant."""
SAME = 0.12
"""Drawings nearer than this, at one place of one row on two pages, are one drawing: a page scanned twice.
1 has no ink in common; lines a few units apart come to 0.1, two drawings of one hand to more than 0.2."""


def reasons(group: Sequence[Drawn], look: Look) -> dict[int, str]:
    """Return which drawings of one character do not belong, by place in the group, and why."""
    if len(group) < LEAST_GROUP:
        return {}
    found = _measured(group, look) if group[0].char.isalnum() else {}
    for index, times in strangers(look.apart(group)).items():
        found.setdefault(index, f"its shape lies {times:g} times as far from the others as they do")
    return found


def _measured(group: Sequence[Drawn], look: Look) -> dict[int, str]:
    """Return which letters are of another size, pen or slant."""
    found: dict[int, str] = {}
    heights = np.array([look.bounds[id(letter)].height for letter in group])
    stems = np.array([look.stems[id(letter)] for letter in group])
    leans = np.array([look.leans[id(letter)] for letter in group])
    for index, times in _far(heights, SIZE).items():
        found.setdefault(index, f"it is {times:.2f} times as high as the others")
    for index, times in _far(stems, STEM).items():
        found.setdefault(index, f"its stroke is {times:.2f} times as thick as the others'")
    off = leans - np.median(leans)
    if group[0].char in UPRIGHT and np.median(np.abs(off)) < AGREED:
        for index in np.flatnonzero(np.abs(off) > LEAN).tolist():
            side = "right" if off[index] > 0 else "left"
            degrees = abs(np.degrees(off[index]))
            found.setdefault(index, f"it leans {degrees:.0f} degrees farther to the {side} than the others")
    return found


def doubles(group: Sequence[Drawn], look: Look) -> set[int]:
    """Return which drawings of one character are those of an earlier page over again."""
    if len({letter.source.page for letter in group}) < 2:
        return set()
    places = np.array([(letter.row, letter.place) for letter in group])
    pages = np.array([letter.source.page for letter in group])
    at_one_place = (places[:, None] == places[None]).all(axis=2) & (pages[:, None] != pages[None])
    found: set[int] = set()
    for later, earlier in np.argwhere(np.tril(at_one_place & (look.apart(group) < SAME))).tolist():
        if earlier not in found:
            found.add(later)
    return found


def _far(values: NDArray[np.float64], most: float) -> dict[int, float]:
    """Return the values that are `most` times the middle one or more, or so many times less; and how many."""
    times = values / max(float(np.median(values)), 1e-9)
    return {i: float(times[i]) for i in np.flatnonzero((times > most) | (times < 1 / most)).tolist()}
