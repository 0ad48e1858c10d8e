"""Answers about hands: lettered pages, takes with their paper, and sentences tried."""

from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from lettering.steps import page_corners, table_hand, uploads
from lettering.table.answering import shown, table_of, told
from lettering.table.bodies import fields, text

LONGEST_PX = 2_000
"""Longest side of a lettered page as it is shown, px."""


async def hand(request: Request) -> Response:
    """Return what a hand holds."""
    work, whose = table_of(request).work, _asked(request, "whose")
    return await told(lambda: table_hand.hand_view(work.book, whose))


async def takes(request: Request) -> Response:
    """Return every take of one character."""
    work, whose, char = table_of(request).work, _asked(request, "whose"), _asked(request, "char")
    return await told(lambda: table_hand.takes_view(table_hand.demanded(work.book, whose), char))


async def letter(request: Request) -> Response:
    """Return one drawing with its neighbours in its row."""
    work, whose, take = table_of(request).work, _asked(request, "whose"), _asked(request, "take")
    return await told(lambda: table_hand.letter_view(table_hand.demanded(work.book, whose), take))


async def crop(request: Request) -> Response:
    """Return the crop of paper that a take was traced from."""
    work, whose, take = table_of(request).work, _asked(request, "whose"), _asked(request, "take")
    known = _asked(request, "v")
    return await shown(
        lambda: table_hand.crop(table_hand.demanded(work.book, whose), take, known), "png", keep=bool(known)
    )


async def tried(request: Request) -> Response:
    """Return a sentence in a hand."""
    work, given = table_of(request).work, await fields(request)
    says, whose = text(given, "says", 400), text(given, "whose", 100) if "whose" in given else ""
    return await told(lambda: {"svg": table_hand.tried(work.book, says, whose)})


async def photo(request: Request) -> Response:
    """Return where the paper is in the picture of a lettered page."""
    path = _page(request)
    return await told(lambda: page_corners.seen_corners(path))


async def photo_picture(request: Request) -> Response:
    """Return the picture of a lettered page."""
    path = _page(request)
    return await shown(lambda: page_corners.page_picture(path, LONGEST_PX), "jpeg")


def _page(request: Request) -> Path:
    return uploads.kept_page(table_of(request).work.path.parent, _asked(request, "name"))


def _asked(request: Request, name: str) -> str:
    return request.query_params.get(name, "")


ROUTES = [
    Route("/api/page", photo),
    Route("/api/page/picture", photo_picture),
    Route("/api/hand", hand),
    Route("/api/hand/takes", takes),
    Route("/api/hand/letter", letter),
    Route("/api/hand/crop", crop),
    Route("/api/hand/try", tried, methods=["POST"]),
]
