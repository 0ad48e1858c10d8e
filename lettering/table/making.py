"""Files that the page brings, and longer tasks that it asks for."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from lettering.errors import LetteringError
from lettering.steps import on_table, table_changes, uploads
from lettering.steps.begin import Begun
from lettering.steps.book_changes import art
from lettering.steps.export import Wishes, export_book
from lettering.steps.lengths import size_mm
from lettering.steps.progress import Progress
from lettering.steps.proof import write_proof
from lettering.steps.rounds import save
from lettering.table import hand_tasks
from lettering.table.bodies import as_seen, text, whole
from lettering.table.tasks import Task, Tasks
from lettering.table.work import Work

Given = dict[str, Any]


def most_bytes(kind: str) -> int:
    """Return how large a file of a kind may be."""
    return uploads.MOST_TEXT if kind == "manuscript" else uploads.MOST_BYTES


def taken(work: Work, kind: str, query: dict[str, str], data: bytes) -> Given:
    """Take a file that the page brings and return what is to be said of it; raises LetteringError."""
    name, base = query.get("name", ""), work.path.parent
    if kind == "art":
        spread = int(query.get("spread", "-1")) if query.get("spread", "").isdigit() else -1
        kept = uploads.keep_art(base, name, data, longest_mm=on_table.longest_mm(work.book, spread))
        seen = {"was": query["was"]} if "was" in query else {}

        def dropped(text: str) -> str:
            as_seen(seen, work.book.book.spreads[spread].art or "", "the art of this spread")
            return art(text, spread, kept)

        work.edit("art dropped", dropped, spread=spread)
        return {"kept": kept}
    if kind == "page":
        return {"kept": uploads.keep_page(base, name, data)}
    if kind == "manuscript":
        begun = _brought(work, name, data) if work.path.exists() else _begun(work, query, name, data)
        told = None if begun.changes is None else [one.told for one in begun.changes]
        cast = list(begun.cast.values())
        return {"spreads": begun.spreads, "lines": begun.lines, "cast": cast, "changes": told}
    raise LetteringError(f"nothing is called '{kind}' here.")


def _begun(work: Work, query: dict[str, str], name: str, data: bytes) -> Begun:
    size = size_mm(query.get("size", "250x250mm"), "the page")
    text, begun = uploads.take_manuscript(name, data, page=size, age=query.get("age", "5"))
    work.begin("the first manuscript", text)
    return begun


def _brought(work: Work, name: str, data: bytes) -> Begun:
    """Bring the book's words up to date as one change."""
    found: list[Begun] = []

    def updated(text: str) -> str:
        after, begun = uploads.bring_manuscript(text, name, data)
        found.append(begun)
        return after

    work.edit("the manuscript brought again", updated)
    return found[-1]


def start(tasks: Tasks, kind: str, given: Given) -> None:
    """Begin the task that the page asks for; raises LetteringError when there is none of that name."""
    if kind not in KINDS:
        raise LetteringError(f"nothing is called '{kind}' here.")
    name, alone, make = KINDS[kind]
    tasks.start(name, make(tasks.work, given), alone=alone, kind=kind)


def _place_spread(work: Work, given: Given) -> Task:
    spread = whole(given, "spread")

    def done(progress: Progress) -> tuple[Path, ...]:
        after = table_changes.settled(work.book, spread, afresh=True)
        progress("placing the spread", 1, 1)
        work.keep("the spread placed again", after, spread)
        return ()

    return done


def _place_all(work: Work, given: Given) -> Task:
    for_age = given.get("size") == "age"

    def done(progress: Progress) -> tuple[Path, ...]:
        was = work.book
        after = on_table.laid_from(
            was.path,
            was.text,
            was.placements,
            before=was,
            age_decides=for_age,
            stay=False,
            progress=progress,
        )
        progress("placing spreads", 1, 1)
        work.keep("the book placed", after, None)
        return ()

    return done


def _proof(work: Work, given: Given) -> Task:
    paper = text(given, "paper", 20) if "paper" in given else "A4"

    def done(progress: Progress) -> tuple[Path, ...]:
        out = work.path.with_name(f"{work.path.stem}-proof.pdf")
        files, _ = write_proof(work.path, out, paper=paper, progress=progress)
        return files

    return done


def _hand_off(work: Work, given: Given) -> Task:
    formats = [name for name in text(given, "formats", 200).split(",") if name]
    if not formats:
        raise LetteringError("no kind of file is chosen.", hint="Choose one or more of the files above.")
    wishes = Wishes(with_art=given.get("withArt") is True)

    def done(progress: Progress) -> tuple[Path, ...]:
        out = work.path.with_name("hand-off")
        exported = export_book(work.path, out, formats, wishes=wishes, progress=progress)
        return (uploads.together(out, exported.written), *exported.written)

    return done


def _round(work: Work, given: Given) -> Task:
    name = text(given, "name", 60).strip()

    def done(progress: Progress) -> tuple[Path, ...]:
        save(work.path, name, progress=progress)
        return ()

    return done


KINDS: dict[str, tuple[str, bool, Callable[[Work, Given], Task]]] = {
    "place-spread": ("placing the spread", True, _place_spread),
    "place-all": ("placing the book", True, _place_all),
    "proof": ("drawing the proof", False, _proof),
    "hand-off": ("writing the hand-off", False, _hand_off),
    "round": ("keeping the round", False, _round),
    **hand_tasks.KINDS,
}
"""For each task what it is called, whether other changes wait for it, and what makes it."""
