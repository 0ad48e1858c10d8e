"""Setting: milliseconds a line by its number of words, and what the optimum saves over filling rows.

Run from the project's root: python -m benchmarks.setting [--tries 9] [--faces delius]

Times are those of one core, the median of several lines and tries, in hands made of open typefaces. The
optimum is compared with every breaking there is (to 12 words) and with filling each row to the limits.
"""

import argparse
import random
import statistics
import time
from collections.abc import Callable
from itertools import combinations

import numpy as np

from lettering.book.line import Line
from lettering.bubbles.air import air_mm
from lettering.bubbles.body import body
from lettering.setting.breaking import best_breakings
from lettering.setting.broken import Weighed, breakings, weigh
from lettering.setting.opportunities import Piece, pieces
from lettering.setting.reading_age import band_for
from lettering.setting.stacks import stacks
from tests.typeface_hand import typeface_hand

BAND = band_for((5, 5))
COUNTS = (1, 3, 6, 9, 12, 18, 24, 30, 40, 50, 60)
SENTENCES = (
    "we looked in the big shed but the trombone was not there today",
    "who on earth has left an old cello in the middle of my compost",
    "shall we ask the badger if he would like to play the drums with us",
    "nobody had ever seen a goose that could carry a tuba up the stairs",
    "I think the small red bucket is stuck on your foot and will not come off",
)


def line(words: int, seed: int) -> str:
    """Return a line of so many words, cut from sentences in an order that the seed decides."""
    order = random.Random(seed).sample(SENTENCES, len(SENTENCES))
    return " ".join(" and ".join(order).split()[:words]) + "."


def milliseconds(work: Callable[[], object], tries: int) -> float:
    """Return the median time of one core that `work` takes."""
    times = []
    for _ in range(tries):
        start = time.process_time()
        work()
        times.append((time.process_time() - start) * 1000)
    return statistics.median(times)


def timed(face: str, tries: int) -> None:
    """Print what all stacks of lines of growing length take."""
    hand = typeface_hand(face)
    print(f"\n{face}: ms a line, all stacks; of it breaking; stacks offered")
    for count in COUNTS:
        said = [line(count, seed) for seed in range(5)]
        whole, part, offered = [], [], []
        for says in said:
            one = Line(who=("wren",), says=says)

            def work(one: Line = one) -> tuple[object, ...]:
                return stacks(one, hand, x_height_mm=4.2, language="en", band=BAND)

            def broken(says: str = says) -> object:
                parts, widths = _measured(says)
                return breakings(parts, widths, space=0.6, pitch=2.8, language="en", band=BAND)

            offered.append(len(work()))
            whole.append(milliseconds(work, tries))
            part.append(milliseconds(broken, tries))
        print(
            f"{count:4d} words {statistics.median(whole):7.2f} {statistics.median(part):7.2f}"
            f" {statistics.mean(offered):5.1f}"
        )


def fitted(face: str, tries: int) -> None:
    """Print what setting and fitting a bubble of 12 words takes: all stacks, and an outline round each."""
    hand = typeface_hand(face)
    whole = []
    for seed in range(5):
        one = Line(who=("wren",), says=line(12, seed))

        def work(one: Line = one) -> list[object]:
            offered = stacks(one, hand, x_height_mm=4.2, language="en", band=BAND)
            boxes = [[glyph.ink for glyph in stack.glyphs] for stack in offered]
            return [body(ink, air_mm=air_mm(4.2), seed=one.says) for ink in boxes]

        work()
        whole.append(milliseconds(work, tries))
    print(f"{face}: set and fitted, 12 words, {statistics.median(whole):.1f} ms (aim: 8)")


def _measured(says: str) -> tuple[tuple[Piece, ...], np.ndarray]:
    parts = pieces(says)
    return parts, np.array([0.95 * len(part.text) for part in parts])


def compared() -> None:
    """Print how the optimum compares with every breaking and with filled rows."""
    worst, saved = 0.0, []
    for count in range(2, 13):
        for seed in range(3):
            parts, widths = _measured(line(count, seed))
            weighed = weigh(parts, widths, space=0.6, language="en", band=BAND)
            best = {len(b.rows): b.cost for b in _optima(weighed, len(parts))}
            every = _every(weighed, len(parts))
            worst = max(worst, *(abs(best[m] - every[m]) for m in best))
            assert best.keys() == every.keys()
    for seed in range(200):
        parts, widths = _measured(line(8 + seed % 16, seed))
        weighed = weigh(parts, widths, space=0.6, language="en", band=BAND)
        filled = _filled(parts)
        best = {len(b.rows): b.cost for b in _optima(weighed, len(filled))}[len(filled)]
        saved.append(_cost(weighed, filled) - best)
    print(f"\noptimum against every breaking, 2 to 12 words: greatest difference {worst:.2g}")
    print(
        f"optimum against filled rows, 200 lines, same number of rows: filling costs"
        f" {statistics.mean(saved):.1f} more on average, {max(saved):.1f} at most,"
        f" and is as good in {sum(s < 1e-9 for s in saved) / 2:.0f} %"
    )


def _optima(weighed: Weighed, most: int) -> list:
    return list(best_breakings(weighed.rows, weighed.row_cost, weighed.join_cost, range(1, most + 1)))


def _every(weighed: Weighed, count: int) -> dict[int, float]:
    """Return the least cost for each number of rows, found by trying all breakings."""
    least: dict[int, float] = {}
    for m in range(1, count + 1):
        for cuts in combinations(range(1, count), m - 1):
            spans = [(a, b - 1) for a, b in zip((0, *cuts), (*cuts, count), strict=True)]
            cost = _cost(weighed, spans)
            if np.isfinite(cost):
                least[m] = min(cost, least.get(m, np.inf))
    return least


def _filled(parts: tuple[Piece, ...]) -> list[tuple[int, int]]:
    """Return rows filled one after another to the reader's limits."""
    spans, first = [], 0
    for last in range(len(parts)):
        chars = len(" ".join(part.text for part in parts[first : last + 1]))
        if last > first and (last - first + 1 > BAND.words_row or chars > BAND.chars_row):
            spans.append((first, last - 1))
            first = last
    return [*spans, (first, len(parts) - 1)]


def _cost(weighed: Weighed, spans: list[tuple[int, int]]) -> float:
    """Return what a breaking costs, summed row by row and join by join."""
    rows = weighed.rows
    index = {span: i for i, span in enumerate(zip(rows.first.tolist(), rows.last.tolist(), strict=True))}
    if any(span not in index for span in spans):
        return float("inf")
    path = [index[span] for span in spans]
    joins = {pair: i for i, pair in enumerate(zip(rows.upper.tolist(), rows.lower.tolist(), strict=True))}
    between = (weighed.join_cost(k, len(path))[joins[path[k], path[k + 1]]] for k in range(len(path) - 1))
    return float(weighed.row_cost[path].sum() + sum(between))


def main() -> None:
    """Run the benchmark as the command line asks."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--tries", type=int, default=9)
    parser.add_argument("--faces", nargs="+", default=["delius", "patrick-hand"])
    given = parser.parse_args()
    for face in given.faces:
        timed(face, given.tries)
        fitted(face, given.tries)
    compared()


if __name__ == "__main__":
    main()
