"""lettering demo: the whole job on the demo book."""

import argparse
from pathlib import Path

from lettering.cli.command import Commands, declare, progress
from lettering.cli.findings import report


def add_to(commands: Commands) -> None:
    """Declare the command."""
    command = declare(
        commands,
        "demo",
        does="Does the whole job on the demo book: gather, place, check, export.",
        example="lettering demo --out demo-out",
        run=run,
    )
    command.add_argument(
        "--out",
        type=Path,
        default=Path("lettering-demo"),
        metavar="DIR",
        help="folder for all results (lettering-demo)",
    )


def run(options: argparse.Namespace) -> int:
    """Run the demo and name what it made."""
    from lettering.steps.demo import run_demo  # noqa: PLC0415  the door opens without libraries

    result = run_demo(options.out, progress=progress(options))
    for path in result.written:
        print(path)
    return report(result.findings)
