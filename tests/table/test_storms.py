"""The table under storm: killed amid changes, asked thousands of times, by some who never finish."""

import json
import os
import random
import re
import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import httpx
import pytest

from lettering.steps.on_table import laid
from lettering.storage.placements import placements_path
from lettering.table import connections, events
from tests.table.conftest import Served

QUICK_SECONDS = 20.0
"""How soon an answer comes on a machine that is busy with other tests; else it takes milliseconds."""


def answers(attacked: Served) -> bool:
    """Tell whether the page is answered soon."""
    began = time.monotonic()
    with attacked.client() as client:
        return client.get("/api/book").status_code == 200 and time.monotonic() - began < QUICK_SECONDS


def test_ten_thousand_tiny_requests_hold_up_nobody(attacked: Served) -> None:
    """A hundred on one line at a time (RFC 9112, 9.3.2) get one refusal; nothing is left of them."""
    request = f"GET /api/book HTTP/1.1\r\nHost: {attacked.gate.host}\r\n\r\n".encode()
    threads, files = threading.active_count(), len(os.listdir("/proc/self/fd"))
    refused = []
    for _ in range(100):
        with socket.create_connection(("127.0.0.1", attacked.gate.port), timeout=60) as line:
            line.sendall(request * 100)
            refused.append(line.makefile("rb").read())

    assert {answer.split()[1] for answer in refused} == {b"403"}
    assert {answer.count(b"HTTP/1.1 ") for answer in refused} == {1}
    assert answers(attacked)
    assert threading.active_count() <= threads + 1
    assert len(os.listdir("/proc/self/fd")) <= files + 4


def test_those_who_never_finish_asking_are_let_go(attacked: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    """Requests that never come whole hold a few connections for a while, and no page waits for them."""
    monkeypatch.setattr(connections, "HEAD_SECONDS", 1.0)
    with ExitStack() as open_:
        slow = [
            open_.enter_context(socket.create_connection(("127.0.0.1", attacked.gate.port), timeout=20))
            for _ in range(2 * connections.MOST)
        ]
        for line in slow:
            line.sendall(b"GET / HTTP/1.1\r\nHost")
        assert answers(attacked)
        ended = []
        for line in slow:
            try:
                ended.append(line.recv(100))
            except ConnectionError:
                ended.append(b"")

    assert ended == [b""] * len(slow)


def test_a_body_that_never_comes_is_not_waited_for(attacked: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    """A request that announces a body and sends none of it is refused after a while."""
    monkeypatch.setattr("lettering.table.bodies.PART_SECONDS", 0.3)
    head = (
        f"POST /api/edit HTTP/1.1\r\nHost: {attacked.gate.host}\r\nOrigin: {attacked.gate.origin}\r\n"
        f"Cookie: {attacked.gate.cookie}={attacked.gate.key}\r\nContent-Type: application/json\r\n"
        "Content-Length: 1000\r\n\r\n{"
    )
    assert attacked.status(head) == 413


def test_only_so_many_may_listen(attacked: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    """One listener more than there is room for is told so, and the others go on."""
    monkeypatch.setattr(events, "MOST_LISTENERS", 2)
    with attacked.client() as client, ExitStack() as open_:
        streams = [open_.enter_context(client.stream("GET", "/api/events")) for _ in range(2)]
        heard = [lines(stream) for stream in streams]
        assert all("event: hello" in next(one) for one in heard)
        assert client.get("/api/events").status_code == 423
        attacked.table.events.tell("note", words="still heard")
        assert all("still heard" in next(one) for one in heard)


def lines(answer: httpx.Response) -> Iterator[str]:
    """Yield what is heard, event by event."""
    text = ""
    for part in answer.iter_text():
        text += part
        while "\n\n" in text:
            event, text = text.split("\n\n", 1)
            yield event


def test_nothing_is_lost_when_the_program_is_killed(placed_book: Path, tmp_path: Path) -> None:
    """Killed (SIGKILL) amid a storm of changes and moves, the files hold every one that was answered."""
    folder = tmp_path / "book"
    shutil.copytree(placed_book, folder)
    words = [sys.executable, "-m", "lettering.table", str(folder), "--no-browser"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout
        address = re.search(r"http://\S+", run.stdout.readline())
        assert address
        titled, moved = _storm(address[0], run)
    again = (folder / "book.yaml").read_text("utf-8")
    kept = json.loads(placements_path(folder / "book.yaml").read_text("utf-8"))
    state = laid(folder / "book.yaml")

    assert titled >= 4
    assert int(re.findall(r"title: (\d+)", again)[0]) in (titled, titled + 1)
    assert kept["spreads"][1]["lines"][0]["position"][0] in (100 + moved, 101 + moved)
    assert len(state.ready) == 2
    assert not [p for p in folder.iterdir() if p.suffix == ".yaml" and p.name != "book.yaml"]


def _storm(address: str, run: subprocess.Popen[str]) -> tuple[int, int]:
    """Change the title and move a line in turn until the program is killed; return how many were answered."""
    origin = address.split("/?", maxsplit=1)[0]
    titled = moved = 0
    with httpx.Client(base_url=origin, headers={"origin": origin}, timeout=120) as client:
        client.get(address, follow_redirects=True)
        while not client.get("/api/book").json()["there"]:
            time.sleep(0.02)
        try:
            while True:
                if titled == 4:
                    threading.Timer(random.uniform(0, 0.2), run.kill).start()
                given = {"kind": "book", "name": "title", "value": str(titled + 1)}
                client.post("/api/edit", json=given).raise_for_status()
                titled += 1
                to = [100 + moved + 1, 90]
                client.post("/api/drop", json={"spread": 1, "line": 1, "to": to}).raise_for_status()
                moved += 1
        except httpx.TransportError:
            return titled, moved
