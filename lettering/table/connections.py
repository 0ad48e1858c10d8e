"""Connections to the table: how many there may be, and how long one may take to say what it wants.

Any program of this machine can connect, also one that means harm. A connection that has not asked anything
after some seconds is closed, and where there are many, those that wait longest give way to new ones.
"""

import asyncio
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol

HEAD_SECONDS = 5.0
"""How long a request may take to arrive, without what it brings."""
MOST = 128
"""Connections at a time: a browser keeps six open to one server, and one for events, for each page."""


class Connection(H11Protocol):
    """A connection that is closed when it is slow to ask, or when others wait."""

    _late: asyncio.TimerHandle | None = None
    _since = 0.0

    def connection_made(self, transport: Any) -> None:
        """Begin to listen; the ones that ask nothing give way when there are too many."""
        super().connection_made(transport)
        self._wait()
        self._since = self.loop.time()
        others = (one for one in self.connections if isinstance(one, Connection) and one is not self)
        idle = sorted((one for one in others if one.idle), key=lambda one: one._since)
        for one in idle[: max(0, len(self.connections) - MOST)]:
            one.transport.close()

    def data_received(self, data: bytes) -> None:
        """Take in a part of a request."""
        super().data_received(data)
        if not self.idle:
            self._stop_waiting()
        elif self._late is None:
            self._wait()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget it."""
        self._stop_waiting()
        super().connection_lost(exc)

    @property
    def idle(self) -> bool:
        """Whether no request of it is being answered."""
        return self.cycle is None or self.cycle.response_complete

    def _wait(self) -> None:
        self._late = self.loop.call_later(HEAD_SECONDS, self._close_late)

    def _stop_waiting(self) -> None:
        if self._late is not None:
            self._late.cancel()
            self._late = None

    def _close_late(self) -> None:
        self._late = None
        if self.idle and not self.transport.is_closing():
            self.transport.close()


BOUNDS: dict[str, Any] = {"http": Connection, "ws": "none", "lifespan": "off", "backlog": MOST}
"""How uvicorn serves the table."""
