"""The light table: how soon a dragged bubble follows, a large book is seen, and what many edits keep.

A move is timed as the page feels it: a request to the server and its answer, on one open line, with the
same bytes as the page sends. Beside it stands the reference of the same moves asked of the step directly,
so that the ratio says what the server adds. First paint is the paint-timing of the browser (W3C) for the
page, and the time until the first spread's lettering stands on it.
"""

import os
import re
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import httpx
from playwright.sync_api import sync_playwright

from lettering.geometry.point import Point
from lettering.steps.moved import moved, on_desk, opened
from lettering.steps.place import place_book
from lettering.steps.table_files import history_folder
from tests.steps.books import book_on_disk
from tests.table.conftest import CHROMIUM, SWITCHES

MOVES = 120
EDITS = 500
SPREADS = 16
WORDS = ("Who left it?", "Not me.", "It was here.", "Look again!", "I did.")

HEAD = """\
title: Benchmark
language: en
reader_age: 7
hand: hand.ufo
page: {width: 280 mm, height: 280 mm}
cast: {wren: {name: Wren}, toad: {name: Toad}}
spreads:
"""


def spread(number: int, lines: int) -> str:
    """Return the rows of one spread with so many lines."""
    rows = "".join(f"      - {('wren', 'toad')[k % 2]}: {WORDS[k % 5]}\n" for k in range(lines))
    return (
        f"  - pages: {2 * number}-{2 * number + 1}\n    figures:\n"
        "      wren: {box: [60, 200, 60, 70], mouth: [90, 215]}\n"
        "      toad: {box: [400, 200, 80, 70], mouth: [430, 220]}\n    lines:\n" + rows
    )


def book(folder: Path, spreads: int, lines: int) -> Path:
    """Return a placed book."""
    path = book_on_disk(folder, HEAD + "".join(spread(k + 1, lines) for k in range(spreads)))
    place_book(path)
    return path


class Served:
    """The table as the command serves it, in a process of its own."""

    def __init__(self, path: Path) -> None:
        words = [sys.executable, "-m", "lettering.table", str(path), "--no-browser"]
        self.run = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
        assert self.run.stdout
        found = re.search(r"http://\S+", self.run.stdout.readline())
        assert found
        self.address = found[0]
        origin = self.address.split("/?")[0]
        self.client = httpx.Client(base_url=origin, headers={"origin": origin}, timeout=120)
        self.client.get(self.address, follow_redirects=True)
        # An address opens the table once; the next one is printed then.
        found = re.search(r"http://\S+", self.run.stdout.readline() + self.run.stdout.readline())
        assert found
        self.address = found[0]

    def ready(self) -> None:
        """Wait until the book lies on the table."""
        while not self.client.get("/api/book").json()["there"]:
            time.sleep(0.05)

    def memory_mb(self) -> float:
        """Return the memory that the server holds now."""
        pages = int(Path(f"/proc/{self.run.pid}/statm").read_text().split()[1])
        return pages * resource.getpagesize() / 1e6

    def close(self) -> None:
        """Stop the server."""
        self.run.terminate()
        self.run.wait(10)


def percentiles(seconds: list[float]) -> tuple[float, float]:
    """Return the median and the 95th percentile, ms."""
    cuts = statistics.quantiles(seconds, n=20)
    return 1000 * statistics.median(seconds), 1000 * cuts[18]


def drags(folder: Path) -> None:
    """Print how soon a move is answered, for spreads of 2 to 10 lines."""
    print("goal: page p95 <= 50 ms at 8 lines\nlines   step p50/p95 ms   page p50/p95 ms   ratio of p50")
    for lines in (2, 4, 6, 8, 10):
        path = book(folder / f"drag{lines}", 1, lines)
        desk = on_desk(opened(path), 0)
        at = desk.finished.lines[0].placement.centre
        served = Served(path)
        served.ready()
        times: dict[str, list[float]] = {"step": [], "page": []}
        for k in range(MOVES):
            to = Point(at.x + (k % 12) / 2, at.y + (k // 12) / 2)
            began = time.perf_counter()
            moved(desk, 1, to=to)
            times["step"].append(time.perf_counter() - began)
            began = time.perf_counter()
            served.client.post("/api/move", json={"spread": 0, "line": 1, "to": [to.x, to.y]}).json()
            times["page"].append(time.perf_counter() - began)
        served.close()
        (step, step_95), (page, page_95) = percentiles(times["step"][5:]), percentiles(times["page"][5:])
        print(
            f"{lines:5}   {step:6.1f} / {step_95:5.1f}    {page:6.1f} / {page_95:5.1f}    {page / step:6.2f}"
        )


def ages(folder: Path) -> None:
    """Print how soon a spread is drawn for readers of another age, and how soon placing is stopped."""
    served = Served(book(folder / "ages", 1, 8))
    served.ready()
    times = []
    for age in (2, 3, 4, 6, 7, 8, 9, 10, 11, 12, 13, 14):
        began = time.perf_counter()
        served.client.get(f"/api/spreads/0/age/{age}").raise_for_status()
        times.append(time.perf_counter() - began)
    median, most = percentiles(times)
    print(f"reader's age, 8 lines: drawn anew in p50 {median:.0f} ms, p95 {most:.0f} ms")
    stops = []
    for wait in (0.05, 0.1, 0.15, 0.2, 0.25):
        served.client.post("/api/task", json={"kind": "place-all", "size": "age"})
        time.sleep(wait)
        began = time.perf_counter()
        served.client.post("/api/cancel", json={})
        while served.client.get("/api/book").json()["task"]:
            time.sleep(0.002)
        stops.append(time.perf_counter() - began)
    served.close()
    print(f"goal: stopped <= 1 s. Placing stopped amid a spread: at most {1000 * max(stops):.0f} ms later")


def first_paint(folder: Path) -> None:
    """Print how soon a book of 16 spreads is seen."""
    served = Served(book(folder / "large", SPREADS, 4))
    began = time.perf_counter()
    where = shutil.which(CHROMIUM)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=where, args=list(SWITCHES))
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        started = time.perf_counter()
        page.goto(served.address)
        paint = page.evaluate("performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? -1")
        page.wait_for_selector("#lettering-1", state="attached", timeout=120_000)
        seen = time.perf_counter()
        page.reload()
        page.wait_for_selector("#lettering-1", state="attached", timeout=120_000)
        again = time.perf_counter()
        browser.close()
    served.close()
    print(f"{SPREADS} spreads: first contentful paint {paint:.0f} ms, lettering seen {seen - started:.2f} s")
    print(
        f"after opening (server begun {seen - began:.1f} s before); again after a reload {again - seen:.2f} s"
    )


def many_edits(folder: Path) -> None:
    """Print what 500 edits cost and keep."""
    served = Served(book(folder / "edits", 3, 4))
    served.ready()
    served.client.post("/api/move", json={"spread": 0, "line": 1, "to": [100, 100]})
    before, times = served.memory_mb(), []
    for k in range(EDITS):
        to = [100 + k % 20, 100 + k // 20]
        began = time.perf_counter()
        served.client.post("/api/drop", json={"spread": k % 3, "line": 1, "to": to}).raise_for_status()
        times.append(time.perf_counter() - began)
    after = served.memory_mb()
    history = sum(p.stat().st_size for p in history_folder(folder / "edits" / "book.yaml").iterdir())
    served.close()
    median, most = percentiles(times)
    print(f"{EDITS} bubbles dropped: p50 {median:.0f} ms, p95 {most:.0f} ms, saved on disk each time")
    each = (after - before) * 1000 / EDITS
    print(f"memory {before:.0f} MB before, {after:.0f} MB after: {each:.0f} kB an edit")
    print(f"history on disk {history / 1e6:.2f} MB: {history / 1000 / EDITS:.1f} kB an edit")


def main() -> None:
    """Measure all of it."""
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    with tempfile.TemporaryDirectory() as folder:
        drags(Path(folder))
        ages(Path(folder))
        first_paint(Path(folder))
        many_edits(Path(folder))


if __name__ == "__main__":
    main()
