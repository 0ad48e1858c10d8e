"""What all commands share: how they are declared, and how they speak."""

import argparse
import sys
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lettering.steps.progress import Progress

Commands = Any
"""What argparse calls a sub-parsers action; it has no public type."""

PATIENCE_SECONDS = 1.0
"""Work shorter than this shows no bar."""


def declare(
    commands: Commands,
    name: str,
    *,
    does: str,
    example: str,
    run: Callable[[argparse.Namespace], int],
) -> argparse.ArgumentParser:
    """Add a command and return its parser; `does` is a sentence, `example` a command to type."""
    command: argparse.ArgumentParser = commands.add_parser(
        name,
        help=does[0].lower() + does[1:].rstrip("."),
        description=does,
        epilog=f"example:\n  {example}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("--quiet", action="store_true", help="say nothing but results and errors")
    command.set_defaults(run=run)
    return command


def progress(options: argparse.Namespace) -> "Progress":
    """Return how this run tells its progress: a bar on a terminal, nothing when quiet or piped."""
    if options.quiet or not sys.stderr.isatty():
        return lambda task, done, total: None
    return _Bar()


def say(options: argparse.Namespace, text: str) -> None:
    """Print one line of comment on stderr unless quiet."""
    if not options.quiet:
        print(text, file=sys.stderr)


class _Bar:
    """A bar that appears once the work has taken over a second."""

    width = 24

    def __init__(self) -> None:
        self.began = time.monotonic()
        self.shown = False

    def __call__(self, task: str, done: int, total: int) -> None:
        """Redraw the bar for `done` of `total` parts of `task`."""
        if not self.shown and time.monotonic() - self.began < PATIENCE_SECONDS:
            return
        self.shown = done < total
        filled = self.width * done // max(total, 1)
        bar = "█" * filled + "·" * (self.width - filled)
        print(f"\r\x1b[K{task} {bar} {done}/{total}" if self.shown else "\r\x1b[K", end="", file=sys.stderr)
