"""lettering hand: what a hand holds."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "hand",
        does="Tells what a hand holds and what a book needs of it; renames it, merges hands.",
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

    command.add_argument(
        "--rename", metavar="NAME", help="give it the name under which its typeface is listed"
    )
    command.add_argument(
        "--merge", type=Path, metavar="OTHER.ufo", help="add the takes and words of another hand to this one"
    )
    command.add_argument(
        "--call-back",
        nargs="+",
        default=[],
        metavar="DRAWING",
        help="use drawings that were set aside, by the names it tells: o.aside1",
    )


def run(options: argparse.Namespace) -> int:
    """Change the hand as asked, and describe it."""
    from lettering.steps import hand as steps  # noqa: PLC0415  the door opens without libraries

    if options.rename is not None:
        steps.rename(options.hand, options.rename)
    if options.merge:
        steps.merge(options.hand, options.merge)
    if options.call_back:
        steps.call_back(options.hand, options.call_back)
    print(steps.describe(options.hand, options.book))
    if options.specimen:
        steps.write_specimen(options.hand, options.specimen)
        print(options.specimen)
    return 0
