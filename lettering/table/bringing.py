"""Answers to files that come and go: what is dropped on the page, longer tasks, and what they made."""

from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from lettering.errors import LetteringError
from lettering.table import making
from lettering.table.answering import table_of, told
from lettering.table.bodies import body, fields, text


async def upload(request: Request) -> Response:
    """Take a file that was dropped: art, a lettered page, or a manuscript."""
    kind, query = request.path_params["kind"], dict(request.query_params)
    data = await body(request, making.most_bytes(kind))
    work = table_of(request).work
    return await told(lambda: making.taken(work, kind, query, data))


async def task(request: Request) -> Response:
    """Begin a longer task."""
    given = await fields(request)
    making.start(table_of(request).tasks, text(given, "kind"), given)
    return JSONResponse({}, 202)


async def cancel(request: Request) -> Response:
    """Stop the longer task."""
    table_of(request).tasks.cancel()
    return JSONResponse({})


async def made(request: Request) -> Response:
    """Return a file that the last task made."""
    name = request.path_params["name"]
    for path in table_of(request).tasks.made:
        if path.name == name and path.is_file():
            return FileResponse(path, filename=name)
    raise LetteringError("there is no such file to take home.")


ROUTES = [
    Route("/api/upload/{kind}", upload, methods=["POST"]),
    Route("/api/task", task, methods=["POST"]),
    Route("/api/cancel", cancel, methods=["POST"]),
    Route("/api/made/{name}", made),
]
