"""The table's server: what each address answers. What is thought, is thought in the steps."""

from collections.abc import Awaitable, Callable
from importlib.resources import files
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from lettering.errors import BookError, LetteringError
from lettering.steps import on_table, page_corners, rounds, table_hand, table_rounds, table_view, uploads
from lettering.steps.book_changes import ConflictError
from lettering.table import edits, making
from lettering.table.bodies import TooLargeError, body, fields, numbers, points, text, texts, whole
from lettering.table.events import Events
from lettering.table.guard import Gate, Guard
from lettering.table.tasks import Tasks
from lettering.table.work import BusyError, Work

PAGE = files("lettering.table") / "page"
KINDS = {".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}

Answer = Callable[[Request], Awaitable[Response]]

TOO_LARGE = 413
STATUS: tuple[tuple[type[LetteringError], int], ...] = (
    (TooLargeError, TOO_LARGE),
    (ConflictError, 409),
    (BusyError, 423),
    (LetteringError, 422),
)


class Table:
    """A book, everything that is happening to it, and the answers to the page."""

    def __init__(self, path: Path) -> None:
        self.events = Events()
        self.work = Work(path, self.events)
        self.tasks = Tasks(self.work, self.events)

    # What there is to see

    async def book(self, request: Request) -> Response:
        """Return the whole book in brief, or why it cannot be shown."""
        return JSONResponse(await run_in_threadpool(self._book))

    def _book(self) -> dict[str, Any]:
        work = self.work
        state = work.state
        return {
            "file": work.path.name,
            "revision": work.revision,
            "there": state is not None,
            "trouble": list(work.trouble),
            "undo": work.history.undoable,
            "redo": work.history.redoable,
            "task": work.task,
            "made": [path.name for path in self.tasks.made],
            "rounds": list(rounds.names(work.path)),
            **({"book": table_view.book_view(state)} if state else {}),
        }

    async def spread(self, request: Request) -> Response:
        """Return one spread in full."""
        index = request.path_params["index"]
        return JSONResponse(await run_in_threadpool(lambda: table_view.spread_view(self.work.book, index)))

    async def art(self, request: Request) -> Response:
        """Return the art of a spread as pixels."""
        index = request.path_params["index"]
        longest = min(max(int(request.query_params.get("px", "1600")), 16), 4_000)
        data = await run_in_threadpool(lambda: table_view.art_picture(self.work.book, index, longest))
        return Response(data, media_type="image/jpeg", headers={"cache-control": "private, max-age=3600"})

    async def thumbnail(self, request: Request) -> Response:
        """Return a spread as a small picture."""
        index = request.path_params["index"]
        data = await run_in_threadpool(lambda: table_view.thumbnail(self.work.book, index))
        return Response(data, media_type="image/png", headers={"cache-control": "private, max-age=3600"})

    async def quiet(self, request: Request) -> Response:
        """Return how busy the art of a spread is, as pixels."""
        index = request.path_params["index"]
        data = await run_in_threadpool(
            lambda: table_view.quiet_picture(on_table.detail_at(self.work.book, index))
        )
        return Response(data, media_type="image/png")

    async def former(self, request: Request) -> Response:
        """Return the lettering of a spread as it was in a former round."""
        index, name = request.path_params["index"], request.path_params["name"]
        drawn = await run_in_threadpool(lambda: table_rounds.round_drawing(self.work.book, index, name))
        return JSONResponse({"svg": drawn})

    async def age(self, request: Request) -> Response:
        """Return a spread as readers of another age would want it."""
        index, years = request.path_params["index"], request.path_params["years"]

        def seen() -> dict[str, Any]:
            state, found = on_table.at_age(self.work.book, index, (years, years))
            return table_view.age_view(state, index, found)

        return JSONResponse(await run_in_threadpool(seen))

    # What the hand does

    async def move(self, request: Request) -> Response:
        """Return a line as it would be drawn elsewhere."""
        given = await fields(request)
        move = await run_in_threadpool(lambda: self.work.move(*_move(given)))
        lettering = given.get("rows") is not None
        return JSONResponse(table_view.move_view(self.work.book, move, lettering=lettering))

    async def drop(self, request: Request) -> Response:
        """Leave a line elsewhere."""
        given = await fields(request)
        await run_in_threadpool(lambda: self.work.drop(*_move(given)))
        return await self._spread_now(whole(given, "spread"))

    async def release(self, request: Request) -> Response:
        """Let a held line loose."""
        given = await fields(request)
        await run_in_threadpool(lambda: self.work.release(whole(given, "spread"), whole(given, "line")))
        return await self._spread_now(whole(given, "spread"))

    async def rows(self, request: Request) -> Response:
        """Return the rows that a line may stand in."""
        given = await fields(request)
        found = await run_in_threadpool(lambda: self.work.rows(whole(given, "spread"), whole(given, "line")))
        return JSONResponse({"rows": [list(rows) for rows in found]})

    async def edit(self, request: Request) -> Response:
        """Change the book file."""
        given = await fields(request)
        await run_in_threadpool(lambda: edits.edit(self.work, given))
        return JSONResponse(await run_in_threadpool(self._book))

    async def undo(self, request: Request) -> Response:
        """Undo the last change."""
        return JSONResponse({"spread": await run_in_threadpool(self.work.step_back)})

    async def redo(self, request: Request) -> Response:
        """Do again what was undone last."""
        return JSONResponse({"spread": await run_in_threadpool(self.work.step_forth)})

    async def _spread_now(self, index: int) -> Response:
        return JSONResponse(await run_in_threadpool(lambda: table_view.spread_view(self.work.book, index)))

    # Files that come and go

    async def upload(self, request: Request) -> Response:
        """Take a file that was dropped: art, a lettered page, or a manuscript."""
        kind, query = request.path_params["kind"], dict(request.query_params)
        data = await body(request, making.most_bytes(kind))
        return JSONResponse(await run_in_threadpool(lambda: making.taken(self.work, kind, query, data)))

    async def task(self, request: Request) -> Response:
        """Begin a longer task."""
        given = await fields(request)
        making.start(self.tasks, text(given, "kind"), given)
        return JSONResponse({}, 202)

    async def cancel(self, request: Request) -> Response:
        """Stop the longer task."""
        self.tasks.cancel()
        return JSONResponse({})

    async def made(self, request: Request) -> Response:
        """Return a file that the last task made."""
        name = request.path_params["name"]
        for path in self.tasks.made:
            if path.name == name and path.is_file():
                return FileResponse(path, filename=name)
        raise LetteringError("there is no such file to take home.")

    # The hand

    async def hand(self, request: Request) -> Response:
        """Return what the hand holds."""
        return JSONResponse(await run_in_threadpool(lambda: table_hand.hand_view(self.work.book)))

    async def photo(self, request: Request) -> Response:
        """Return where the paper is in the picture of a lettered page."""
        path = self._page(request)
        return JSONResponse(await run_in_threadpool(lambda: page_corners.seen_corners(path)))

    async def photo_picture(self, request: Request) -> Response:
        """Return the picture of a lettered page."""
        path = self._page(request)
        data = await run_in_threadpool(lambda: page_corners.page_picture(path, 2_000))
        return Response(data, media_type="image/jpeg")

    def _page(self, request: Request) -> Path:
        return uploads.kept_page(self.work.path.parent, request.query_params.get("name", ""))

    async def takes(self, request: Request) -> Response:
        """Return every take of one character."""
        char = request.query_params.get("char", "")
        return JSONResponse(table_hand.takes_view(self.work.book.bench.hand, char))

    async def crop(self, request: Request) -> Response:
        """Return the crop of paper that a take was traced from."""
        name = request.query_params.get("take", "")
        return Response(table_hand.crop(self.work.book.bench.hand, name), media_type="image/png")

    async def tried(self, request: Request) -> Response:
        """Return a sentence in the hand."""
        given = await fields(request)
        drawn = await run_in_threadpool(lambda: table_hand.tried(self.work.book, text(given, "says", 400)))
        return JSONResponse({"svg": drawn})

    async def heard(self, request: Request) -> Response:
        """Return what happens, as it happens."""
        return StreamingResponse(self.events.heard(), media_type="text/event-stream")


def _move(given: dict[str, Any]) -> tuple[int, int, Any, Any, Any]:
    return (
        whole(given, "spread"),
        whole(given, "line"),
        numbers(given, "to", 2),
        points(given, "tips"),
        texts(given, "rows"),
    )


async def page(request: Request) -> Response:
    """Return the page itself, or one of its parts."""
    name = request.path_params.get("name", "index.html")
    part = PAGE / name
    suffix = Path(name).suffix
    if "/" in name or "\\" in name or suffix not in KINDS or not part.is_file():
        return Response("There is no such page.\n", 404, media_type="text/plain")
    return Response(part.read_bytes(), media_type=KINDS[suffix])


async def said(request: Request, error: Exception) -> Response:
    """Return an error as a sentence that the page can show."""
    assert isinstance(error, LetteringError)
    status = next(code for kind, code in STATUS if isinstance(error, kind))
    problems = [str(one) for one in error.problems] if isinstance(error, BookError) else []
    # What is too large is not listened to any longer.
    headers = {"connection": "close"} if status == TOO_LARGE else None
    return JSONResponse({"said": str(error), "problems": problems}, status, headers)


def application(table: Table, gate: Gate) -> Starlette:
    """Return the server of one table behind its gate."""
    routes = [
        Route("/", page),
        Route("/page/{name}", page),
        Route("/api/book", table.book),
        Route("/api/spreads/{index:int}", table.spread),
        Route("/api/spreads/{index:int}/art", table.art),
        Route("/api/spreads/{index:int}/thumbnail", table.thumbnail),
        Route("/api/spreads/{index:int}/quiet", table.quiet),
        Route("/api/spreads/{index:int}/age/{years:int}", table.age),
        Route("/api/spreads/{index:int}/round/{name}", table.former),
        Route("/api/move", table.move, methods=["POST"]),
        Route("/api/drop", table.drop, methods=["POST"]),
        Route("/api/release", table.release, methods=["POST"]),
        Route("/api/rows", table.rows, methods=["POST"]),
        Route("/api/edit", table.edit, methods=["POST"]),
        Route("/api/undo", table.undo, methods=["POST"]),
        Route("/api/redo", table.redo, methods=["POST"]),
        Route("/api/upload/{kind}", table.upload, methods=["POST"]),
        Route("/api/task", table.task, methods=["POST"]),
        Route("/api/cancel", table.cancel, methods=["POST"]),
        Route("/api/made/{name}", table.made),
        Route("/api/page", table.photo),
        Route("/api/page/picture", table.photo_picture),
        Route("/api/hand", table.hand),
        Route("/api/hand/takes", table.takes),
        Route("/api/hand/crop", table.crop),
        Route("/api/hand/try", table.tried, methods=["POST"]),
        Route("/api/events", table.heard),
    ]
    return Starlette(
        routes=routes,
        middleware=[Middleware(Guard, gate=gate)],
        exception_handlers={LetteringError: said},
    )
