"""The table's server: the page, and who answers what. What is thought, is thought in the steps."""

from importlib.resources import files
from pathlib import Path

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from lettering.errors import LetteringError
from lettering.table import bringing, changing, letters, looking
from lettering.table.answering import Table, said
from lettering.table.guard import Gate, Guard

PAGE = files("lettering.table") / "page"
KINDS = {".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}


async def page(request: Request) -> Response:
    """Return the page itself, or one of its parts."""
    name = request.path_params.get("name", "index.html")
    part = PAGE / name
    suffix = Path(name).suffix
    if "/" in name or "\\" in name or suffix not in KINDS or not part.is_file():
        return Response("There is no such page.\n", 404, media_type="text/plain")
    return Response(part.read_bytes(), media_type=KINDS[suffix])


def application(table: Table, gate: Gate) -> Starlette:
    """Return the server of one table behind its gate."""
    app = Starlette(
        routes=[
            Route("/", page),
            Route("/page/{name}", page),
            *looking.ROUTES,
            *changing.ROUTES,
            *bringing.ROUTES,
            *letters.ROUTES,
        ],
        middleware=[Middleware(Guard, gate=gate)],
        exception_handlers={LetteringError: said},
    )
    app.state.table = table
    return app
