"""How long placing takes, how close to its bound it comes, and how often the best is proven.

    python -m benchmarks.placing [SPREADS]

For 2 to 8 lines a spread, over random spreads with a planted clean layout: candidates kept for each line,
seconds of processor time (so that a busy machine does not count), gap between score and bound, share
proven best, and hard rules broken by an independent checker's account.
"""

import statistics
import sys
import time
from dataclasses import dataclass

from lettering.placing.look import MOST
from lettering.placing.place import place
from tests.independent_checker import violations
from tests.placing.spreads import as_layout, random_spread


@dataclass(frozen=True, slots=True)
class Run:
    """One spread placed."""

    seconds: float
    score: float
    bound: float
    violated: int

    @property
    def proven(self) -> bool:
        """Whether the score meets the bound."""
        return self.score <= self.bound + 1e-6


def run(seed: int, lines: int) -> Run:
    """Return what placing one random spread took."""
    planted, spread = random_spread(seed, lines)
    start = time.process_time()
    placed = place(spread)
    seconds = time.process_time() - start
    found = violations(*as_layout(spread, placed, planted))
    return Run(seconds, placed.score, placed.bound, len(found) + len(placed.broken))


def main() -> None:
    """Print one row for each number of lines."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    print(f"{count} spreads a row, {MOST} candidates a line")
    print("lines  median s    most s   gap %  proven  violated")
    for lines in range(2, 9):
        runs = [run(seed, lines) for seed in range(count)]
        seconds = [r.seconds for r in runs]
        gap = 100 * statistics.mean(1 - r.bound / r.score for r in runs)
        proven, violated = sum(r.proven for r in runs), sum(r.violated for r in runs)
        median = statistics.median(seconds)
        print(
            f"{lines:5} {median:9.3f} {max(seconds):9.3f} {gap:7.2f} {proven:4}/{count} {violated:7}",
            flush=True,
        )


if __name__ == "__main__":
    main()
