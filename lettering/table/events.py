"""What happens on the table, told to every page that looks at it (server-sent events, WHATWG HTML)."""

import asyncio
import json
from collections.abc import AsyncIterator
from typing import Any

BEAT_SECONDS = 15.0
"""A comment so often keeps the line open and finds out who has left."""
MOST_WAITING = 1_000
"""Events that one page may be behind; a page that sleeps longer reads the whole book anew."""

MOST_LISTENERS = 32
"""Pages that listen at a time."""


class Events:
    """Tells events to all who listen; may be told from any thread."""

    def __init__(self) -> None:
        self._loop: asyncio.AbstractEventLoop | None = None
        self._listeners: set[asyncio.Queue[str]] = set()

    @property
    def listeners(self) -> int:
        """How many pages are listening."""
        return len(self._listeners)

    def tell(self, kind: str, **facts: Any) -> None:
        """Tell every listener that something of a `kind` happened."""
        loop = self._loop
        if loop is None or loop.is_closed():
            return
        text = f"event: {kind}\ndata: {json.dumps(facts, ensure_ascii=False)}\n\n"
        loop.call_soon_threadsafe(self._pass_on, text)

    def _pass_on(self, text: str) -> None:
        for queue in self._listeners:
            if queue.full():
                while not queue.empty():
                    queue.get_nowait()
                text = "event: changed\ndata: {}\n\n"
            queue.put_nowait(text)

    def full(self) -> bool:
        """Tell whether no more pages can listen."""
        return len(self._listeners) >= MOST_LISTENERS

    async def heard(self) -> AsyncIterator[str]:
        """Yield events as they happen, for as long as the page listens."""
        self._loop = asyncio.get_running_loop()
        queue: asyncio.Queue[str] = asyncio.Queue(MOST_WAITING)
        self._listeners.add(queue)
        try:
            yield "retry: 500\nevent: hello\ndata: {}\n\n"
            while True:
                try:
                    yield await asyncio.wait_for(queue.get(), BEAT_SECONDS)
                except TimeoutError:
                    yield ": still here\n\n"
        finally:
            self._listeners.discard(queue)
