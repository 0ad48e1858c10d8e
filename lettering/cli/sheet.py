"""lettering sheet: a page to letter on."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "sheet",
        does="Makes a page with guide lines to letter on, asking for what a book still lacks.",
        example="lettering sheet --out sheet.pdf --for book.yaml --paper A4 --x-height 6mm",
        run=run,
    )
    command.add_argument("--out", required=True, type=Path, metavar="FILE.pdf", help="the PDF to write")
    command.add_argument(
        "--for", dest="book", type=Path, metavar="book.yaml", help="ask for what this book's hand lacks"
    )
    command.add_argument("--paper", default="A4", help="A4, Letter or a size such as 210x148mm")
    command.add_argument("--x-height", default="6mm", metavar="LENGTH", help="height of small letters: 6mm")


def run(options: argparse.Namespace) -> int:
    """Make the sheet and tell what it asks for."""
    from lettering.steps.lengths import length_mm  # noqa: PLC0415  the door opens without image libraries
    from lettering.steps.sheet import make_sheet  # noqa: PLC0415

    x_height = length_mm(options.x_height, "--x-height")
    rows = make_sheet(options.out, book=options.book, paper=options.paper, x_height_mm=x_height)
    print(f"{options.out}: {len(rows)} rows to letter")
    print("\n".join(f"  {row}" for row in rows))
    return 0
