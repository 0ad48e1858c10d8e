"""What a request brings: bounded, and of the kind that is asked for."""

import asyncio
import json
from typing import Any

from starlette.requests import ClientDisconnect, Request

from lettering.errors import LetteringError
from lettering.steps.book_changes import ConflictError

PART_SECONDS = 20.0
"""How long the next part of a request may be waited for."""
MOST_JSON = 1_000_000
"""Largest request that is no file: a reading, or the words of a line."""


class TooLargeError(LetteringError):
    """A request brings more than is taken."""


async def body(request: Request, most: int) -> bytes:
    """Return what a request brings; raises TooLargeError as soon as it is more than `most` bytes.

    What it says of its own length is not believed.
    """
    parts, size = [], 0
    stream = aiter(request.stream())
    try:
        while (part := await asyncio.wait_for(anext(stream, None), PART_SECONDS)) is not None:
            size += len(part)
            if size > most:
                raise TooLargeError(f"this is larger than {most:,} bytes.", hint="Make it smaller.")
            parts.append(part)
    except TimeoutError:
        raise TooLargeError("this comes too slowly.", hint="Bring it again.") from None
    except ClientDisconnect:
        raise LetteringError("the page left before it was done.") from None
    return b"".join(parts)


async def fields(request: Request) -> dict[str, Any]:
    """Return the JSON object that a request brings; raises LetteringError for anything else."""
    if request.headers.get("content-type", "").split(";")[0].strip() != "application/json":
        raise LetteringError("this request wants JSON.")
    try:
        value = json.loads(await body(request, MOST_JSON))
    except (ValueError, RecursionError):
        raise LetteringError("this request is no JSON.") from None
    if not isinstance(value, dict):
        raise LetteringError("this request has no fields.")
    return value


def whole(given: dict[str, Any], name: str) -> int:
    """Return a field that is a whole number."""
    value = given.get(name)
    if not isinstance(value, int) or isinstance(value, bool):
        raise LetteringError(f"'{name}' is no whole number.")
    return value


def text(given: dict[str, Any], name: str, most: int = 20_000) -> str:
    """Return a field that is text."""
    value = given.get(name)
    if not isinstance(value, str) or len(value) > most or "\0" in value:
        raise LetteringError(f"'{name}' is no text that can be used.")
    return value.encode("utf-8", "ignore").decode("utf-8")


def numbers(given: dict[str, Any], name: str, count: int) -> list[float] | None:
    """Return a field that is `count` measures in mm, or none when it is not given."""
    value = given.get(name)
    if value is None:
        return None
    if not isinstance(value, list) or len(value) != count or not all(map(_is_measure, value)):
        raise LetteringError(f"'{name}' wants {count} numbers.")
    return [float(part) for part in value]


def points(given: dict[str, Any], name: str) -> list[list[float]] | None:
    """Return a field that is a list of points, or none when it is not given."""
    value = given.get(name)
    if value is None:
        return None
    if not isinstance(value, list) or len(value) > 20:
        raise LetteringError(f"'{name}' wants points.")
    found = [numbers({name: each}, name, 2) for each in value]
    return [each for each in found if each is not None]


def texts(given: dict[str, Any], name: str) -> list[str] | None:
    """Return a field that is a list of texts, or none when it is not given."""
    value = given.get(name)
    if value is None:
        return None
    if not isinstance(value, list) or len(value) > 100:
        raise LetteringError(f"'{name}' wants a list of texts.")
    return [text({name: each}, name) for each in value]


def as_seen(given: dict[str, Any], now: Any, what: str) -> None:
    """Raise ConflictError when a request tells what it saw of `what` ('was'), and that is no longer so."""
    if "was" in given and given["was"] != now:
        said = f"It is now '{now}'. " if now and isinstance(now, str | float) else ""
        raise ConflictError(
            f"{what} was changed meanwhile by another program.", hint=f"{said}Nothing was overwritten."
        )


def _is_measure(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e5
