"""lettering table: the light table, the same steps on a page in the browser."""

import argparse
import os
import sys
from pathlib import Path

from lettering.cli.command import Commands, declare


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "table",
        does="Opens the light table: the whole job on one page in the browser.",
        example="lettering table book.yaml",
        run=run,
    )
    command.add_argument(
        "book",
        type=Path,
        nargs="?",
        default=Path("book.yaml"),
        metavar="book.yaml",
        help="a book file, there or not yet, or its folder (book.yaml)",
    )
    command.add_argument("--port", type=int, default=0, metavar="N", help="on this machine (a free one)")
    command.add_argument("--no-browser", action="store_true", help="only print the address to open")


def run(options: argparse.Namespace) -> int:
    """Become the table: it is a door of its own, and this process turns into it."""
    words = [sys.executable, "-m", "lettering.table", str(options.book), "--port", str(options.port)]
    if options.no_browser:
        words.append("--no-browser")
    sys.stdout.flush()
    os.execv(sys.executable, words)
