"""Longer tasks on a hand: a lettered page gathered into it, or taken out of it again."""

import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path, PurePosixPath
from typing import Any

from lettering.errors import counted
from lettering.steps import uploads
from lettering.steps.gather import Gathered, gather
from lettering.steps.lengths import length_mm
from lettering.steps.page_corners import laid_by_corners
from lettering.steps.progress import Progress
from lettering.steps.table_files import files_below
from lettering.steps.table_hand import hand_name
from lettering.steps.withdraw import withdraw
from lettering.table.bodies import points, text
from lettering.table.tasks import Task
from lettering.table.work import Work

Given = dict[str, Any]
MOST_TOLD = 12
"""Letters that were not on the paper that are told by name."""


def gathering(work: Work, given: Given) -> Task:
    """Return the task of gathering a lettered page that was brought into a hand of the book."""
    page, reading = text(given, "page", 200), text(given, "reading", 100_000)
    x_height = text(given, "xHeight", 20) if given.get("xHeight") else ""
    paper = text(given, "paper", 20) if given.get("paper") else None
    corners = points(given, "corners")
    whose = text(given, "whose", 100) if "whose" in given else ""

    def done(progress: Progress) -> str:
        base = work.path.parent
        came: list[Gathered] = []
        picture = uploads.kept_page(base, page)
        if corners is not None:
            picture = laid_by_corners(picture, corners, paper)
        readings = [uploads.keep_reading(base, page, reading)] if reading.strip() else []

        def gathered(into: Path) -> None:
            came.append(
                gather(
                    [picture],
                    readings,
                    into,
                    x_height_mm=length_mm(x_height, "the x-height") if x_height else None,
                    paper=paper,
                    progress=progress,
                )
            )

        _changed(work, whose, f"{PurePosixPath(page).name} gathered", gathered)
        return " ".join(_said(came[0]))

    return done


def _said(came: Gathered) -> Iterator[str]:
    """Yield in sentences what came of gathering; letters that are set aside are seen on the page."""
    lost = [letter for letter in came.left_out if not letter.kept]
    yield f"{counted(came.letters, 'letter')} taken."
    if len(lost) < len(came.left_out):
        yield "Those in doubt are set aside."
    if lost:
        told = [f"{letter.char} (row {letter.row}, place {letter.place})" for letter in lost[:MOST_TOLD]]
        more = ", …" if len(lost) > MOST_TOLD else ""
        yield f"No ink was found for {', '.join(told)}{more}."
    yield from (f"{remark}." for remark in came.remarks)


def withdrawing(work: Work, given: Given) -> Task:
    """Return the task of taking what came from a lettered page out of a hand of the book."""
    page = text(given, "page", 200)
    whose = text(given, "whose", 100) if "whose" in given else ""

    def done(progress: Progress) -> tuple[Path, ...]:
        _changed(work, whose, f"{page} withdrawn", lambda into: withdraw(page, into))
        progress("withdrawing the page", 1, 1)
        return ()

    return done


def _changed(work: Work, whose: str, label: str, change: Callable[[Path], object]) -> None:
    """Make a change to a copy of a hand, then to the hand itself, so that it can be undone."""
    name = hand_name(work.book, whose)
    own = work.path.parent / name
    with tempfile.TemporaryDirectory() as scratch:
        copy = Path(scratch) / PurePosixPath(name).name
        if own.exists():
            shutil.copytree(own, copy)
        change(copy)
        before, after = files_below(own, name), files_below(copy, name)
    work.change_hand(label, before, dict.fromkeys(before) | after)


KINDS: dict[str, tuple[str, bool, Callable[[Work, Given], Task]]] = {
    "gather": ("gathering the page", True, gathering),
    "withdraw": ("withdrawing the page", True, withdrawing),
}
"""For each task what it is called, whether other changes wait for it, and what makes it."""
