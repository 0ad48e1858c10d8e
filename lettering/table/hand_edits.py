"""What the page asks to be changed in a hand, by name."""

from collections.abc import Callable
from typing import Any

from lettering.errors import LetteringError
from lettering.steps import hand_edits
from lettering.steps.table_files import files_below, hand_contents
from lettering.steps.table_hand import DRAWN_MM_PER_UNIT, demanded, hand_name
from lettering.table.bodies import numbers, text
from lettering.table.work import Work

Given = dict[str, Any]
MOST_POINTS = 400
"""Points of one stroke: more than a hand draws across a letter."""


def _edit(label: str, change: Callable[[Any, Given], Any]) -> Callable[[Work, Given], None]:
    """Return what makes a change to the hand of the one that is `given`, called `label` with its letter."""

    def changed(work: Work, given: Given) -> None:
        whose = text(given, "whose", 100) if "whose" in given else ""
        with work.lock:
            work.free_to_change()
            name = hand_name(work.book, whose)
            after = hand_contents(change(demanded(work.book, whose), given), name)
            before = files_below(work.path.parent / name, name)
            work.change_hand(f"{label} ({text(given, 'take', 100)})", before, dict.fromkeys(before) | after)

    return changed


def _split(hand: Any, given: Given) -> Any:
    stroke = given.get("stroke")
    if not isinstance(stroke, list) or not 2 <= len(stroke) <= MOST_POINTS:
        raise LetteringError("a stroke has two points or more.", hint="Draw it across the letter.")
    points = [numbers({"stroke": point}, "stroke", 2) for point in stroke]
    chars = text(given, "first", 8), text(given, "second", 8)
    return hand_edits.split(hand, text(given, "take"), [point for point in points if point], chars)


def _join(hand: Any, given: Given) -> Any:
    return hand_edits.join(hand, text(given, "take"), text(given, "other"), text(given, "char", 8))


def _sides(hand: Any, given: Given) -> Any:
    by = numbers(given, "by", 2)
    if by is None:
        raise LetteringError("'by' wants how much room is added on the left and on the right.")
    return hand_edits.with_sides(hand, text(given, "take"), *(part / DRAWN_MM_PER_UNIT for part in by))


def _renamed(hand: Any, given: Given) -> Any:
    return hand_edits.renamed(hand, text(given, "take"), text(given, "char", 8))


def _alone(change: Callable[[Any, str], Any]) -> Callable[[Any, Given], Any]:
    """Return a change that wants to know nothing but which take."""
    return lambda hand, given: change(hand, text(given, "take"))


KINDS: dict[str, Callable[[Work, Given], None]] = {
    "drop-take": _edit("a take dropped", _alone(hand_edits.without_take)),
    "prefer-take": _edit("a take preferred", _alone(hand_edits.preferred)),
    "call-back": _edit("a letter called back", _alone(hand_edits.called_back)),
    "rename-take": _edit("a letter named", _renamed),
    "sides": _edit("the sides of a take", _sides),
    "split-take": _edit("a letter split", _split),
    "join-takes": _edit("two letters joined", _join),
}
"""Every change of a hand by name."""
