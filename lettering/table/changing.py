"""Answers to what the hand does on the page: bubbles moved, the book file edited, changes undone."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from lettering.steps import table_view
from lettering.table import edits
from lettering.table.answering import Table, table_of, told
from lettering.table.bodies import fields, numbers, points, texts, whole


async def move(request: Request) -> Response:
    """Return a line as it would be drawn elsewhere."""
    table, given = table_of(request), await fields(request)
    lettering = given.get("rows") is not None

    def seen() -> dict[str, Any]:
        moved = table.work.move(*_move(given))
        return table_view.move_view(table.work.book, moved, lettering=lettering)

    return await told(seen)


async def drop(request: Request) -> Response:
    """Leave a line elsewhere."""
    table, given = table_of(request), await fields(request)

    def left() -> dict[str, Any]:
        table.work.drop(*_move(given), was=numbers(given, "was", 2))
        return _spread(table, given)

    return await told(left)


async def release(request: Request) -> Response:
    """Let a held line loose."""
    table, given = table_of(request), await fields(request)

    def loose() -> dict[str, Any]:
        table.work.release(whole(given, "spread"), whole(given, "line"))
        return _spread(table, given)

    return await told(loose)


async def rows(request: Request) -> Response:
    """Return the rows that a line may stand in."""
    work, given = table_of(request).work, await fields(request)
    return await told(
        lambda: {"rows": list(map(list, work.rows(whole(given, "spread"), whole(given, "line"))))}
    )


async def edit(request: Request) -> Response:
    """Change the book file."""
    table, given = table_of(request), await fields(request)

    def edited() -> dict[str, Any]:
        edits.edit(table.work, given)
        return table.brief()

    return await told(edited)


async def undo(request: Request) -> Response:
    """Undo the last change."""
    work = table_of(request).work
    return await told(lambda: {"spread": work.step_back()})


async def redo(request: Request) -> Response:
    """Do again what was undone last."""
    work = table_of(request).work
    return await told(lambda: {"spread": work.step_forth()})


def _spread(table: Table, given: dict[str, Any]) -> dict[str, Any]:
    return table_view.spread_view(table.work.book, whole(given, "spread"))


def _move(given: dict[str, Any]) -> tuple[int, int, Any, Any, Any]:
    return (
        whole(given, "spread"),
        whole(given, "line"),
        numbers(given, "to", 2),
        points(given, "tips"),
        texts(given, "rows"),
    )


ROUTES = [
    Route("/api/move", move, methods=["POST"]),
    Route("/api/drop", drop, methods=["POST"]),
    Route("/api/release", release, methods=["POST"]),
    Route("/api/rows", rows, methods=["POST"]),
    Route("/api/edit", edit, methods=["POST"]),
    Route("/api/undo", undo, methods=["POST"]),
    Route("/api/redo", redo, methods=["POST"]),
]
