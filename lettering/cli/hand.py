"""lettering hand: what a hand holds."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "hand",
        does="Tells what a hand holds, and what a book needs that it lacks.",
        example="lettering hand my-hand.ufo --for book.yaml --specimen specimen.png",
        run=run,
    )
    command.add_argument("hand", type=Path, metavar="HAND.ufo")
    command.add_argument(
        "--for", dest="book", type=Path, metavar="book.yaml", help="list what this book lacks"
    )
    command.add_argument(
        "--specimen", type=Path, metavar="FILE", help="draw every take beside its source, as svg, pdf or png"
    )


def run(options: argparse.Namespace) -> int:
    """Describe the hand."""
    from lettering.steps.hand import describe, write_specimen  # noqa: PLC0415  the door opens without libraries

    print(describe(options.hand, options.book))
    if options.specimen:
        write_specimen(options.hand, options.specimen)
        print(options.specimen)
    return 0
