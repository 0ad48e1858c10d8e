"""Answers to what the page looks at: the book, its spreads and their pictures, and what happens."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import Route

from lettering.steps import on_table, table_changes, table_pictures, table_rounds, table_view
from lettering.table.answering import shown, table_of, told
from lettering.table.work import BusyError


async def book(request: Request) -> Response:
    """Return the whole book in brief, or why it cannot be shown."""
    return await told(table_of(request).brief)


async def spread(request: Request) -> Response:
    """Return one spread in full."""
    work, index = table_of(request).work, request.path_params["index"]
    return await told(lambda: table_view.spread_view(work.book, index))


async def art(request: Request) -> Response:
    """Return the art of a spread as pixels."""
    work, index = table_of(request).work, request.path_params["index"]
    given = request.query_params.get("px", "")
    longest = min(max(int(given), 16), 4_000) if given.isdecimal() and len(given) < 6 else 1_600
    return await shown(lambda: table_pictures.art_picture(work.book, index, longest), "jpeg", keep=True)


async def thumbnail(request: Request) -> Response:
    """Return a spread as a small picture."""
    work, index = table_of(request).work, request.path_params["index"]
    return await shown(lambda: table_pictures.thumbnail(work.book, index), "png", keep=True)


async def quiet(request: Request) -> Response:
    """Return how busy the art of a spread is, as pixels."""
    work, index = table_of(request).work, request.path_params["index"]
    return await shown(lambda: table_pictures.quiet_picture(on_table.detail_at(work.book, index)), "png")


async def former(request: Request) -> Response:
    """Return the lettering of a spread as it was in a former round."""
    work, index, name = table_of(request).work, request.path_params["index"], request.path_params["name"]
    return await told(lambda: {"svg": table_rounds.round_drawing(work.book, index, name)})


async def age(request: Request) -> Response:
    """Return a spread as readers of another age would want it."""
    work, index, years = table_of(request).work, request.path_params["index"], request.path_params["years"]

    def seen() -> dict[str, Any]:
        state, found = table_changes.at_age(work.book, index, (years, years))
        return table_view.age_view(state, index, found)

    return await told(seen)


async def heard(request: Request) -> Response:
    """Return what happens, as it happens."""
    events = table_of(request).events
    if events.full():
        raise BusyError("too many pages look at this table.", hint="Close some of them.")
    return StreamingResponse(events.heard(), media_type="text/event-stream")


ROUTES = [
    Route("/api/book", book),
    Route("/api/spreads/{index:int}", spread),
    Route("/api/spreads/{index:int}/art", art),
    Route("/api/spreads/{index:int}/thumbnail", thumbnail),
    Route("/api/spreads/{index:int}/quiet", quiet),
    Route("/api/spreads/{index:int}/age/{years:int}", age),
    Route("/api/spreads/{index:int}/round/{name}", former),
    Route("/api/events", heard),
]
