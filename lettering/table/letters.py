"""Answers about the hand: lettered pages, takes with their paper, and sentences tried."""

from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from lettering.steps import page_corners, table_hand, uploads
from lettering.table.answering import shown, table_of, told
from lettering.table.bodies import fields, text


async def hand(request: Request) -> Response:
    """Return what the hand holds."""
    work = table_of(request).work
    return await told(lambda: table_hand.hand_view(work.book))


async def photo(request: Request) -> Response:
    """Return where the paper is in the picture of a lettered page."""
    path = _page(request)
    return await told(lambda: page_corners.seen_corners(path))


async def photo_picture(request: Request) -> Response:
    """Return the picture of a lettered page."""
    path = _page(request)
    return await shown(lambda: page_corners.page_picture(path, 2_000), "jpeg")


def _page(request: Request) -> Path:
    base = table_of(request).work.path.parent
    return uploads.kept_page(base, request.query_params.get("name", ""))


async def takes(request: Request) -> Response:
    """Return every take of one character."""
    work, char = table_of(request).work, request.query_params.get("char", "")
    return await told(lambda: table_hand.takes_view(work.book.bench.hand, char))


async def crop(request: Request) -> Response:
    """Return the crop of paper that a take was traced from."""
    work, name = table_of(request).work, request.query_params.get("take", "")
    return await shown(lambda: table_hand.crop(work.book.bench.hand, name), "png")


async def tried(request: Request) -> Response:
    """Return a sentence in the hand."""
    work, given = table_of(request).work, await fields(request)
    return await told(lambda: {"svg": table_hand.tried(work.book, text(given, "says", 400))})


ROUTES = [
    Route("/api/page", photo),
    Route("/api/page/picture", photo_picture),
    Route("/api/hand", hand),
    Route("/api/hand/takes", takes),
    Route("/api/hand/crop", crop),
    Route("/api/hand/try", tried, methods=["POST"]),
]
