"""A table served in a thread, and one browser for all tests of the page."""

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import httpx
import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect, sync_playwright
from starlette.types import ASGIApp

from lettering.geometry.affine import Affine
from lettering.hand.hand import Hand
from lettering.steps.place import place_book
from lettering.storage.ufo import read_hand, write_hand
from lettering.table.__main__ import bound_to
from lettering.table.answering import Table
from lettering.table.connections import BOUNDS
from lettering.table.guard import Gate
from lettering.table.server import application
from tests.steps.books import BOOK as ONE_SPREAD
from tests.steps.books import book_on_disk
from tests.table.slow_line import SlowLine, Wait, up_to

SWITCHES = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
CHROMIUM = "chromium"
PATIENCE_MS = 90_000
"""How long a busy machine may take to do what the page waits for."""
expect.set_options(timeout=PATIENCE_MS)

BOOK = (
    (
        ONE_SPREAD.replace("Band\n", "Band   # a working title\n")
        .replace("{name: Wren}", "{name: Wren}   # small and sure")
        .replace("spreads:\n", "spreads:\n  # In the garden.\n")
    )
    + """\
  - pages: 6-7
    figures:
      wren: {box: [60, 150, 60, 70], mouth: [90, 168]}
    lines:
      - wren: Then who?
"""
)
"""A book of two spreads that can be placed cleanly."""


@dataclass(frozen=True)
class Served:
    """A table that answers on this machine."""

    table: Table
    gate: Gate
    path: Path

    def client(self, **headers: str) -> httpx.Client:
        """Return one who has been let in, as the page is."""
        return httpx.Client(
            base_url=self.gate.origin,
            cookies={self.gate.cookie: self.gate.key},
            headers={"origin": self.gate.origin, **headers},
            timeout=120,
        )

    def status(self, request: str) -> int:
        """Return how bytes that no client would send are answered: the status code (RFC 9112, 4)."""
        with socket.create_connection(("127.0.0.1", self.gate.port), timeout=30) as line:
            line.sendall(request.encode())
            return int(line.makefile("rb").readline().split()[1])

    @property
    def text(self) -> str:
        """What the book file says now."""
        return self.path.read_text("utf-8")


@pytest.fixture(scope="session")
def placed_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a small book that is placed; tests take copies."""
    path = book_on_disk(tmp_path_factory.mktemp("placed"), BOOK)
    write_hand(with_takes(read_hand(path.parent / "hand.ufo")), path.parent / "hand.ufo")
    place_book(path)
    return path.parent


def with_takes(hand: Hand) -> Hand:
    """Return a hand with three takes of its e, each a little wider."""
    (first,) = hand.takes["e"]
    wider = [first.outline.transformed(Affine.scaling(1 + k / 20, 1.0)) for k in (1, 2)]
    more = [replace(first, name=f"e.take{k}", outline=o) for k, o in enumerate(wider, 2)]
    return replace(hand, takes={**hand.takes, "e": (first, *more)})


def serving(path: Path, wait: Wait | None) -> Iterator[Served]:
    """Serve the book at `path` until the test is over, over a slow line if it has to `wait`."""
    bound = bound_to("127.0.0.1", 0)
    gate = Gate(port=bound.getsockname()[1])
    table = Table(path)
    app: ASGIApp = application(table, gate)
    if wait:
        app = SlowLine(app, wait)
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", **BOUNDS))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [bound]}, daemon=True)
    thread.start()
    table.work.read()
    table.watch.start()
    while not server.started:
        time.sleep(0.005)
    yield Served(table, gate, path)
    table.watch.stop()
    server.force_exit = server.should_exit = True
    thread.join(5)
    bound.close()


@pytest.fixture(scope="session")
def wait(pytestconfig: pytest.Config) -> Wait | None:
    """Return how slow the line to the table is, see slow_line.py; None when it is not."""
    most_ms = float(pytestconfig.getoption("--slow-line"))
    return up_to(most_ms) if most_ms else None


@pytest.fixture
def served(placed_book: Path, tmp_path: Path, wait: Wait | None) -> Iterator[Served]:
    """Serve a copy of the small book."""
    folder = tmp_path / "book"
    shutil.copytree(placed_book, folder)
    yield from serving(folder / "book.yaml", wait)


@pytest.fixture(scope="module")
def attacked(
    placed_book: Path, tmp_path_factory: pytest.TempPathFactory, wait: Wait | None
) -> Iterator[Served]:
    """Serve one copy of the small book to all attackers; what they may change does not harm the others."""
    folder = tmp_path_factory.mktemp("attacked") / "book"
    shutil.copytree(placed_book, folder)
    yield from serving(folder / "book.yaml", wait)


@pytest.fixture
def served_empty(tmp_path: Path, wait: Wait | None) -> Iterator[Served]:
    """Serve an empty folder."""
    folder = tmp_path / "empty"
    folder.mkdir()
    yield from serving(folder / "book.yaml", wait)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Start Debian's Chromium once; without it the tests of the page fail."""
    where = shutil.which(CHROMIUM)
    assert where, "chromium is not installed: scripts/system-packages test"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=where, args=list(SWITCHES))
        yield browser
        browser.close()


@dataclass(frozen=True)
class Looked:
    """What a page did that it must not."""

    errors: list[str]
    abroad: list[str]


@pytest.fixture
def opened(browser: Browser) -> Iterator[Any]:
    """Return how a table is opened on a page; afterwards nothing may have gone wrong on it."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    context.set_default_timeout(PATIENCE_MS)
    looked = Looked([], [])

    def open_on(served: Served, *, waits_for: str = "#lettering-1") -> Page:
        page = context.new_page()
        page.on("pageerror", lambda error: looked.errors.append(str(error)))
        page.on("console", lambda m: looked.errors.append(m.text) if m.type == "error" else None)
        page.on(
            "request",
            lambda r: (
                None if r.url.startswith((served.gate.origin, "blob:")) else looked.abroad.append(r.url)
            ),
        )
        page.goto(served.gate.first_address)
        page.wait_for_selector(waits_for, state="attached")
        return page

    open_on.looked = looked  # type: ignore[attr-defined]
    yield open_on
    context.close()
    refused = [e for e in looked.errors if "status of 409" not in e and "status of 422" not in e]
    assert not refused
    assert not looked.abroad
