"""How long the whole hand-off of a picture book takes, how much memory, and how large its files are.

    python -m benchmarks.export [FORMAT…]

A book of 32 pages: 15 spreads of four bubbles each, 250 x 250 mm a page, without the rasters of its art, so
that only the program's own work is measured. Seconds are those of the clock and of the processor; on a busy
machine only the latter say much. Memory is the most that the process ever held.
"""

import resource
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from lettering.book.book import Spread
from lettering.book.cast import Character
from lettering.steps.bench import Bench
from lettering.steps.export import Wishes, write_layers
from lettering.steps.formats import FORMATS
from lettering.steps.laid_out import LaidOut, lay_out
from tests.checks.finished import BAND, BOOK, SPREAD, hands
from tests.export.icc import tiny_profile

SPREADS = 15


def book() -> LaidOut:
    """Return a book of 15 spreads and 60 bubbles, each spread laid out alike."""
    own = hands()
    spread = replace(
        SPREAD, lines=(*SPREAD.lines, replace(SPREAD.lines[1], who=("wren",), says="And I sing."))
    )
    finished = lay_out(Bench(book=BOOK, hands=own, band=BAND, x_height_mm=4.2), spread, [None] * 4, None)
    pages = [(2 * k + 2, 2 * k + 3) for k in range(SPREADS)]
    spreads = tuple(replace(finished, spread=_on(finished.spread, both)) for both in pages)
    cast = (Character("wren", "Wren"), Character("toad", "Toad"))
    return LaidOut(book=replace(BOOK, cast=cast), hands=own, x_height_mm=4.2, spreads=spreads)


def _on(spread: Spread, pages: tuple[int, int]) -> Spread:
    return replace(spread, pages=pages)


def size_of(folder: Path) -> int:
    """Return how many bytes all files below a folder have."""
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())


def main() -> None:
    """Print one row for each format, then one for all of them."""
    result = book()
    names = sys.argv[1:] or list(FORMATS)
    print(f"{SPREADS} spreads, {SPREADS * 4} bubbles")
    print("format      s   cpu s       kB  files")
    total = [0.0, 0.0]
    with tempfile.TemporaryDirectory() as scratch:
        icc = Path(scratch) / "press.icc"
        icc.write_bytes(tiny_profile())
        for name in names:
            clock, work = time.perf_counter(), time.process_time()
            written = write_layers(result, Path(scratch) / "out", [name], wishes=Wishes(profile=icc))
            spent = time.perf_counter() - clock, time.process_time() - work
            total = [a + b for a, b in zip(total, spent, strict=True)]
            kilobytes = size_of(Path(scratch) / "out" / name) / 1000
            print(
                f"{name:8} {spent[0]:5.1f} {spent[1]:7.1f} {kilobytes:8.0f} {len(written) - 1:6}", flush=True
            )
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"all      {total[0]:5.1f} {total[1]:7.1f}   most memory {megabytes:.0f} MB")


if __name__ == "__main__":
    main()
