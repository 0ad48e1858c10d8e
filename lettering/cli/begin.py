"""lettering begin: a manuscript becomes a book file."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "begin",
        does="Makes a book file of a manuscript, or brings the words of one up to date.",
        example="lettering begin manuscript.docx --out book.yaml",
        run=run,
    )
    command.add_argument("manuscript", type=Path, metavar="MANUSCRIPT", help=".txt, .md or .docx")
    command.add_argument("--out", type=Path, required=True, metavar="book.yaml")
    command.add_argument("--hand", default="hand.ufo", metavar="HAND.ufo", help="from the book file's folder")
    command.add_argument("--language", default="en", metavar="TAG", help="of the words, such as en or pt-BR")
    command.add_argument(
        "--reader-age", default="5", metavar="YEARS", help="such as 5, or 3-5 when read aloud"
    )
    command.add_argument("--page", default="250x250mm", metavar="WxH", help="one page after trimming")


def run(options: argparse.Namespace) -> int:
    """Write the book file and tell what it holds, or what changed."""
    from lettering.steps.begin import begin, new_book  # noqa: PLC0415  the door opens without geometry
    from lettering.steps.lengths import size_mm  # noqa: PLC0415

    width, height = size_mm(options.page, "--page")
    beginning = new_book(
        hand=options.hand,
        language=options.language,
        reader_age=options.reader_age,
        width_mm=width,
        height_mm=height,
    )
    begun = begin(options.manuscript, options.out, beginning)
    if begun.changes is None:
        print(f"{options.out}: {begun.lines} lines on {begun.spreads} spreads")
        print(f"cast in speaking order: {', '.join(begun.cast.values()) or 'nobody speaks'}")
        print("Next: give every speaker a figure on its spread (box, mouth), and name the art.")
    elif not begun.changes:
        print(f"{options.out}: nothing changed")
    else:
        for change in begun.changes:
            print(change.told)
    return 0
