"""Opens the light table: `python -m lettering.table [book.yaml]`, as `lettering table` does."""

import argparse
import os
import socket
import sys
import threading
import webbrowser
from pathlib import Path

from lettering.errors import LetteringError

BOOK = "book.yaml"
"""What a book file is called where none is named."""


def main() -> int:
    """Serve the table until it is interrupted; return the exit status."""
    options = _options()
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        serve(book_path(options.book), port=options.port, browser=options.browser)
    except LetteringError as error:
        print(f"lettering: {error}", file=sys.stderr)
        return error.exit_status
    except KeyboardInterrupt:
        pass
    return 0


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="lettering table")
    parser.add_argument("book", nargs="?", type=Path, default=Path(BOOK))
    parser.add_argument("--port", type=int, default=0)
    parser.add_argument("--no-browser", dest="browser", action="store_false")
    return parser.parse_args()


def book_path(given: Path) -> Path:
    """Return the book file that is meant by a path to it, or to its folder; raises LetteringError."""
    path = (given / BOOK if given.is_dir() else given).absolute()
    if not path.parent.is_dir():
        raise LetteringError("there is no such folder.", str(path.parent), "Make it, or name another.")
    if path.suffix not in (".yaml", ".yml"):
        raise LetteringError("this is no book file.", str(given), "Name a .yaml file, or a folder.")
    return path


def serve(path: Path, *, port: int = 0, browser: bool = True) -> None:
    """Serve the table of the book at `path` on this machine alone, and open it in the browser."""
    import uvicorn  # noqa: PLC0415  `lettering --help` opens without a server

    from lettering.table.answering import Table  # noqa: PLC0415
    from lettering.table.connections import BOUNDS  # noqa: PLC0415
    from lettering.table.guard import HOST, Gate  # noqa: PLC0415
    from lettering.table.server import application  # noqa: PLC0415

    bound = bound_to(HOST, port)
    gate = Gate(port=bound.getsockname()[1])
    gate.on_opened = lambda: print(f"Another browser opens it at {gate.first_address}", flush=True)
    table = Table(path)
    print(f"The light table is at {gate.first_address}\nIt closes with Ctrl-C.", flush=True)
    table.watch.start()
    threading.Thread(target=table.work.read, name="reading", daemon=True).start()
    if browser:
        threading.Timer(0.3, webbrowser.open, (gate.first_address,)).start()
    settings = uvicorn.Config(
        application(table, gate),
        log_level="warning",
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=1,
        **BOUNDS,
    )
    try:
        uvicorn.Server(settings).run(sockets=[bound])
    finally:
        table.watch.stop()


def bound_to(host: str, port: int) -> socket.socket:
    """Return a socket that listens on this machine alone; raises LetteringError when the port is taken."""
    # Named as TCP, or asyncio does not switch off Nagle's waiting, which costs every answer 40 ms.
    bound = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        bound.bind((host, port))
        bound.listen()
    except (OSError, OverflowError) as error:
        bound.close()
        hint = "Choose another --port, or none."
        raise LetteringError(f"port {port} cannot be used ({error}).", hint=hint) from None
    return bound


if __name__ == "__main__":
    sys.exit(main())
