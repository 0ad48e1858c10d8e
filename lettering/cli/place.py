"""lettering place: every line of the book finds its place."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare, progress
from lettering.cli.findings import report
from lettering.errors import counted


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "place",
        does="Places every line of the book and keeps the placements beside the book file.",
        example="lettering place book.yaml --json layout.json",
        run=run,
    )
    command.add_argument("book", type=Path, metavar="book.yaml")
    command.add_argument(
        "--afresh", action="store_true", help="place every line anew that is not held, wherever it was"
    )
    command.add_argument("--json", metavar="FILE|-", help="also write the layout, - for standard output")


def run(options: argparse.Namespace) -> int:
    """Place the book and report what could not be done."""
    from lettering.steps.layout import write_layout  # noqa: PLC0415  the door opens without geometry libraries
    from lettering.steps.place import place_book  # noqa: PLC0415
    from lettering.steps.summary import as_rows, summary  # noqa: PLC0415

    result = place_book(options.book, afresh=options.afresh, progress=progress(options))
    if options.json:
        write_layout(result, options.json)
    if options.json != "-":
        lines = sum(len(spread.lines) for spread in result.spreads)
        spreads = counted(len(result.spreads), "spread")
        print(f"{options.book}: {counted(lines, 'line')} placed on {spreads}")
        print(*as_rows(summary(result)), sep="\n")
    return report(result.findings, quiet=options.json == "-")
