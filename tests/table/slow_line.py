"""A line on which everything takes its time: what a page and its tests do too soon shows on it.

`pytest tests/table --slow-line 400` has every question and every answer wait for up to so many ms, each for
another time.
"""

import asyncio
import random
from collections.abc import Callable
from dataclasses import dataclass

from starlette.types import ASGIApp, Message, Receive, Scope, Send

Wait = Callable[[str], float]
"""How long, s, a question at an address waits on its way, and its answer again."""


def up_to(most_ms: float) -> Wait:
    """Return waits of any length up to `most_ms`, the same in every run."""
    chance = random.Random(0)
    return lambda _path: chance.uniform(0, most_ms) / 1000


@dataclass(frozen=True)
class SlowLine:
    """An application that is reached over a slow line; the page itself comes at once."""

    app: ASGIApp
    wait: Wait

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hand a question in, and its answer out, after a while."""
        if scope["type"] != "http" or not scope["path"].startswith("/api/"):
            return await self.app(scope, receive, send)

        async def sent_late(message: Message) -> None:
            await asyncio.sleep(self.wait(scope["path"]))
            await send(message)

        await asyncio.sleep(self.wait(scope["path"]))
        return await self.app(scope, receive, sent_late)
