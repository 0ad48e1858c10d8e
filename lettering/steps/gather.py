"""Gather: lettered pages and their readings become a hand."""

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from lettering.capture.letter import InkLetter, LetteredPage
from lettering.capture.page import Reading
from lettering.capture.paper.photo import laid_flat
from lettering.capture.paper.sizes import paper_mm
from lettering.capture.read import read_page
from lettering.capture.turned import read_any_way_up
from lettering.errors import LetteringError, ReadingError, counted
from lettering.geometry.rect import Rect
from lettering.hand.gathered import Gathering, gathering
from lettering.hand.hand import GatheredPage, Hand
from lettering.hand.names import UNNAMED
from lettering.hand.take import Drawn, Source
from lettering.hand.withdrawn import size_on_paper, with_pages
from lettering.outlines.glyph_space import glyph_outline
from lettering.outlines.measure import measured
from lettering.outlines.optics import Optics
from lettering.outlines.sample import Sample, few_of
from lettering.outlines.trace import trace
from lettering.steps.progress import Progress, silent, told
from lettering.steps.sharpening import as_paper_sent
from lettering.steps.sheet import demanded_sheet
from lettering.steps.workers import Shares, workers
from lettering.storage.images import png_bytes
from lettering.storage.reading import read_reading
from lettering.storage.scans import pages_in, read_scan
from lettering.storage.ufo import read_hand, write_hand

X_HEIGHT_UNITS = 500.0
"""Font units that the x-height of every page is scaled to, so that pages of any size agree."""

WORTH_SHARING = 80
"""Letters: a second process loads its libraries for about as long as half of them take to trace."""

UNSIZED = "the edges of the paper are not in the picture, so its size tells nothing: name --x-height instead"


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A letter of a page that was not taken into the hand."""

    page: str
    row: int
    """Row of the reading, from 1."""
    place: int
    """Place in the row, spaces counted, from 1."""
    char: str
    reason: str
    kept: bool
    """Whether the hand has a drawing for it that is set aside; not where no ink answers to it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """What came of gathering."""

    hand: Hand
    letters: int
    """How many letters were taken from these pages."""
    left_out: tuple[LeftOut, ...]
    """Letters that were not taken, and why."""
    spacing_error: float | None
    """How far the spacing misses her own in words it did not learn from, share of the x-height."""
    remarks: tuple[str, ...] = ()
    """What is to be said of a page as a whole, with its name."""


def gather(
    pages: Sequence[Path],
    readings: Sequence[Path],
    into: Path,
    *,
    x_height_mm: float | None = None,
    paper: str | None = None,
    clean: float = 0.0,
    progress: Progress = silent,
) -> Gathered:
    """Read lettered `pages` against their `readings` and write the hand at `into`, adding to one that exists.

    A file may hold several pages; readings go to pages in order. Without any, the pages are printed sheets,
    which carry their own (see `steps.sheet`). `paper` names the size of the paper that
    photos show, such as 'A4' or '210x148mm'. `clean` is 0 for exactly what the pen did, to 1 for calmer
    outlines of fewer pieces. Raises LetteringError when anything cannot be read or does not
    fit; the hand on disk is then untouched.
    """
    scans = [(path, number) for path in pages for number in range(pages_in(path))]
    if readings and len(scans) != len(readings):
        raise LetteringError(
            f"{counted(len(scans), 'page')} and {counted(len(readings), 'reading')} were given.",
            hint="Give one --reading for each page, in the same order, or none for printed sheets.",
        )
    if not 0 <= clean <= 1:
        raise LetteringError(
            f"outlines can be cleaned from 0 to 1, not {clean:g}.",
            hint="0 is exactly what the pen did, 1 is calmest.",
        )
    size = paper_mm(paper) if paper else None
    texts = [read_reading(path) for path in readings]
    former = read_hand(into) if into.exists() else None
    # Pages are read and letters traced one by one, so both share out over the machine's cores. Threads would
    # wait for Python's lock, which short loops between short pieces of Python seldom leave.
    with workers(_others(texts), __name__) as shares:
        read = _read(shares, scans, texts, x_height_mm, size, progress)
        drawn = _draw(shares, read, clean, progress)
    if not any(letter.doubt is None for letter in drawn):
        raise ReadingError(
            "no letter could be taken from these pages", hint="See that reading and page agree."
        )
    sizes = [GatheredPage(page.name, _mm_per_unit(page)) for page in read]
    made = gathering(drawn, name=into.stem, mm_per_unit=size_on_paper(sizes), previous=former)
    hand = with_pages(made.hand, sizes)
    write_hand(hand, into)
    error = made.spacing.error
    return Gathered(
        hand=hand,
        letters=_taken(drawn, made),
        left_out=(*_unread(read), *_strange(made)),
        spacing_error=None if error is None else error / hand.metrics.x_height,
        remarks=tuple(f"{page.name}: {remark}" for page in read for remark in page.remarks),
    )


def _others(texts: Sequence[Reading]) -> int:
    """Return how many processes are worth their start beside this one."""
    letters = sum(len("".join(row.split())) for text in texts for row in text.rows)
    return 0 if texts and letters < WORTH_SHARING else (os.cpu_count() or 1) - 1


def _taken(drawn: Sequence[Drawn], made: Gathering) -> int:
    """Return how many of the drawn letters became takes."""
    sure = [letter for letter in drawn if letter.doubt is None]
    pages = {letter.source.page for letter in sure}
    return len(sure) - sum(bool(one.source and one.source.page in pages) for one in made.set_aside)


def _unread(pages: Sequence[LetteredPage]) -> Iterator[LeftOut]:
    """Yield the letters that could not be told for certain on the paper."""
    for page in pages:
        for letter in page.set_aside:
            yield LeftOut(
                page=page.name,
                row=letter.row + 1,
                place=letter.place + 1,
                char=letter.char,
                reason=letter.reason,
                kept=letter.box is not None,
            )


def _strange(made: Gathering) -> Iterator[LeftOut]:
    """Yield the drawings that are unlike all others of their letter."""
    for take in made.set_aside:
        if source := take.source:
            yield LeftOut(
                page=source.page,
                row=source.row + 1,
                place=source.place + 1,
                char=take.char,
                reason=take.reason,
                kept=True,
            )


def _read(
    shares: Shares,
    scans: Sequence[tuple[Path, int]],
    texts: Sequence[Reading],
    x_height_mm: float | None,
    paper: tuple[float, float] | None,
    progress: Progress,
) -> list[LetteredPage]:
    count = len(scans)
    read = shares(_read_one, scans, texts or [None] * count, [x_height_mm] * count, [paper] * count)
    return list(told(read, count, "reading pages", progress))


def _read_one(
    scan: tuple[Path, int],
    reading: Reading | None,
    x_height_mm: float | None,
    paper: tuple[float, float] | None,
) -> LetteredPage:
    picture = as_paper_sent(read_scan(*scan))
    if reading is None:
        sheet = demanded_sheet(picture)
        return read_page(sheet.page, sheet.reading, x_height_mm=x_height_mm)
    page = laid_flat(picture, paper)
    read = read_any_way_up(page, reading, x_height_mm=x_height_mm)
    if paper is None or read.px_per_mm is not None:
        return read
    return replace(read, remarks=(*read.remarks, UNSIZED))


def _draw(shares: Shares, pages: Sequence[LetteredPage], clean: float, progress: Progress) -> list[Drawn]:
    """Return the letters of `pages` as outlines in font units, those of a row in one coordinate system.

    Those that the reading was not sure of are among them, each with the reason.
    """
    samples = [[Sample(coverage=i.coverage, noise=i.noise) for i in few_of(page.letters)] for page in pages]
    jobs = [
        _Job(page.name, ink, X_HEIGHT_UNITS / page.x_height_px, _row_start(page, ink.row), optics, clean, why)
        for page, optics in zip(pages, (measured(some, shares) for some in samples), strict=True)
        for ink, why in _inked(page)
    ]
    traced = told(shares(_draw_one, jobs), len(jobs), "tracing letters", progress)
    return [letter for letter in traced if letter.outline.contours]


@dataclass(frozen=True, slots=True)
class _Job:
    page: str
    ink: InkLetter
    units_per_px: float
    row_start: float
    optics: Optics
    clean: float
    doubt: str | None


def _inked(page: LetteredPage) -> Iterator[tuple[InkLetter, str | None]]:
    """Yield the letters of a page that have ink, with the reason for those that were set aside."""
    yield from ((ink, None) for ink in page.letters)
    yield from ((letter.ink, letter.reason) for letter in page.set_aside if letter.ink)


def _row_start(page: LetteredPage, row: int) -> float:
    """Return where a row begins, page px: by the letters that are sure, if there are any."""
    sure = [ink.left for ink in page.letters if ink.row == row]
    return float(min(sure or [ink.left for ink, _ in _inked(page) if ink.row == row]))


def _draw_one(job: _Job) -> Drawn:
    ink = job.ink
    height, width = ink.coverage.shape
    origin = job.row_start - ink.left
    # The baseline is known under the middle of the letter; the row's own start may lie far to its left.
    baseline = ink.baseline - ink.top - ink.slope * (width / 2 - origin)
    outline = glyph_outline(
        trace(ink.coverage, noise=ink.noise, optics=job.optics, clean=job.clean),
        units_per_px=job.units_per_px,
        baseline=baseline,
        slope=ink.slope,
        origin=origin,
    )
    source = Source(
        page=job.page,
        row=ink.row,
        place=ink.place,
        box=Rect.sized(ink.left, ink.top, width, height),
        confidence=ink.confidence,
        units_per_px=job.units_per_px,
    )
    return Drawn(
        char=ink.char or UNNAMED,
        outline=outline,
        row=ink.row,
        place=ink.place,
        source=source,
        picture=png_bytes(ink.picture),
        doubt=job.doubt,
    )


def _mm_per_unit(page: LetteredPage) -> float | None:
    """Return the size on paper of a page; none when it does not know its scale."""
    return page.x_height_px / page.px_per_mm / X_HEIGHT_UNITS if page.px_per_mm else None
