"""What placing itself says of a spread: rules that could not be kept, and whether the best is proven."""

from collections.abc import Iterator

from lettering.checks.catalogue import finding
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedSpread


def check_layout(spread: FinishedSpread) -> Iterator[Finding]:
    """Yield the rules given up, by name, and a note when a better layout may exist."""
    placed, label = spread.placed, spread.spread.label
    if placed.broken:
        reasons = [
            f"{b.rule}: line{'s' * (len(b.lines) > 1)} {_and(b.lines)}{b.detail and f', {b.detail}'}"
            for b in placed.broken
        ]
        room = "; ".join((*reasons, *placed.missing))
        advice = ". ".join(dict.fromkeys(way[0].upper() + way[1:] for way in placed.advice))
        message = f"no clean layout was found ({room}). {advice or 'Move a held line'}."
        yield finding("no-clean-layout", label, message, len(reasons), 0)
    if placed.score > placed.bound + 1e-3:
        message = "the layout is good, but not proven to be the best of those considered."
        yield finding("not-proven", label, message, placed.score, placed.bound)


def _and(lines: tuple[int, ...]) -> str:
    return " and ".join(map(str, lines))
