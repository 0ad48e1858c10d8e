"""The table's server asked as an attacker would ask it; every answer it must give is in the Fetch, HTTP and
Content Security Policy standards, or is that nothing changed on disk."""

import ast
import json
from pathlib import Path

import httpx
import pytest

import lettering
from lettering.table import edits
from lettering.table.__main__ import bound_to
from lettering.table.guard import HOST
from tests.table.conftest import Served


def refused(answer: httpx.Response) -> bool:
    """Tell whether a request was turned away without anything of the book."""
    return answer.status_code in (403, 421) and "Allotment" not in answer.text


def test_the_token_becomes_a_cookie_that_scripts_and_other_sites_do_not_get(attacked: Served) -> None:
    """The first address answers with a strict, script-proof cookie and leads to one without the token."""
    answer = httpx.get(attacked.gate.first_address)

    assert answer.status_code == 303
    assert answer.headers["location"] == "/"
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie


@pytest.mark.parametrize("token", ["", "x", "0" * 43])
def test_a_wrong_token_opens_nothing(attacked: Served, token: str) -> None:
    """Neither a missing nor a guessed token or cookie lets anyone in."""
    with httpx.Client(base_url=attacked.gate.origin) as stranger:
        assert refused(stranger.get(f"/?token={token}"))
        assert refused(stranger.get("/"))
        stranger.cookies.set(attacked.gate.cookie, token, domain="127.0.0.1")
        assert refused(stranger.get("/api/book"))


@pytest.mark.parametrize(
    "host",
    ["evil.example", "evil.example:{port}", "localhost:{port}", "127.0.0.1", "127.0.0.1:1", "[::1]:{port}"],
)
def test_a_rebound_name_is_turned_away(attacked: Served, host: str) -> None:
    """A request that calls the server by another name is refused, cookie or not (DNS rebinding)."""
    with attacked.client(host=host.format(port=attacked.gate.port)) as client:
        assert refused(client.get("/api/book"))
        assert refused(client.get("/"))


def test_two_hosts_in_one_request_are_turned_away(attacked: Served) -> None:
    """A request that gives its host twice is refused (RFC 9112, 3.2)."""
    request = (
        f"GET /api/book HTTP/1.1\r\nHost: {attacked.gate.host}\r\nHost: evil.example\r\n"
        f"Cookie: {attacked.gate.cookie}={attacked.gate.key}\r\nConnection: close\r\n\r\n"
    )
    assert attacked.status(request) in (400, 421)


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
def test_another_site_changes_nothing(attacked: Served, origin: str | None) -> None:
    """A cross-site POST is refused even with the cookie, and the files stay as they were."""
    before = attacked.text
    with attacked.client() as client:
        del client.headers["origin"]
        headers = {"origin": origin.format(port=attacked.gate.port)} if origin else {}
        answer = client.post(
            "/api/edit", json={"kind": "book", "name": "title", "value": "Stolen"}, headers=headers
        )

    assert refused(answer)
    assert attacked.text == before


def test_a_page_of_another_site_may_not_even_look(attacked: Served) -> None:
    """What the browser says was asked by another site is refused (Fetch Metadata)."""
    with attacked.client() as client:
        for site in ("cross-site", "same-site"):
            assert refused(client.get("/api/book", headers={"sec-fetch-site": site}))


def test_a_form_cannot_pass_for_the_page(attacked: Served) -> None:
    """A body that a form could send without asking first is no request to change anything."""
    before = attacked.text
    with attacked.client() as client:
        for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
            answer = client.post(
                "/api/edit",
                content=b'{"kind":"book","name":"title","value":"Stolen"}',
                headers={"content-type": kind},
            )
            assert answer.status_code == 422

    assert attacked.text == before


def test_every_answer_has_strict_headers(attacked: Served) -> None:
    """Page, parts, data, pictures, errors and refusals all forbid what is foreign, inline or framed."""
    with attacked.client() as client:
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
        assert "content-security-policy" in httpx.get(attacked.gate.origin).headers


def test_only_this_machine_is_listened_to() -> None:
    """The server's socket is bound to the loopback address of RFC 1122, 3.2.1.3, and to no other."""
    with bound_to(HOST, 0) as bound:
        assert bound.getsockname()[0] == "127.0.0.1"


def test_words_and_names_stay_words(attacked: Served) -> None:
    """Script in a title, a name or a line comes back as the same text, in JSON and in the drawing."""
    says = "<script>alert(1)</script>"
    with attacked.client() as client:
        client.post("/api/edit", json={"kind": "book", "name": "title", "value": says})
        client.post("/api/edit", json={"kind": "character", "key": "wren", "name": f'"{says}'})
        seen = client.get("/api/spreads/0").json()

    assert attacked.table.work.book.book.title == says
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
        {"kind": "copy-figures", "spread": 99, "source": 0},
        {"kind": "copy-figures", "spread": 0, "source": 99},
        {"kind": "new-line", "spread": 99, "who": "wren", "says": "a"},
        {"kind": "new-line", "spread": 0, "who": "wren", "says": "a" * 300},
        {"kind": "character", "key": "toad", "hand": "/etc"},
        {"kind": "character", "key": "toad", "hand": "../hand.ufo"},
    ],
)
def test_a_request_that_makes_no_sense_changes_nothing(attacked: Served, given: dict[str, object]) -> None:
    """What is missing, of the wrong kind or out of range is refused in a sentence, and the file stays."""
    before = attacked.text
    with attacked.client() as client:
        kind = {"content-type": "application/json"}
        answer = client.post("/api/edit", content=json.dumps(given).encode(), headers=kind)

    assert answer.status_code in (409, 422)
    assert answer.json()["said"]
    assert attacked.text == before


def test_the_first_address_opens_the_table_once(attacked: Served) -> None:
    """Used, it is worth nothing to who finds it later; the next one stands ready for another browser."""
    first = attacked.gate.first_address
    with httpx.Client() as browser, httpx.Client() as thief, httpx.Client() as other:
        assert browser.get(first).status_code == 303
        assert refused(thief.get(first))
        assert refused(thief.get(f"{attacked.gate.origin}/api/book"))
        assert browser.get(first).headers["location"] == "/"
        assert other.get(attacked.gate.first_address).status_code == 303
        assert attacked.gate.token not in first


def test_the_token_is_no_cookie_and_the_cookie_no_token(attacked: Served) -> None:
    """Who has seen the one cannot use it as the other."""
    with httpx.Client(base_url=attacked.gate.origin) as stranger:
        assert refused(stranger.get(f"/?token={attacked.gate.key}"))
        stranger.cookies.set(attacked.gate.cookie, attacked.gate.token, domain="127.0.0.1")
        assert refused(stranger.get("/api/book"))


@pytest.mark.parametrize("origin", ["https://evil.example", "null", "http://127.0.0.1:1"])
def test_another_site_cannot_listen(attacked: Served, origin: str) -> None:
    """The stream of events is refused to a page of another origin, though it brought the cookie."""
    with attacked.client() as client:
        answer = client.get("/api/events", headers={"origin": origin})

    assert refused(answer)


def test_no_web_socket_is_opened(attacked: Served) -> None:
    """A handshake (RFC 6455, 4.1), which no browser holds to one origin, never switches protocols."""
    request = (
        f"GET /api/events HTTP/1.1\r\nHost: {attacked.gate.host}\r\nOrigin: https://evil.example\r\n"
        f"Cookie: {attacked.gate.cookie}={attacked.gate.key}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
        "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n"
    )
    assert attacked.status(request) == 403


def test_no_shell_is_asked_and_no_text_is_run() -> None:
    """Nowhere in the program is a command given to a shell (CWE-78), or text run as a program (CWE-95)."""
    forbidden = {"system", "popen", "getoutput", "getstatusoutput", "eval", "exec", "spawnl", "spawnlp"}
    found, seen = [], 0
    for path in sorted(Path(lettering.__file__).parent.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "attr", getattr(node.func, "id", ""))
            owner = getattr(getattr(node.func, "value", None), "id", "builtins")
            shelled = any(one.arg == "shell" for one in node.keywords)
            seen += owner == "subprocess"
            if shelled or (name in forbidden and owner in ("builtins", "os", "subprocess")):
                found.append(f"{path.name}:{node.lineno}")

    assert not found
    assert seen


def test_a_fault_of_the_program_is_said(attacked: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    """What nobody expected is answered in words, as all else, and the table goes on."""
    monkeypatch.setitem(edits.KINDS, "book", lambda *_: {}["gone"])
    with attacked.client() as client:
        answer = client.post("/api/edit", json={"kind": "book", "name": "title", "value": "x"})
        assert client.get("/api/book").status_code == 200

    assert answer.status_code == 500
    assert answer.json()["said"].startswith("a fault in the program: KeyError")
