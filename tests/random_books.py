"""Random books that can be placed cleanly, because a clean layout was planted first and then taken away.

A spread grows from its layout: bubbles are dealt out in reading order over the pages, each gets a speaker
standing below or beside it, and only what keeps the rules by a wide margin is kept. What is written down is
the book; the planted bubbles are forgotten.
"""

from dataclasses import dataclass, field

import numpy as np

SAID = """
the pond is cold today and we found nine small boats under a leaf so who will row them home before tea
my hat fell in again look there it goes round the reeds can you hear a drum no only rain on tin
"""
"""What characters say, cut at random."""

WORDS = SAID.split()

NAMES = ("wren", "toad", "mole", "hare", "newt", "crow")

PAGE_MM = 250.0


@dataclass
class Planted:
    """One spread while it grows: boxes as x, y, width, height in mm."""

    figures: dict[str, tuple[float, float, float, float]] = field(default_factory=dict)
    mouths: dict[str, tuple[float, float]] = field(default_factory=dict)
    lines: list[tuple[str, str]] = field(default_factory=list)


def planted_spread(random: np.random.Generator, lines: int, pages: int = 2) -> Planted:
    """Return a spread of `lines` lines with room for a clean layout.

    Each page is cut in columns, one a character, left to right. A character stands in the lower part of its
    column; its bubbles go above it, one below another, and columns speak from left to right.
    """
    spread = Planted()
    columns = max(1, min(len(NAMES), 2 * pages, -(-lines // 2)))
    shares = np.sort(random.integers(0, columns, lines))
    width = (PAGE_MM * pages) / columns
    for column in range(columns):
        count = int((shares == column).sum())
        if count:
            _plant(spread, random, NAMES[column], column * width, width, count)
    return spread


def _plant(
    spread: Planted, random: np.random.Generator, who: str, left: float, width: float, count: int
) -> None:
    """Stand a character at the foot of a column that starts at `left`, below room for `count` bubbles."""
    room = 34.0 * count + 22.0
    tall = min(random.uniform(50, 90), PAGE_MM - 14 - room)
    wide = random.uniform(40, 58)
    x = left + random.uniform(28, max(29, width - wide - 28))
    y = PAGE_MM - 12 - tall
    spread.figures[who] = (round(x, 1), round(y, 1), round(wide, 1), round(tall, 1))
    spread.mouths[who] = (round(x + wide * random.uniform(0.35, 0.65), 1), round(y + tall * 0.3, 1))
    for _ in range(count):
        length = int(random.integers(2, 8))
        start = int(random.integers(0, len(WORDS) - length))
        spread.lines.append((who, " ".join(WORDS[start : start + length]).capitalize() + "."))


def book_text(seed: int, spreads: int = 1, lines: int = 4, hand: str = "hand.ufo") -> str:
    """Return a book file with `spreads` spreads of `lines` lines each; equal seeds give equal books."""
    random = np.random.default_rng(seed)
    planted = [planted_spread(random, lines) for _ in range(spreads)]
    cast = sorted({who for spread in planted for who in spread.figures}, key=NAMES.index)
    rows = [f"title: Random book {seed}", "language: en", "reader_age: 5", f"hand: {hand}"]
    rows += ["page: {width: 250 mm, height: 250 mm, bleed: 3 mm, safe: 8 mm, gutter: 10 mm}", "cast:"]
    rows += [f"  {who}: {{name: {who.capitalize()}}}" for who in cast] + ["spreads:"]
    for number, spread in enumerate(planted):
        rows += [f"  - pages: {2 * number + 4}-{2 * number + 5}", "    figures:"]
        rows += [
            f"      {who}: {{box: {list(box)}, mouth: {list(spread.mouths[who])}}}"
            for who, box in spread.figures.items()
        ]
        rows += ["    lines:"] + [f"      - {who}: {says}" for who, says in spread.lines]
    return "\n".join(rows) + "\n"
