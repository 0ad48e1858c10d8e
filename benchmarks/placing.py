"""How long placing takes, how close to its bound it comes, and how often the best is proven.

    python benchmarks/placing.py [SPREADS]

Random spreads with a planted clean layout, 2 to 10 lines each: seconds of processor time (so that a busy
machine does not count), gap between score and bound, share proven best, and hard rules broken by an
independent checker's account; then, over many more books of a spread each, how many end without a clean
layout. After that one bubble that is moved, and whole books through the command's own steps.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from lettering.geometry.point import Vector
from lettering.placing.look import MOST
from lettering.placing.place import place
from lettering.placing.standing import Standing
from lettering.steps.moved import moved, on_desk, opened
from lettering.steps.on_table import laid
from lettering.steps.place import place_book
from lettering.steps.table_changes import with_text
from tests.independent_checker import violations
from tests.placing.spreads import as_layout, random_spread
from tests.random_books import book_text
from tests.reading_order import reading_order
from tests.steps.books import book_on_disk

BOOKS = 500
"""Random books that the independent checker looks at."""


@dataclass(frozen=True, slots=True)
class Run:
    """One spread placed."""

    seconds: float
    score: float
    bound: float
    violated: int
    broken: int
    read: bool
    """Whether the recursive X-Y cut reads the bubbles in their speaking order."""

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
    layout, book = as_layout(spread, placed, planted)
    found = violations(layout, book)
    read = reading_order(layout["spreads"][0]) == [line.line for line in spread.lines]
    return Run(seconds, placed.score, placed.bound, len(found), len(placed.broken), read)


def spreads(count: int) -> None:
    """Print one row for each number of lines."""
    print(f"{count} spreads a row, {MOST} candidates a line at most")
    print("lines  median s    most s   gap %  proven  violated  read in order by the X-Y cut")
    for lines in range(2, 11):
        runs = [run(seed, lines) for seed in range(count)]
        seconds = [r.seconds for r in runs]
        gap = 100 * statistics.mean(1 - r.bound / r.score for r in runs)
        proven, violated = sum(r.proven for r in runs), sum(r.violated for r in runs)
        median = statistics.median(seconds)
        print(
            f"{lines:5} {median:9.3f} {max(seconds):9.3f} {gap:7.2f} {proven:4}/{count} {violated:7}"
            f" {sum(r.read for r in runs):8}/{count}",
            flush=True,
        )


def many() -> None:
    """Print how many of many planted spreads are placed cleanly, and what a checker finds unsaid."""
    runs = [run(1000 + seed, 2 + seed % 6) for seed in range(BOOKS)]
    clean = sum(not r.broken for r in runs)
    unsaid = sum(r.violated > 0 and not r.broken for r in runs)
    print(
        f"{BOOKS} random books: {100 * clean / BOOKS:.1f} % clean, {unsaid} with a broken rule not reported"
    )


def timed(work: Callable[[], object], times: int) -> float:
    """Return the milliseconds of processor time that `work` takes."""
    start = time.process_time()
    for _ in range(times):
        work()
    return 1000 * (time.process_time() - start) / times


def one_bubble(folder: Path) -> None:
    """Print how long one moved bubble of a spread of 8 lines takes."""
    _, spread = random_spread(3, 8)
    placements = place(spread).placements
    standing = Standing.of(spread, placements)
    rules = timed(lambda: standing.moved(placements[3]).broken(4), 200)
    path = book_on_disk(folder, book_text(3, lines=8))
    place_book(path)
    desk = on_desk(opened(path), 0)
    at = desk.finished.lines[3].placement.centre
    whole = timed(lambda: moved(desk, 4, to=at + Vector(3.0, 2.0)), 100)
    print(f"one of 8 bubbles moved: {rules:.2f} ms for all hard rules, {whole:.2f} ms with its outline drawn")


def a_book(folder: Path) -> None:
    """Print how long a book of 32 pages and 60 lines takes: cold, again, and after a word was changed."""
    text = book_text(1, spreads=15, lines=4)
    path = book_on_disk(folder, text)
    cold = timed(lambda: place_book(path), 1)
    again = timed(lambda: place_book(path), 1)
    line = [row for row in text.splitlines() if row.startswith("      - ")][20]
    edited = text.replace(line, line.removesuffix(".") + " too.", 1)
    on_table = laid(path)
    word = timed(lambda: with_text(on_table, edited), 1)
    path.write_text(edited, encoding="utf-8")
    whole = timed(lambda: place_book(path), 1)
    print(f"32 pages, 60 lines: cold {cold:.0f} ms, again {again:.0f} ms with all checks")
    print(f"a word changed: {word:.0f} ms on a book that is open, {whole:.0f} ms from disk with all checks")


GROWTH = """
import sys, time
from pathlib import Path
from lettering.steps.place import place_book
start = time.monotonic()
if __name__ == "__main__":
    place_book(Path(sys.argv[1]))
    status = Path("/proc/self/status").read_text()
    most = next(row.split()[1] for row in status.splitlines() if row.startswith("VmHWM"))
    print(time.monotonic() - start, most)
"""
"""A book placed in a process of its own, with the most memory it ever held, KB."""


def growth(folder: Path) -> None:
    """Print how time and memory grow with the number of spreads, each book in a process of its own."""
    print("spreads   seconds   s a spread     MB")
    for count in (10, 100, 1000):
        path = book_on_disk(folder / str(count), book_text(2, spreads=count, lines=2))
        script = folder / "growth.py"
        script.write_text(GROWTH, encoding="utf-8")
        done = subprocess.run(
            [sys.executable, str(script), str(path)], capture_output=True, text=True, check=True
        )
        seconds, most = map(float, done.stdout.split())
        print(f"{count:7} {seconds:9.1f} {seconds / count:12.3f} {most / 1024:6.0f}", flush=True)


def main() -> None:
    """Print all of it."""
    spreads(int(sys.argv[1]) if len(sys.argv) > 1 else 10)
    many()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        one_bubble(folder / "moved")
        a_book(folder / "book")
        growth(folder)


if __name__ == "__main__":
    main()
