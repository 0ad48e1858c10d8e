"""lettering round: what was sent, kept, compared and brought back."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare, progress

BOOK = Path("book.yaml")


def add_to(commands: Commands) -> None:
    """Declare the command and what it can be told to do."""
    command = declare(
        commands,
        "round",
        does="Keeps what was sent as a round, compares two, brings one back.",
        example="lettering round save first\n  lettering round compare first now --out changes.pdf",
        run=run,
    )
    deeds = command.add_subparsers(title="what to do", metavar="DEED", required=True, dest="deed")
    save = deeds.add_parser("save", help="freeze book, placements, hand and findings under rounds/")
    save.add_argument("name", metavar="NAME")
    compare = deeds.add_parser("compare", help="tell what changed, line by line; 'now' is the book as it is")
    compare.add_argument("before", metavar="A")
    compare.add_argument("after", metavar="B")
    compare.add_argument("--json", metavar="FILE|-", help="also write it as JSON, - for standard output")
    compare.add_argument("--out", type=Path, metavar="FILE", help="also draw it, as .pdf or .png")
    restore = deeds.add_parser("restore", help="bring a round back; the book as it is becomes a round first")
    restore.add_argument("name", metavar="NAME")
    restore.add_argument("--with-hand", action="store_true", help="the glyph set too")
    listing = deeds.add_parser("list", help="name the rounds there are")
    for deed in (save, compare, restore, listing):
        deed.add_argument("--book", type=Path, default=BOOK, metavar="book.yaml", help="(book.yaml here)")


def run(options: argparse.Namespace) -> int:
    """Do what was asked and tell of it."""
    deeds = {"save": _save, "compare": _compare, "restore": _restore, "list": _list}
    deeds[options.deed](options)
    return 0


def _save(options: argparse.Namespace) -> None:
    from lettering.steps.rounds import save  # noqa: PLC0415  the door opens without geometry libraries

    print(save(options.book, options.name, progress=progress(options)))


def _restore(options: argparse.Namespace) -> None:
    from lettering.steps.rounds import restore  # noqa: PLC0415  the door opens without geometry libraries

    for path in restore(options.book, options.name, with_hand=options.with_hand, progress=progress(options)):
        print(path)


def _list(options: argparse.Namespace) -> None:
    from lettering.steps.rounds import names  # noqa: PLC0415  the door opens without geometry libraries

    for name in names(options.book):
        print(name)


def _compare(options: argparse.Namespace) -> None:
    from lettering.steps import changes_told, rounds  # noqa: PLC0415  no geometry libraries for --help

    found = rounds.compare_rounds(options.book, options.before, options.after, progress=progress(options))
    if options.json:
        changes_told.write_json(found, options.before, options.after, options.json)
    if options.json != "-":
        for row in changes_told.as_rows(found):
            print(row)
    if options.out:
        for path in changes_told.write_comparison(
            found, options.out, options.before, options.after, base=options.book.parent
        ):
            print(path)
