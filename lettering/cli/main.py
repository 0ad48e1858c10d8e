"""The command line: one command a step."""

import argparse
import os
import sys
from collections.abc import Sequence

from lettering.cli import begin, check, demo, export, gather, hand, place, proof, round, sheet, table
from lettering.errors import LetteringError, did_you_mean

COMMANDS = (begin, sheet, gather, hand, place, check, proof, round, export, table, demo)
"""In the order in which a book is made."""

CLEAN, WITH_ERRORS, NOT_DONE = 0, 1, 2
"""Exit status: done and clean; done, with findings that are errors; could not be done."""


def parser() -> argparse.ArgumentParser:
    """Return the parser of all commands."""
    top = argparse.ArgumentParser(
        prog="lettering",
        description="Letters a picture book's speech in its illustrator's own hand.",
        epilog="Each command has its own --help with an example.",
    )
    commands = top.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for command in COMMANDS:
        command.add_to(commands)
    return top


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status; no traceback reaches the user."""
    typed = list(sys.argv[1:] if arguments is None else arguments)
    if unknown := _unknown(typed):
        print(f"lettering: {unknown}", file=sys.stderr)
        return NOT_DONE
    options = parser().parse_args(typed)
    # Our matrices are small: a second thread costs more than it brings, and work is shared by processes.
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        return int(options.run(options))
    except LetteringError as error:
        print(f"lettering: {error}", file=sys.stderr)
        return error.exit_status
    except KeyboardInterrupt:
        print("lettering: interrupted; nothing was half-written.", file=sys.stderr)
    except BrokenPipeError:
        sys.stderr.close()
    except MemoryError:
        print("lettering: not enough memory for this. Try smaller pictures.", file=sys.stderr)
    except Exception as error:  # the last door: a fault of ours still ends in a sentence
        print(f"lettering: a fault in the program: {type(error).__name__}: {error}", file=sys.stderr)
    return NOT_DONE


def _unknown(typed: Sequence[str]) -> LetteringError | None:
    """Return what is wrong with a first word that is no command; argparse would name no nearest one."""
    names = [command.__name__.rpartition(".")[2] for command in COMMANDS]
    if not typed or typed[0].startswith("-") or typed[0] in names:
        return None
    return LetteringError(f"no command is called '{typed[0]}'.", hint=did_you_mean(typed[0], names))
