"""lettering gather: lettered pages to glyph set."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare, progress
from lettering.errors import LetteringError, counted


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "gather",
        does="Turns lettered pages into a glyph set, or adds their takes to one.",
        example="lettering gather page1.png page2.png --reading page1.txt page2.txt --into my-hand.ufo",
        run=run,
    )
    command.add_argument(
        "pages",
        nargs="*",
        type=Path,
        metavar="PAGE",
        help="scans or photos of lettered pages: PNG, JPEG, TIFF, WebP, HEIC, PDF",
    )
    command.add_argument(
        "--reading",
        nargs="+",
        action="extend",
        default=[],
        type=Path,
        metavar="TEXT",
        help="what each page says, in the same order: UTF-8 text, a row of lettering a row of text; "
        "not needed for printed sheets, which carry it themselves",
    )
    command.add_argument(
        "--into", required=True, type=Path, metavar="HAND.ufo", help="the glyph set to write"
    )
    command.add_argument(
        "--x-height",
        metavar="LENGTH",
        help="height of the small letters on paper, such as 6mm, when the scan has no ppi",
    )
    command.add_argument(
        "--paper",
        metavar="SIZE",
        help="size of the paper that photos show, such as A4, Letter or 210x148mm",
    )
    command.add_argument(
        "--clean",
        type=float,
        default=0.0,
        metavar="0..1",
        help="0 keeps exactly what the pen did, up to 1 gives calmer outlines of fewer pieces (default 0)",
    )
    command.add_argument(
        "--withdraw",
        metavar="PAGE",
        help="instead of gathering: take out again what came from this page, named by its file",
    )


def run(options: argparse.Namespace) -> int:
    """Gather and tell what was understood, or withdraw a page."""
    if options.withdraw:
        return _withdraw(options)
    if not options.pages:
        raise LetteringError("no page was named.", hint="Name the scans or photos to gather.")
    from lettering.steps.gather import gather  # noqa: PLC0415  the door opens without image libraries
    from lettering.steps.lengths import length_mm  # noqa: PLC0415

    x_height = length_mm(options.x_height, "--x-height") if options.x_height else None
    result = gather(
        options.pages,
        options.reading,
        options.into,
        x_height_mm=x_height,
        paper=options.paper,
        clean=options.clean,
        progress=progress(options),
    )
    takes = sum(map(len, result.hand.takes.values()))
    print(f"{options.into}: {len(result.hand.takes)} characters, {takes} takes")
    pages = counted(len(options.pages), "page")
    print(f"{counted(result.letters, 'letter')} taken from {pages}, {len(result.left_out)} left out")
    if result.spacing_error is not None:
        print(f"spacing of words it did not learn from: {result.spacing_error:.3f} x-heights off on average")
    for remark in result.remarks:
        print(f"  {remark}")
    for letter in result.left_out:
        name = f"'{letter.char}' " if letter.char else ""
        print(f"  {letter.page}, row {letter.row}, place {letter.place}: {name}{letter.reason}")
    return 0


def _withdraw(options: argparse.Namespace) -> int:
    from lettering.steps.withdraw import withdraw  # noqa: PLC0415

    if options.pages or options.reading:
        raise LetteringError(
            "pages cannot be gathered and withdrawn at once.", hint="Withdraw first, then gather."
        )
    hand, gone = withdraw(options.withdraw, options.into)
    takes = sum(map(len, hand.takes.values()))
    print(f"{options.into}: {len(hand.takes)} characters, {takes} takes")
    print(f"{gone} takes withdrawn that came from {Path(options.withdraw).name}")
    return 0
