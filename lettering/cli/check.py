"""lettering check: all findings."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare, progress
from lettering.cli.findings import report


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "check",
        does="Asks every question of the trade about the book as it is placed.",
        example="lettering check book.yaml",
        run=run,
    )
    command.add_argument("book", type=Path, metavar="book.yaml")
    command.add_argument(
        "--manuscript", type=Path, metavar="FILE", help="compare the words with it: .txt, .md or .docx"
    )
    command.add_argument(
        "--json", metavar="FILE|-", help="also write layout and findings, - for standard output"
    )


def run(options: argparse.Namespace) -> int:
    """Check the book and report the findings."""
    from lettering.steps.check import check_book  # noqa: PLC0415  the door opens without geometry libraries
    from lettering.steps.layout import write_layout  # noqa: PLC0415
    from lettering.steps.summary import as_rows, summary  # noqa: PLC0415

    result = check_book(options.book, manuscript=options.manuscript, progress=progress(options))
    if options.json:
        write_layout(result, options.json)
    if options.json != "-":
        print(*as_rows(summary(result)), sep="\n")
    return report(result.findings, quiet=options.json == "-")
