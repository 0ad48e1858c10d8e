"""Place: every line of the book finds its place, and the placements are kept beside the book file."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lettering.book.book import Book, Spread
from lettering.checks.check import check_book as findings_of
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.errors import BookError, HandError, LetteringError
from lettering.hand.hands import Hands
from lettering.placing.detail import detail_of
from lettering.placing.former import FormerLine, FormerSpread, match, match_spreads
from lettering.setting.broken import MOST_WORDS
from lettering.setting.reading_age import ReadingBand, band_for
from lettering.setting.stacks import SIZES
from lettering.setting.stand_ins import missing
from lettering.setting.words import shown
from lettering.steps.bench import Bench
from lettering.steps.hands import read_hands
from lettering.steps.laid_out import LaidOut
from lettering.steps.progress import Progress, silent, told
from lettering.steps.spreads import Wanted, laid_spreads
from lettering.storage.book_file import ReadBook, missing_files, read_book
from lettering.storage.images import read_art
from lettering.storage.placements import placements_path, read_placements, write_placements

SIZE_STEPS = 4
"""Sizes tried from the target of the reader's age down to its least, when the book names none."""


def place_book(path: Path, *, afresh: bool = False, progress: Progress = silent) -> LaidOut:
    """Place every line of the book at `path` and write the placements beside it.

    Only what changed is placed anew: held lines stay always, and lines whose words are as before stay
    wherever that breaks no rule; `afresh` all lines are placed as if for the first time, but those held.
    Raises LetteringError when the book cannot be set; nothing is written then.
    """
    matter = read_matter(path)
    if afresh:
        held = tuple(tuple(was if was and was.held else None for was in own) for own in matter.former)
        matter = replace(matter, former=held)
    result = lay_out_book(matter, progress=progress)
    write_placements(to_keep(result.spreads), placements_path(path))
    return result


def book_as_placed(path: Path, *, progress: Progress = silent) -> LaidOut:
    """Return the book with every line where its placements say; only lines without one are placed.

    Nothing is written.
    """
    return lay_out_book(read_matter(path), stay=True, progress=progress)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Matter:
    """A book with all that it refers to, read and matched."""

    book: Book
    hands: Hands
    former: tuple[tuple[FormerLine | None, ...], ...]
    """For each spread and line where it was before."""
    detail: tuple[NDArray[np.float64] | None, ...]
    """For each spread how busy its art is."""

    def wanted(self, index: int, *, stay: bool) -> Wanted:
        """Return what it takes to lay out one spread."""
        spread, former = self.book.spreads[index], self.former[index]
        return Wanted(spread=spread, former=former, detail=self.detail[index], stay=stay)


def read_matter(path: Path) -> Matter:
    """Return the book at `path`, its hands, its former placements and its art; raises LetteringError."""
    read = read_book(path)
    book = read.book
    if absent := missing_files(book, path.parent):
        hint = "Paths in the book file are relative to it."
        raise LetteringError(f"{'; '.join(absent)}.", str(path), hint)
    hands = read_hands(book, path.parent)
    _refuse_unsettable(read, hands)
    before = match_spreads(book.spreads, read_placements(placements_path(path)))
    return Matter(
        book=book,
        hands=hands,
        former=tuple(
            match(spread.lines, was.lines if was else ())
            for spread, was in zip(book.spreads, before, strict=True)
        ),
        detail=tuple(art_detail(book, spread, path.parent) for spread in book.spreads),
    )


def lay_out_book(
    matter: Matter, *, stay: bool = False, processes: int | None = None, progress: Progress = silent
) -> LaidOut:
    """Return the book laid out at the largest size that leaves no rule broken, and its findings.

    Where no size mends every spread, the largest with the fewest broken rules is taken. Lines whose words
    are as before keep their place. Where that breaks a rule the whole spread is placed again, near the
    former places, unless everything is to `stay`. The outcome is the same however many `processes` share the
    spreads; without a number as many as are worth it.
    """
    book = matter.book
    band = band_for(book.reader_age)
    sizes = _sizes(matter, band, stay)
    bench = Bench(book=book, hands=matter.hands, band=band, x_height_mm=sizes[0], stay=True)
    every = range(len(book.spreads))
    wanted = [matter.wanted(i, stay=stay) for i in every]
    laid = laid_spreads(bench, wanted, processes)
    spreads = tuple(told(laid, len(every), "placing spreads", progress))
    if crowded := [i for i in every if spreads[i].placed.broken]:
        size = _fitting(bench, matter, crowded, sizes, _broken(spreads), processes)
        if size != sizes[0]:
            bench = replace(bench, x_height_mm=size)
            laid = laid_spreads(bench, wanted, processes)
            spreads = tuple(told(laid, len(every), "placing spreads smaller", progress))
    findings = tuple(findings_of(spreads, book, matter.hands, band))
    return LaidOut(
        book=book, hands=matter.hands, x_height_mm=bench.x_height_mm, spreads=spreads, findings=findings
    )


def _fitting(
    bench: Bench,
    matter: Matter,
    crowded: Sequence[int],
    sizes: Sequence[float],
    broken: int,
    processes: int | None,
) -> float:
    """Return the largest of `sizes` at which the crowded spreads break as few rules as at the least.

    `broken` is how many they break at the first, which is returned when the least is no better. Halving
    the range saves the sizes between: what fits at one size fits at every smaller one.
    """

    @cache
    def at(k: int) -> int:
        smaller = replace(bench, x_height_mm=sizes[k])
        wanted = [matter.wanted(i, stay=False) for i in crowded]
        return _broken(tuple(laid_spreads(smaller, wanted, processes)))

    large, small = 0, len(sizes) - 1
    if small == 0 or at(small) >= broken:
        return sizes[0]
    fewest = at(small)
    while small - large > 1:
        middle = (large + small) // 2
        large, small = (large, middle) if at(middle) <= fewest else (middle, small)
    return sizes[small]


def to_keep(spreads: Sequence[FinishedSpread]) -> list[FormerSpread]:
    """Return the placements of `spreads` as they are kept on disk."""
    return [FormerSpread(s.spread.pages, tuple(map(_kept_line, s.lines))) for s in spreads]


def _kept_line(line: FinishedLine) -> FormerLine:
    return FormerLine(
        who=line.line.who,
        says=line.line.says,
        rows=tuple(row.text for row in line.stack.rows),
        position=line.placement.centre,
        tips=line.placement.tips,
        x_height_mm=line.stack.x_height_mm,
        held=line.placement.held,
    )


def _broken(spreads: Sequence[FinishedSpread]) -> int:
    return sum(len(spread.placed.broken) for spread in spreads)


def _sizes(matter: Matter, band: ReadingBand, stay: bool) -> list[float]:
    """Return the sizes to try, largest first: the book's own, that of its placements, or the age's range.

    A size from outside that range was found for a reader of another age, and is only shown, not placed in.
    """
    if matter.book.x_height_mm is not None:
        return [matter.book.x_height_mm]
    sizes = [float(size) for size in np.linspace(band.x_target, band.x_min, SIZE_STEPS).round(2)]
    former = _former_size(matter)
    if former is not None and stay:
        return [former]
    if former is None or not sizes[-1] <= former <= sizes[0]:
        return sizes
    return [former, *(size for size in sizes if size < former)]


def _former_size(matter: Matter) -> float | None:
    """Return the size of plain speech in the former placements, when a line of that size is among them."""
    pairs = zip(matter.book.spreads, matter.former, strict=True)
    lines = ((line, was) for spread, before in pairs for line, was in zip(spread.lines, before, strict=True))
    return next((was.x_height_mm for line, was in lines if was and line.voice not in SIZES), None)


def _refuse_unsettable(read: ReadBook, hands: Hands) -> None:
    """Raise one error for every line that cannot be set, each with its place in the book file."""
    problems = list(_unsettable(read, hands))
    if problems:
        raise BookError(problems)


def _unsettable(read: ReadBook, hands: Hands) -> Iterator[LetteringError]:
    """Yield an error for each line that its hand cannot letter, or that is too long for a bubble."""
    for i, spread in enumerate(read.book.spreads):
        for j, line in enumerate(spread.lines):
            hand, says = hands.of(line), shown(line.says)
            if lacking := missing(says, hand):
                yield HandError(
                    f"the hand {hand.name} has no {' '.join(lacking)}, needed for '{says}'.",
                    read.places[i, j],
                    "Letter a page that has them and gather it, or change the words.",
                )
            if (words := len(says.split())) > MOST_WORDS:
                message = f"this line has {words} words; a line holds at most {MOST_WORDS}."
                yield LetteringError(message, read.places[i, j], "Share the words out over several lines.")


def art_detail(book: Book, spread: Spread, base: Path) -> NDArray[np.float64] | None:
    """Return how busy the art of a spread is inside its trim; none without art."""
    if spread.art is None:
        return None
    art = read_art(base / spread.art)
    trim = book.frame(spread).trim
    bleed = book.page.bleed_mm
    rows, columns = art.shape[:2]
    x = round(columns * bleed / (trim.width + 2 * bleed))
    y = round(rows * bleed / (trim.height + 2 * bleed))
    return detail_of(art[y : rows - y, x : columns - x], trim.width, trim.height)
