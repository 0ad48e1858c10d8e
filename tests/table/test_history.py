"""What is undone on the table: across restarts and kills, never over what another program wrote."""

import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx

from tests.steps.test_gather import files
from tests.table.conftest import Served


@contextmanager
def killed_at_the_end(book: Path) -> Iterator[httpx.Client]:
    """Serve a book in a process of its own, which is killed without warning."""
    words = [sys.executable, "-m", "lettering.table", str(book), "--no-browser"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout
        address = re.search(r"http://\S+", run.stdout.readline())
        assert address
        origin = address[0].split("/?", maxsplit=1)[0]
        with httpx.Client(base_url=origin, headers={"origin": origin}, timeout=120) as client:
            client.get(address[0], follow_redirects=True)
            while not client.get("/api/book").json()["there"]:
                time.sleep(0.02)
            yield client
        run.kill()


def test_all_is_undone_after_the_program_was_killed(placed_book: Path, tmp_path: Path) -> None:
    """Words, a bubble and a take: the next server undoes all three in one line, one more does them again."""
    folder = tmp_path / "book"
    shutil.copytree(placed_book, folder)
    book, hand = folder / "book.yaml", folder / "hand.ufo"
    first = {**files(hand), "book": book.read_bytes()}
    with killed_at_the_end(book) as client:
        told = {"kind": "words", "spread": 1, "line": 1, "was": "Then who?", "says": "Then who was it?"}
        assert client.post("/api/edit", json=told).status_code == 200
        assert client.post("/api/drop", json={"spread": 1, "line": 1, "to": [120, 90]}).status_code == 200
        assert client.post("/api/edit", json={"kind": "drop-take", "take": "e.take2"}).status_code == 200
    last = {**files(hand), "book": book.read_bytes()}
    with killed_at_the_end(book) as client:
        assert client.get("/api/book").json()["undo"] == "a take dropped (e.take2)"
        for _ in range(3):
            assert client.post("/api/undo", json={}).status_code == 200
        assert client.post("/api/undo", json={}).status_code == 422
    back = {**files(hand), "book": book.read_bytes()}
    with killed_at_the_end(book) as client:
        for _ in range(3):
            assert client.post("/api/redo", json={}).status_code == 200

    assert back == first
    assert {**files(hand), "book": book.read_bytes()} == last


def test_undoing_never_writes_over_another_programs_change(served: Served) -> None:
    """An edit of the words cannot be undone once an editor changed the book; one of a take still can."""
    hand = files(served.path.parent / "hand.ufo")
    with served.client() as client:
        told = {"kind": "words", "spread": 1, "line": 1, "was": "Then who?", "says": "Then who was it?"}
        client.post("/api/edit", json=told)
        client.post("/api/edit", json={"kind": "drop-take", "take": "e.take2"})
        served.path.write_text(served.text.replace("Allotment", "Garden"), "utf-8")
        theirs = served.text
        assert client.post("/api/undo", json={}).status_code == 200
        refused = client.post("/api/undo", json={})

    assert files(served.path.parent / "hand.ufo") == hand
    assert refused.status_code == 422
    assert "book.yaml: this was changed by another program meanwhile" in refused.json()["said"]
    assert served.text == theirs
