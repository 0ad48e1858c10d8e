"""The table's server asked as an attacker would ask it; every answer it must give is in the Fetch, HTTP and
Content Security Policy standards, or is that nothing changed on disk."""

import io
import json
import re
import shutil
import socket
import subprocess
import sys
import threading
import time
import zlib
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from PIL import Image

from lettering.steps.on_table import laid
from lettering.table.__main__ import bound_to
from lettering.table.guard import HOST
from tests.table.conftest import Served, serving


@pytest.fixture(scope="module")
def served(placed_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """Serve one copy of the small book to all attackers; what they may change does not harm the others."""
    folder = tmp_path_factory.mktemp("attacked") / "book"
    shutil.copytree(placed_book, folder)
    yield from serving(folder / "book.yaml")


def refused(answer: httpx.Response) -> bool:
    """Tell whether a request was turned away without anything of the book."""
    return answer.status_code in (403, 421) and "Allotment" not in answer.text


def test_the_token_becomes_a_cookie_that_scripts_and_other_sites_do_not_get(served: Served) -> None:
    """The first address answers with a strict, script-proof cookie and leads to one without the token."""
    answer = httpx.get(served.gate.first_address)

    assert answer.status_code == 303
    assert answer.headers["location"] == "/"
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie


@pytest.mark.parametrize("token", ["", "x", "0" * 43])
def test_a_wrong_token_opens_nothing(served: Served, token: str) -> None:
    """Neither a missing nor a guessed token or cookie lets anyone in."""
    with httpx.Client(base_url=served.gate.origin) as stranger:
        assert refused(stranger.get(f"/?token={token}"))
        assert refused(stranger.get("/"))
        stranger.cookies.set(served.gate.cookie, token, domain="127.0.0.1")
        assert refused(stranger.get("/api/book"))


@pytest.mark.parametrize(
    "host",
    ["evil.example", "evil.example:{port}", "localhost:{port}", "127.0.0.1", "127.0.0.1:1", "[::1]:{port}"],
)
def test_a_rebound_name_is_turned_away(served: Served, host: str) -> None:
    """A request that calls the server by another name is refused, cookie or not (DNS rebinding)."""
    with served.client(host=host.format(port=served.gate.port)) as client:
        assert refused(client.get("/api/book"))
        assert refused(client.get("/"))


def test_two_hosts_in_one_request_are_turned_away(served: Served) -> None:
    """A request that gives its host twice is refused (RFC 9112, 3.2)."""
    request = (
        f"GET /api/book HTTP/1.1\r\nHost: {served.gate.host}\r\nHost: evil.example\r\n"
        f"Cookie: {served.gate.cookie}={served.gate.token}\r\nConnection: close\r\n\r\n"
    )
    with socket.create_connection(("127.0.0.1", served.gate.port)) as line:
        line.sendall(request.encode())
        answer = line.makefile("rb").readline()

    assert answer.split()[1] in (b"400", b"421")


@pytest.mark.parametrize(
    "origin",
    [
        None,
        "null",
        "https://evil.example",
        "http://127.0.0.1",
        "http://127.0.0.1:1",
        "http://localhost:{port}",
    ],
)
def test_another_site_changes_nothing(served: Served, origin: str | None) -> None:
    """A cross-site POST is refused even with the cookie, and the files stay as they were."""
    before = served.text
    with served.client() as client:
        del client.headers["origin"]
        headers = {"origin": origin.format(port=served.gate.port)} if origin else {}
        answer = client.post(
            "/api/edit", json={"kind": "book", "name": "title", "value": "Stolen"}, headers=headers
        )

    assert refused(answer)
    assert served.text == before


def test_a_page_of_another_site_may_not_even_look(served: Served) -> None:
    """What the browser says was asked by another site is refused (Fetch Metadata)."""
    with served.client() as client:
        for site in ("cross-site", "same-site"):
            assert refused(client.get("/api/book", headers={"sec-fetch-site": site}))


def test_a_form_cannot_pass_for_the_page(served: Served) -> None:
    """A body that a form could send without asking first is no request to change anything."""
    before = served.text
    with served.client() as client:
        for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
            answer = client.post(
                "/api/edit",
                content=b'{"kind":"book","name":"title","value":"Stolen"}',
                headers={"content-type": kind},
            )
            assert answer.status_code == 422

    assert served.text == before


def test_every_answer_has_strict_headers(served: Served) -> None:
    """Page, parts, data, pictures, errors and refusals all forbid what is foreign, inline or framed."""
    with served.client() as client:
        for path in (
            "/",
            "/page/main.js",
            "/api/book",
            "/api/spreads/0/thumbnail",
            "/nowhere",
            "/api/spreads/99",
        ):
            answer = client.get(path)
            policy = answer.headers["content-security-policy"]
            assert "default-src 'none'" in policy
            assert "unsafe" not in policy
            assert "frame-ancestors 'none'" in policy
            assert answer.headers["x-content-type-options"] == "nosniff"
            assert "access-control-allow-origin" not in answer.headers
        assert "content-security-policy" in httpx.get(served.gate.origin).headers


def test_only_this_machine_is_listened_to() -> None:
    """The server's socket is bound to the loopback address of RFC 1122, 3.2.1.3, and to no other."""
    with bound_to(HOST, 0) as bound:
        assert bound.getsockname()[0] == "127.0.0.1"


@pytest.mark.parametrize(
    "path",
    [
        "/page/../server.py",
        "/page/..%2f..%2f..%2fpyproject.toml",
        "/page/%2e%2e/server.py",
        "/page/..%5cserver.py",
        "/api/made/..%2f..%2fbook.yaml",
        "/api/made/book.yaml",
        "/page//etc/passwd",
        "/page/guard.py",
    ],
)
def test_no_path_leads_out(served: Served, path: str) -> None:
    """Neither dots nor encoded slashes reach a file that is not the page's own or just made."""
    request = (
        f"GET {path} HTTP/1.1\r\nHost: {served.gate.host}\r\n"
        f"Cookie: {served.gate.cookie}={served.gate.token}\r\nConnection: close\r\n\r\n"
    )
    with socket.create_connection(("127.0.0.1", served.gate.port)) as line:
        line.sendall(request.encode())
        answer = line.makefile("rb").read()

    assert answer.split()[1] in (b"404", b"422")
    assert b"import" not in answer
    assert b"Allotment" not in answer


def png(size: tuple[int, int] = (64, 32)) -> bytes:
    """Return a small picture."""
    file = io.BytesIO()
    Image.new("RGB", size, (200, 220, 230)).save(file, "PNG")
    return file.getvalue()


def test_art_that_leads_out_of_the_folder_is_not_shown(served: Served, tmp_path: Path) -> None:
    """Art named by dots or by a link that leaves the book's folder is refused by name and by thumbnail."""
    secret = tmp_path / "secret.png"
    secret.write_bytes(png((400, 200)))
    (served.path.parent / "link.png").symlink_to(secret)
    for name in ("link.png", "../secret.png", str(secret)):
        text = served.text.replace("  - pages: 6-7\n", f"  - pages: 6-7\n    art: {name}\n")
        served.path.write_text(text, "utf-8")
        served.table.work.take_in()
        with served.client() as client:
            assert client.get("/api/spreads/1/art").status_code == 422
            assert client.get("/api/spreads/1/thumbnail").status_code == 422
        served.path.write_text(text.replace(f"    art: {name}\n", ""), "utf-8")


@pytest.mark.parametrize(
    "name", ["../../evil.png", "/etc/evil.png", "..\\evil.png", "a/b.png", ".hidden.png", "<script>.png"]
)
def test_an_upload_stays_in_its_folder(served: Served, name: str) -> None:
    """Whatever a file calls itself, it is kept in the folder for art, under a plain name."""
    base = served.path.parent
    before = set(base.parent.rglob("*"))
    with served.client() as client:
        answer = client.post("/api/upload/art", params={"name": name, "spread": "1"}, content=png())
        new = set(base.parent.rglob("*")) - before - {base / "art"}
        client.post("/api/undo", json={})
        for path in new:
            path.unlink()

    assert answer.status_code == 200
    assert [path.parent for path in new] == [base / "art"]
    assert not set("<>/\\") & set(new.pop().name)


def test_an_upload_follows_no_link_out(served: Served, tmp_path: Path) -> None:
    """When the folder for pages is a link to elsewhere, nothing is written there."""
    outside = tmp_path / "outside"
    outside.mkdir()
    (served.path.parent / "pages").symlink_to(outside)
    with served.client() as client:
        answer = client.post("/api/upload/page", params={"name": "a.png"}, content=png())
    (served.path.parent / "pages").unlink()

    assert answer.status_code == 422
    assert not list(outside.iterdir())


def bomb() -> bytes:
    """Return a PNG of a few bytes that says it has 60,000 by 60,000 pixels (PNG, third edition, 11.2.1)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return len(data).to_bytes(4) + kind + data + zlib.crc32(kind + data).to_bytes(4)

    side = (60_000).to_bytes(4)
    head = side + side + bytes([1, 0, 0, 0, 0])
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
        + chunk(b"IEND", b"")
    )


SCRIPTED = b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><script>alert(1)</script></svg>'


LAUGHS = b'<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;">]>' + SCRIPTED.replace(b"alert(1)", b"&b;")
"""Entities in entities (CWE-776), of which none is read."""


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("bomb.png", bomb()),
        ("lying.png", b"\x89PNG\r\n\x1a\n" + b"no picture at all" * 10),
        ("page.png", b"<html><script>alert(1)</script></html>"),
        ("cut.png", png((300, 300))[:200]),
        ("entities.svg", LAUGHS),
        ("abroad.svg", SCRIPTED.replace(b"<script>alert(1)</script>", b'<image href="/etc/hosts"/>')),
        ("slender.svg", b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1e9 1"/>'),
        ("svg-as.png", SCRIPTED),
        ("empty.png", b""),
    ],
)
def test_an_upload_that_is_no_picture_is_refused(served: Served, name: str, data: bytes) -> None:
    """Lying, cut, oversized and scripted files are found by decoding, and nothing of them is kept."""
    before, text = set(served.path.parent.rglob("*")), served.text
    with served.client() as client:
        for kind in ("art", "page"):
            answer = client.post(f"/api/upload/{kind}", params={"name": name, "spread": "0"}, content=data)
            assert answer.status_code == 422

    assert set(served.path.parent.rglob("*")) == before
    assert served.text == text


def test_script_in_a_drawing_never_reaches_the_page(served: Served) -> None:
    """Art drawn as SVG with script in it is kept and shown as pixels alone, of which the book file names."""
    data = SCRIPTED.replace(b"9", b"90").replace(b"<svg", b"<svg onload='alert(2)'")
    with served.client() as client:
        kept = client.post("/api/upload/art", params={"name": "hill.svg", "spread": "0"}, content=data).json()
        shown = client.get("/api/spreads/0/art")
        client.post("/api/undo", json={})
    file = served.path.parent / kept["kept"]
    with Image.open(file) as image:
        assert (image.format, max(image.size)) == ("PNG", 5976)  # 506 mm at 300 ppi
    file.unlink()

    assert kept["kept"] == "art/hill.png"
    assert shown.headers["content-type"] == "image/jpeg"
    assert b"script" not in shown.content
    assert not list(served.path.parent.rglob("*.svg"))


def test_an_upload_that_never_ends_is_cut_off(served: Served) -> None:
    """A manuscript without end is refused at its bound, whatever length it claims to have."""
    sent = 0

    def endless() -> object:
        nonlocal sent
        for _ in range(400):
            sent += 100_000
            yield b"a" * 100_000

    with served.client() as client:
        try:
            answer = client.post("/api/upload/manuscript", params={"name": "a.txt"}, content=endless())  # type: ignore[arg-type]
            assert answer.status_code == 413
        except (httpx.WriteError, httpx.ReadError):
            pass  # the line was cut while it was still sending

    assert sent < 40_000_000


def test_words_and_names_stay_words(served: Served) -> None:
    """Script in a title, a name or a line comes back as the same text, in JSON and in the drawing."""
    says = "<script>alert(1)</script>"
    with served.client() as client:
        client.post("/api/edit", json={"kind": "book", "name": "title", "value": says})
        client.post("/api/edit", json={"kind": "character", "key": "wren", "name": f'"{says}'})
        seen = client.get("/api/spreads/0").json()

    assert served.table.work.book.book.title == says
    assert "<script" not in seen["svg"]


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"kind": "words"},
        {"kind": "words", "spread": "0", "line": 1, "says": "a", "was": "b"},
        {"kind": "figure", "spread": 0, "who": "wren", "number": 0, "box": [1, 2, 3]},
        {"kind": "figure", "spread": 0, "who": "wren", "number": 0, "box": [1, 2, 3, 1e400]},
        {"kind": "figure", "spread": 0, "who": "nobody", "number": 0, "box": [1, 2, 30, 40]},
        {"kind": "book", "name": "spreads", "value": "x"},
        {"kind": "book", "name": "reader_age", "value": "5\nspreads: []"},
        {"kind": "book", "name": "hand", "value": "/etc"},
        {"kind": "keep-clear", "spread": 99, "number": 0, "box": [1, 2, 3, 4]},
    ],
)
def test_a_request_that_makes_no_sense_changes_nothing(served: Served, given: dict[str, object]) -> None:
    """What is missing, of the wrong kind or out of range is refused in a sentence, and the file stays."""
    before = served.text
    with served.client() as client:
        kind = {"content-type": "application/json"}
        answer = client.post("/api/edit", content=json.dumps(given).encode(), headers=kind)

    assert answer.status_code in (409, 422)
    assert answer.json()["said"]
    assert served.text == before


def test_nothing_is_lost_when_the_program_is_killed(placed_book: Path, tmp_path: Path) -> None:
    """Killed amid a storm of changes, the files open again with every change that was answered."""
    folder = tmp_path / "book"
    shutil.copytree(placed_book, folder)
    words = [sys.executable, "-m", "lettering.table", str(folder), "--no-browser"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout
        address = re.search(r"http://\S+", run.stdout.readline())
        assert address
        answered = _storm(address[0], run)
    again = (folder / "book.yaml").read_text("utf-8")
    state = laid(folder / "book.yaml")

    assert answered > 3
    assert int(re.findall(r"title: (\d+)", again)[0]) >= answered
    assert len(state.ready) == 2
    assert not [p for p in folder.iterdir() if p.suffix == ".yaml" and p.name != "book.yaml"]


def _storm(address: str, run: subprocess.Popen[str]) -> int:
    """Change the title again and again until the program is killed; return the last that was answered."""
    origin = address.split("/?", maxsplit=1)[0]
    answered = 0
    with httpx.Client(base_url=origin, headers={"origin": origin}, timeout=120) as client:
        client.get(address, follow_redirects=True)
        while not client.get("/api/book").json()["there"]:
            time.sleep(0.05)
        threading.Timer(0.7, run.kill).start()
        try:
            while True:
                given = {"kind": "book", "name": "title", "value": str(answered + 1)}
                if client.post("/api/edit", json=given).status_code == 200:
                    answered += 1
        except httpx.TransportError:
            return answered
