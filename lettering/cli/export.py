"""lettering export: the hand-off."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare, progress
from lettering.cli.findings import report

FORMATS = "of svg, png, otf, woff2, pdf, reading, tiff and text, parted by commas, or all (svg,png)"


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "export",
        does="Writes the hand-off: files a printer and a publisher can use.",
        example="lettering export book.yaml --out hand-off --formats svg,png",
        run=run,
    )
    command.add_argument("book", type=Path, metavar="book.yaml")
    command.add_argument("--out", required=True, type=Path, metavar="DIR", help="the folder to write into")
    command.add_argument("--formats", default="svg,png", metavar="LIST", help=FORMATS)
    command.add_argument(
        "--profile",
        type=Path,
        metavar="FILE",
        help="ICC profile of the printing condition, for pdf (coated paper, FOGRA39)",
    )
    command.add_argument("--with-art", action="store_true", help="put the art into the press PDF as a layer")
    command.add_argument("--own-plate", action="store_true", help="put the lettering on a plate of its own")


def run(options: argparse.Namespace) -> int:
    """Export the book; the findings go with it."""
    from lettering.steps.export import Wishes, export_book  # noqa: PLC0415  no drawing library for --help

    wishes = Wishes(profile=options.profile, with_art=options.with_art, spot=options.own_plate)
    formats = [name.strip() for name in options.formats.split(",")]
    result = export_book(options.book, options.out, formats, wishes=wishes, progress=progress(options))
    for path in result.written:
        print(path)
    return report(result.findings)
