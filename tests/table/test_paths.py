"""Paths and files that an attacker asks for or brings: none leads out of the book's folder, none acts."""

import socket
import zlib
from pathlib import Path

import httpx
import pytest
from PIL import Image

from lettering.steps.table_files import history_folder
from tests.table.conftest import Served
from tests.table.page import png


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
def test_no_path_leads_out(attacked: Served, path: str) -> None:
    """Neither dots nor encoded slashes reach a file that is not the page's own or just made."""
    request = (
        f"GET {path} HTTP/1.1\r\nHost: {attacked.gate.host}\r\n"
        f"Cookie: {attacked.gate.cookie}={attacked.gate.key}\r\nConnection: close\r\n\r\n"
    )
    with socket.create_connection(("127.0.0.1", attacked.gate.port)) as line:
        line.sendall(request.encode())
        answer = line.makefile("rb").read()

    assert answer.split()[1] in (b"404", b"422")
    assert b"import" not in answer
    assert b"Allotment" not in answer


def test_art_that_leads_out_of_the_folder_is_not_shown(attacked: Served, tmp_path: Path) -> None:
    """Art named by dots or by a link that leaves the book's folder is refused by name and by thumbnail."""
    secret = tmp_path / "secret.png"
    secret.write_bytes(png((400, 200)))
    (attacked.path.parent / "link.png").symlink_to(secret)
    for name in ("link.png", "../secret.png", str(secret)):
        text = attacked.text.replace("  - pages: 6-7\n", f"  - pages: 6-7\n    art: {name}\n")
        attacked.path.write_text(text, "utf-8")
        attacked.table.work.take_in()
        with attacked.client() as client:
            assert client.get("/api/spreads/1/art").status_code == 422
            assert client.get("/api/spreads/1/thumbnail").status_code == 422
        attacked.path.write_text(text.replace(f"    art: {name}\n", ""), "utf-8")


@pytest.mark.parametrize(
    "name", ["../../evil.png", "/etc/evil.png", "..\\evil.png", "a/b.png", ".hidden.png", "<script>.png"]
)
def test_an_upload_stays_in_its_folder(attacked: Served, name: str) -> None:
    """Whatever a file calls itself, it is kept in the folder for art, under a plain name."""
    base = attacked.path.parent
    before = set(base.parent.rglob("*"))
    with attacked.client() as client:
        answer = client.post("/api/upload/art", params={"name": name, "spread": "1"}, content=png())
        history = history_folder(attacked.path)
        written = set(base.parent.rglob("*")) - before - {base / "art"}
        new = {path for path in written if history not in (path, *path.parents)}
        client.post("/api/undo", json={})
        for path in new:
            path.unlink()

    assert answer.status_code == 200
    assert [path.parent for path in new] == [base / "art"]
    assert not set("<>/\\") & set(new.pop().name)


def test_an_upload_follows_no_link_out(attacked: Served, tmp_path: Path) -> None:
    """When the folder for pages is a link to elsewhere, nothing is written there."""
    outside = tmp_path / "outside"
    outside.mkdir()
    (attacked.path.parent / "pages").symlink_to(outside)
    with attacked.client() as client:
        answer = client.post("/api/upload/page", params={"name": "a.png"}, content=png())
    (attacked.path.parent / "pages").unlink()

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
def test_an_upload_that_is_no_picture_is_refused(attacked: Served, name: str, data: bytes) -> None:
    """Lying, cut, oversized and scripted files are found by decoding, and nothing of them is kept."""
    before, text = set(attacked.path.parent.rglob("*")), attacked.text
    with attacked.client() as client:
        for kind in ("art", "page"):
            answer = client.post(f"/api/upload/{kind}", params={"name": name, "spread": "0"}, content=data)
            assert answer.status_code == 422

    assert set(attacked.path.parent.rglob("*")) == before
    assert attacked.text == text


def test_script_in_a_drawing_never_reaches_the_page(attacked: Served) -> None:
    """Art drawn as SVG with script in it is kept and shown as pixels alone, of which the book file names."""
    data = SCRIPTED.replace(b'width="9"', b"width='20' onload='alert(2)'")
    with attacked.client() as client:
        kept = client.post("/api/upload/art", params={"name": "hill.svg", "spread": "0"}, content=data).json()
        shown = client.get("/api/spreads/0/art")
        client.post("/api/undo", json={})
    file = attacked.path.parent / kept["kept"]
    with Image.open(file) as image:
        assert (image.format, image.width) == ("PNG", 5976)  # 506 mm at 300 ppi
    file.unlink()

    assert kept["kept"] == "art/hill.png"
    assert shown.headers["content-type"] == "image/jpeg"
    assert b"script" not in shown.content
    assert not list(attacked.path.parent.rglob("*.svg"))


def test_an_upload_that_never_ends_is_cut_off(attacked: Served) -> None:
    """A manuscript without end is refused at its bound, whatever length it claims to have."""
    sent = 0

    def endless() -> object:
        nonlocal sent
        for _ in range(400):
            sent += 100_000
            yield b"a" * 100_000

    with attacked.client() as client:
        try:
            answer = client.post("/api/upload/manuscript", params={"name": "a.txt"}, content=endless())  # type: ignore[arg-type]
            assert answer.status_code == 413
        except (httpx.WriteError, httpx.ReadError):
            pass  # the line was cut while it was still sending

    assert sent < 40_000_000
