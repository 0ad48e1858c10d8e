"""Who may speak to the table: the page it opened, on this machine, and nobody else.

A page of any other site can make a browser send requests here. So the address must be the one we gave
(a rebound name is another), the token of the first visit must come back in a cookie that no other site's
request carries, and what changes anything must come from our own page.
"""

import hmac
import secrets
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qsl

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

HOST = "127.0.0.1"

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob:",
        "connect-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types drawing",
    )
)
"""Content Security Policy, level 3, of every answer: nothing from elsewhere, nothing inline, no frame."""

HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cache-control": "no-store",
}

READING = frozenset({"GET", "HEAD"})
TURNED_AWAY = (403, 421)
"""How a request is answered that is not let through (RFC 9110, 15.5.4 and 15.5.20)."""


def _secret() -> str:
    return secrets.token_urlsafe(32)


@dataclass(slots=True)
class Gate:
    """The address of one table, the secret that opens it once, and the one that the browser then keeps."""

    port: int
    on_opened: Callable[[], None] = lambda: None
    """Told when the first address was used, and another has taken its place."""
    token: str = field(default_factory=_secret)
    """What the first address holds; it opens the table once."""
    key: str = field(default_factory=_secret)
    """What the cookie holds."""

    def opens(self, token: str) -> bool:
        """Tell whether `token` opens the table, and forget it when it does: another takes its place."""
        if not _same(token, self.token):
            return False
        self.token = _secret()
        self.on_opened()
        return True

    @property
    def host(self) -> str:
        """What a browser must call this server."""
        return f"{HOST}:{self.port}"

    @property
    def origin(self) -> str:
        """Where the page's own requests come from."""
        return f"http://{self.host}"

    @property
    def first_address(self) -> str:
        """What to open first; it is worth as much as the work it opens."""
        return f"{self.origin}/?token={self.token}"

    @property
    def cookie(self) -> str:
        """The name of the cookie; ports share cookies, so each table has its own."""
        return f"lettering-table-{self.port}"


class Guard:
    """Lets through what the page asks, refuses all else, and gives every answer its strict headers."""

    def __init__(self, app: ASGIApp, gate: Gate) -> None:
        self.app = app
        self.gate = gate

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request; who is refused is not listened to any longer."""
        if scope["type"] != "http":
            return
        refused = self._refused(scope)

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                if refused is not None and message["status"] in TURNED_AWAY:
                    headers["connection"] = "close"
            await send(message)

        if refused is not None:
            await refused(scope, receive, guarded)
        else:
            await self.app(scope, receive, guarded)

    def _refused(self, scope: Scope) -> ASGIApp | None:
        """Return the answer to a request that is not let through."""
        headers = Headers(scope=scope)
        if headers.getlist("host") != [self.gate.host]:
            return PlainTextResponse("This is not the address of the table.\n", 421)
        reading = scope["method"] in READING
        origins = headers.getlist("origin")
        if origins != [self.gate.origin] and (origins or not reading):
            return PlainTextResponse("Only the table's own page may change the work.\n", 403)
        known = _same(_cookies(headers.getlist("cookie")).get(self.gate.cookie, ""), self.gate.key)
        if given := _query(scope).get("token"):
            return self._exchanged(given, known) if reading and scope["path"] == "/" else _closed()
        if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
            return _closed()
        return None if known else _closed()

    def _exchanged(self, given: str, known: bool) -> ASGIApp:
        """Return the answer to a first visit: the token becomes a cookie and leaves the address.

        Who has the cookie already may come by the old address again.
        """
        if not known and not self.gate.opens(given):
            return _closed()
        answer = RedirectResponse("/", 303)
        answer.set_cookie(self.gate.cookie, self.gate.key, httponly=True, samesite="strict", path="/")
        return answer


def _closed() -> ASGIApp:
    return PlainTextResponse(
        "The table is closed to this visit. Open the address that `lettering table` printed last.\n", 403
    )


def _same(given: str, wanted: str) -> bool:
    """Tell whether two secrets are the same, in a time that tells nothing of them."""
    return hmac.compare_digest(given.encode(), wanted.encode())


def _query(scope: Scope) -> dict[str, str]:
    return dict(parse_qsl(scope["query_string"].decode("latin-1")))


def _cookies(values: Iterable[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for value in values:
        try:
            found |= {name: morsel.value for name, morsel in SimpleCookie(value).items()}
        except CookieError:
            continue
    return found
