"""What every answer of the table needs: the table itself, a thread to think in, and errors as sentences."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from lettering.errors import BookError, LetteringError
from lettering.steps import rounds, table_view
from lettering.steps.book_changes import ConflictError
from lettering.table.bodies import TooLargeError
from lettering.table.events import Events
from lettering.table.tasks import Tasks
from lettering.table.watching import Watch
from lettering.table.work import BusyError, Work


class FaultError(LetteringError):
    """Something that the program did not expect; the page says so instead of falling silent."""


TOO_LARGE = 413
STATUS: tuple[tuple[type[LetteringError], int], ...] = (
    (TooLargeError, TOO_LARGE),
    (ConflictError, 409),
    (BusyError, 423),
    (FaultError, 500),
    (LetteringError, 422),
)


class Table:
    """A book and everything that is happening to it."""

    def __init__(self, path: Path) -> None:
        self.events = Events()
        self.work = Work(path, self.events)
        self.tasks = Tasks(self.work, self.events)
        self.watch = Watch(self.work)

    def brief(self) -> dict[str, Any]:
        """Return the whole book in brief, or why it cannot be shown."""
        work = self.work
        state = work.state
        return {
            "file": work.path.name,
            "revision": work.revision,
            "there": state is not None,
            "opening": state is None and not work.trouble and work.path.exists(),
            "trouble": [work.words(one) for one in work.trouble],
            "undo": work.history.undoable,
            "redo": work.history.redoable,
            "task": work.task,
            "made": [path.name for path in self.tasks.made],
            "rounds": list(rounds.names(work.path)),
            **({"book": table_view.book_view(state)} if state else {}),
        }


def table_of(request: Request) -> Table:
    """Return the table that a request was sent to."""
    table: Table = request.app.state.table
    return table


async def told(think: Callable[[], Any]) -> Response:
    """Return what `think` finds, in a thread of its own, as JSON; raises LetteringError."""
    try:
        return JSONResponse(await run_in_threadpool(think))
    except LetteringError:
        raise
    except Exception as error:
        words = f"a fault in the program: {type(error).__name__}: {error}"
        raise FaultError(words, hint="Load the page again to see what stands on disk.") from error


async def shown(paint: Callable[[], bytes], kind: str, *, keep: bool = False) -> Response:
    """Return what `paint` paints, in a thread of its own, as a picture; the browser may `keep` it."""
    headers = {"cache-control": "private, max-age=3600"} if keep else None
    return Response(await run_in_threadpool(paint), media_type=f"image/{kind}", headers=headers)


async def said(request: Request, error: Exception) -> Response:
    """Return an error as a sentence that the page can show."""
    assert isinstance(error, LetteringError)
    status = next(code for kind, code in STATUS if isinstance(error, kind))
    problems = [str(one) for one in error.problems] if isinstance(error, BookError) else []
    # What is too large is not listened to any longer.
    headers = {"connection": "close"} if status == TOO_LARGE else None
    words = table_of(request).work.words(error)
    return JSONResponse({"said": words, "problems": problems}, status, headers)
