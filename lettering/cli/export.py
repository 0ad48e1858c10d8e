"""lettering export: the hand-off."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare, progress
from lettering.cli.findings import report


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "export",
        does="Writes the lettering layers as files a printer can use.",
        example="lettering export book.yaml --out hand-off --formats svg,png",
        run=run,
    )
    command.add_argument("book", type=Path, metavar="book.yaml")
    command.add_argument("--out", required=True, type=Path, metavar="DIR", help="the folder to write into")
    command.add_argument(
        "--formats", default="svg,png", metavar="LIST", help="of svg, png and otf, parted by commas (svg,png)"
    )


def run(options: argparse.Namespace) -> int:
    """Export the book; the findings go with it."""
    from lettering.steps.export import export_book  # noqa: PLC0415  the door opens without drawing libraries

    result = export_book(options.book, options.out, options.formats.split(","), progress=progress(options))
    for path in result.written:
        print(path)
    return report(result.findings)
