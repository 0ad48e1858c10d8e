"""Whether it is plain which bubble of a spread is read next."""

from collections.abc import Iterator, Sequence
from itertools import combinations

from lettering.checks.catalogue import finding
from lettering.checks.drawn import DrawnLine
from lettering.checks.finding import Finding

SLACK_MM = 0.05
"""Half a printer's dot."""


def check_order(lines: Sequence[DrawnLine]) -> Iterator[Finding]:
    """Yield pairs of lines that might be read in the wrong order.

    Measured on the boxes of the drawn bodies: on one page the later lies lower by half the smaller height, or
    to the right and not higher by more than that; a left page comes before a right page.
    """
    for first, second in combinations(lines, 2):
        yield from _pair(first, second)


def _pair(first: DrawnLine, second: DrawnLine) -> Iterator[Finding]:
    a, b = first.body.bounds, second.body.bounds
    fold = first.spread.frame.fold_x
    both = f"line {second.number} might be read before line {first.number}"
    if fold is not None and (a.centre.x > fold) != (b.centre.x > fold):
        if a.centre.x > fold:
            yield finding("order", second.where, f"{both}: it is on the left page.", b.centre.x - fold, 0.0)
        return
    half = min(a.height, b.height) / 2
    right, down = b.centre.x - a.centre.x, b.centre.y - a.centre.y
    if down < half - SLACK_MM and not (right > -SLACK_MM and down >= -half - SLACK_MM):
        message = f"{both}: it is only {down:.1f} mm lower." if down > 0 else f"{both}: it is not lower."
        yield finding("order", second.where, message, down, half)
