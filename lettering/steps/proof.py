"""Proof: the book on leaves of paper to look at and comment on, as a PDF or as PNG pages."""

from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

from lettering.checks.catalogue import WHOLE_BOOK
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.errors import LetteringError, counted, did_you_mean
from lettering.export.leaf import Leaf, leaf_png, leaves_pdf
from lettering.export.proof import PAPERS, Proof, ProofSpread, Remark, Spoken, proof
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.setting.words import shown
from lettering.steps.check import checked
from lettering.steps.laid_out import LaidOut
from lettering.steps.lettering_layers import speaker
from lettering.steps.place import book_as_placed
from lettering.steps.preview import preview
from lettering.steps.progress import Progress, silent, told
from lettering.storage.atomic import write_bytes

ART_PX, SMALL_ART_PX = 1_600, 400
"""Longest side of the art on a leaf, and of a thumbnail: 160 ppi and more."""

PNG_PPI = 150

OWN_SIZE = "size"
"""The name of paper as large as the spread needs at its own size."""


def write_proof(
    path: Path, out: Path, *, paper: str = "A4", progress: Progress = silent
) -> tuple[tuple[Path, ...], tuple[Finding, ...]]:
    """Write the proof of the book at `path` and return the files and the findings.

    `out` ends with .pdf, or with .png for pages numbered `out-01.png` and so on. Raises LetteringError.
    """
    if paper not in (*PAPERS, OWN_SIZE):
        raise LetteringError(
            f"no paper named '{paper}'.", "--paper", did_you_mean(paper, (*PAPERS, OWN_SIZE))
        )
    if out.suffix.lower() not in (".pdf", ".png"):
        raise LetteringError(f"'{out.name}' ends neither with .pdf nor with .png.", "--out")
    result = checked(book_as_placed(path, progress=progress), path, progress=progress)
    leaves = proof(to_proof(result, path.parent, progress), paper)
    return write_leaves(leaves, out, f"Proof of {result.book.title}"), result.findings


def write_leaves(leaves: Sequence[Leaf], out: Path, title: str) -> tuple[Path, ...]:
    """Write leaves as one PDF, or a PNG for each, and return the files; raises OutputError."""
    if out.suffix.lower() == ".pdf":
        write_bytes(out, leaves_pdf(leaves, title))
        return (out,)
    files = [out.with_name(f"{out.stem}-{number:02d}{out.suffix}") for number in range(1, len(leaves) + 1)]
    for file, leaf in zip(files, leaves, strict=True):
        write_bytes(file, leaf_png(leaf, PNG_PPI))
    return tuple(files)


def to_proof(result: LaidOut, base: Path, progress: Progress = silent) -> Proof:
    """Return what the leaves show of a book; `base` is the folder of the book file."""
    numbered = list(enumerate(result.findings, 1))
    labels = {finished.spread.label for finished in result.spreads}
    spreads = (_spread(finished, result, base, numbered) for finished in result.spreads)
    return Proof(
        title=result.book.title,
        facts=tuple(_facts(result)),
        remarks=tuple(_remark(n, f, None) for n, f in numbered if f.where.split(",")[0] not in labels),
        spreads=tuple(told(spreads, len(result.spreads), "drawing leaves", progress)),
    )


def _facts(result: LaidOut) -> Iterator[tuple[str, str]]:
    book = result.book
    younger, older = book.reader_age
    ages = f"{younger}" if younger == older else f"{younger} to {older}, read aloud"
    lines = [line for spread in result.spreads for line in spread.lines]
    names = [hand.name for hand in result.hands.every]
    hands = f"hand{'s' * (len(names) > 1)} {' and '.join(names)}"
    yield "Reader's age", ages
    yield "Page", f"{book.page.width_mm:g} × {book.page.height_mm:g} mm, bleed {book.page.bleed_mm:g} mm"
    yield "Lettering", f"x-height {result.x_height_mm:.2f} mm, in the {hands}"
    yield "Spreads and lines", f"{len(result.spreads)} and {len(lines)}"
    yield "Cast", ", ".join(one.name for one in book.cast) or "nobody speaks"
    open_ = [found for found in result.findings if found.accepted is None]
    counts = Counter(found.severity for found in open_)
    kinds = [counted(counts[kind], kind) for kind in ("error", "warning", "note")]
    yield "Findings", f"{', '.join(kinds)}; {len(result.findings) - len(open_)} accepted"
    if open_:
        codes = Counter(found.code for found in open_)
        yield "By check", ", ".join(f"{code} {count}" for code, count in codes.most_common())


def _spread(
    finished: FinishedSpread, result: LaidOut, base: Path, numbered: Sequence[tuple[int, Finding]]
) -> ProofSpread:
    label = finished.spread.label
    corners = {f"{label}, line {line.number}": _box(line) for line in finished.lines}
    here = [(number, found) for number, found in numbered if found.where.split(",")[0] == label]
    return ProofSpread(
        label=label,
        drawing=preview(finished, result, base, longest=ART_PX),
        small=preview(finished, result, base, longest=SMALL_ART_PX),
        figures=() if finished.spread.art else tuple(_figures(finished, result)),
        safe=finished.frame.safe,
        gutter=finished.frame.gutter,
        fold_x=finished.frame.fold_x,
        lines=tuple(_spoken(line, result) for line in finished.lines),
        remarks=tuple(_remark(number, found, corners.get(found.where)) for number, found in here),
    )


def _figures(finished: FinishedSpread, result: LaidOut) -> Iterator[tuple[str, Rect]]:
    names = {one.key: one.name for one in result.book.cast}
    for figure in finished.spread.figures:
        yield names.get(figure.who, figure.who), figure.box


def _box(line: FinishedLine) -> Rect:
    return line.bubble.body.bounds if line.bubble else line.stack.ink


def _spoken(line: FinishedLine, result: LaidOut) -> Spoken:
    box = _box(line)
    return Spoken(
        number=line.number,
        who=speaker(line, result.book),
        words=" ".join(shown(line.line.says).split()),
        at=Point(box.x0, box.y0),
    )


def _remark(number: int, found: Finding, box: Rect | None) -> Remark:
    where = "" if found.where == WHOLE_BOOK else f" ({found.where.rsplit(', ')[-1]})" if box else ""
    accepted = f" Accepted: {found.accepted}" if found.accepted else ""
    text = f"{found.severity.capitalize()}{where}: {found.message}{accepted}"
    return Remark(number=number, text=text, at=Point(box.x1, box.y0) if box else None)
