"""The exact choice beside simulated annealing with ten times its time, on the same objective.

    python -m benchmarks.annealing [SPREADS]

Simulated annealing as Christensen, Marks and Shieber describe it for label placement (An Empirical Study of
Algorithms for Point-Feature Label Placement, ACM Transactions on Graphics 14:203-232, 1995): a random line
takes a random other candidate; worse is accepted with probability exp(-change / temperature); the
temperature falls by a tenth at every stage and starts where a usual worsening is accepted two times in three.
Both choose among the very same candidates, with the very same costs.
"""

import math
import statistics
import sys
import time

import numpy as np

from lettering.geometry.contour import Points
from lettering.placing.bound import NEVER, Problem
from lettering.placing.choose import choose
from lettering.placing.look import MOST, STEP_MM, look_at
from lettering.placing.pairs import pairs_of
from lettering.placing.weights import HOUSE
from tests.placing.spreads import random_spread

TIMES = 10
"""How much longer annealing may take."""
COOLING = 0.9
STAGES = 60


def problem_of(seed: int, lines: int) -> tuple[Problem, list[Points]]:
    """Return the candidates of one random spread with all that they cost, and where they lie."""
    _, spread = random_spread(seed, lines)
    look = look_at(spread, HOUSE, STEP_MM, MOST)
    pairs = pairs_of(spread, look.found, HOUSE, False)
    # Totals are kept by adding changes, which single precision would let drift.
    tables = {pair: np.minimum(table, NEVER).astype(float) for pair, table in pairs.items()}
    return Problem(look.cost, tables), [found.middle for found in look.found]


def annealed(problem: Problem, seconds: float, seed: int) -> float:
    """Return the least total that annealing finds in so many seconds of processor time."""
    random = np.random.default_rng(seed)
    count = len(problem.costs)
    beside: list[dict[int, np.ndarray]] = [{} for _ in range(count)]
    for (i, j), table in problem.pairs.items():
        beside[i][j], beside[j][i] = table, table.T
    picks = [int(random.integers(len(own))) for own in problem.costs]
    total = best = problem.total(picks)
    temperature = NEVER / 100
    start = time.process_time()
    for stage in range(STAGES):
        until = start + seconds * (stage + 1) / STAGES
        if stage == 1:
            temperature = 10.0 / math.log(3)
        while time.process_time() < until:
            for _ in range(50):
                i = int(random.integers(count))
                pick = int(random.integers(len(problem.costs[i])))
                change = float(problem.costs[i][pick] - problem.costs[i][picks[i]])
                for j, table in beside[i].items():
                    change += float(table[pick, picks[j]] - table[picks[i], picks[j]])
                if change <= 0 or random.random() < math.exp(-change / temperature):
                    picks[i], total = pick, total + change
                    best = min(best, total)
        temperature *= COOLING
    return best


def main() -> None:
    """Print one row for each number of lines."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    print(f"{count} spreads a row; annealing has {TIMES} times the time of the exact choice")
    print("lines  exact s  better  equal  worse  annealing above exact, mean and most")
    for lines in (2, 4, 6, 8, 10):
        above, seconds = [], []
        for seed in range(count):
            problem, places = problem_of(seed, lines)
            start = time.process_time()
            choice = choose(problem.costs, problem.pairs, places)
            seconds.append(time.process_time() - start)
            if choice is not None:
                above.append(annealed(problem, TIMES * seconds[-1], seed) - choice.score)
        better, worse = sum(a > 0.01 for a in above), sum(a < -0.01 for a in above)
        equal = len(above) - better - worse
        print(
            f"{lines:5} {statistics.median(seconds):8.3f} {better:7} {equal:6} {worse:6}"
            f"  {statistics.mean(above):.2f} {max(above):.2f}",
            flush=True,
        )


if __name__ == "__main__":
    main()
