"""lettering proof: pages to look at and comment on."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare, progress
from lettering.cli.findings import report


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "proof",
        does="Draws the book on leaves to look at and comment on, with guides, numbers and findings.",
        example="lettering proof book.yaml --out proof.pdf --paper A4",
        run=run,
    )
    command.add_argument("book", type=Path, metavar="book.yaml")
    command.add_argument(
        "--out",
        required=True,
        type=Path,
        metavar="FILE",
        help="a .pdf, or a .png for numbered pages",
    )
    command.add_argument(
        "--paper", default="A4", metavar="NAME", help="A4, Letter, or size for spreads at their own size (A4)"
    )


def run(options: argparse.Namespace) -> int:
    """Draw the proof; the findings go with it."""
    from lettering.steps.proof import write_proof  # noqa: PLC0415  the door opens without drawing libraries

    written, findings = write_proof(
        options.book, options.out, paper=options.paper, progress=progress(options)
    )
    for path in written:
        print(path)
    return report(findings)
