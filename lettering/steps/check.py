"""Check: the book as it is placed, and every finding."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from lettering.checks.accept import accept, check_accepted
from lettering.checks.art import Art, check_art
from lettering.checks.finding import Finding
from lettering.checks.manuscript import check_manuscript
from lettering.setting.reading_age import band_for
from lettering.steps.laid_out import LaidOut
from lettering.steps.place import book_as_placed
from lettering.steps.progress import Progress, silent, told
from lettering.storage.facts import facts
from lettering.storage.images import read_art
from lettering.storage.manuscript import read_manuscript


def check_book(path: Path, *, manuscript: Path | None = None, progress: Progress = silent) -> LaidOut:
    """Return the book at `path` as it is placed, with its findings; raises LetteringError.

    With a `manuscript` its words are compared too.
    """
    return checked(book_as_placed(path, progress=progress), path, manuscript=manuscript, progress=progress)


def checked(
    result: LaidOut, path: Path, *, manuscript: Path | None = None, progress: Progress = silent
) -> LaidOut:
    """Return `result`, laid out of the book at `path`, with the findings of art and manuscript as well.

    Those that the book file accepts carry its reason.
    """
    arts = told(_of_art(result, path.parent), len(result.spreads), "checking art", progress)
    found = [*result.findings, *(one for findings in arts for one in findings)]
    if manuscript is not None:
        found += check_manuscript(result.book, read_manuscript(manuscript))
    found = [*accept(found, result.book.accepted), *check_accepted(found, result.book.accepted)]
    return replace(result, findings=tuple(found))


def _of_art(result: LaidOut, base: Path) -> Iterator[list[Finding]]:
    """Yield the findings of each spread's art; `base` is the folder of the book file."""
    band = band_for(result.book.reader_age)
    for finished in result.spreads:
        if finished.spread.art is None:
            yield []
            continue
        path = base / finished.spread.art
        known = facts(path)
        art = Art(pixels=read_art(path), size=(known.columns, known.rows))
        yield list(check_art(finished, art, result.book.page.bleed_mm, band))
