"""On the table: a book that is still being made, as far as it can be shown.

book = laid(path)    # read; the spreads that lack nothing are laid out
book = asked(book)   # with the findings of `lettering check`

How it changes from there is in `table_changes`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from lettering.book.book import Book, Spread
from lettering.checks.check import check_book as findings_of
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedSpread
from lettering.errors import LetteringError
from lettering.hand.hand import Hand
from lettering.hand.hands import Hands
from lettering.placing.former import FormerLine, FormerSpread, match, match_spreads
from lettering.setting.reading_age import band_for
from lettering.steps.bench import Bench
from lettering.steps.check import checked
from lettering.steps.hands import found_hands
from lettering.steps.lacking import Detail, busy, lacking
from lettering.steps.laid_out import LaidOut
from lettering.steps.moved import OpenBook
from lettering.steps.place import Matter, lay_out_book, to_keep
from lettering.steps.progress import Progress, silent
from lettering.storage.book_file import book_of
from lettering.storage.placements import placements_of, placements_path, placements_text


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OnTable:
    """A book as it lies on the table; spreads that lack something are there without their lettering."""

    path: Path
    """The book file."""
    text: str
    """What it says."""
    book: Book
    hands: Hands | None
    """None where the book's own is not there yet, or cannot be read."""
    troubles: Mapping[str, str]
    """In sentences why a hand is not there, by its glyph set as the book file names it."""
    former: tuple[FormerSpread, ...]
    """The placements that are kept of spreads, in the order of the book file's pages."""
    spreads: tuple[FinishedSpread | None, ...]
    """By index; none for one that lacks something."""
    lacks: tuple[tuple[str, ...], ...]
    """For each spread, in sentences, what it lacks before it can be lettered."""
    x_height_mm: float
    findings: tuple[Finding, ...] = ()
    """Those of the spreads that are laid out; of another state of the book until they are asked anew."""
    details: Mapping[str, Detail] = field(default_factory=dict)
    """How busy the art of a spread is, by the file's name and time."""

    @property
    def hand(self) -> Hand | None:
        """The book's own hand; none where there is none yet, or it cannot be read."""
        return self.hands.own if self.hands else None

    @property
    def ready(self) -> tuple[int, ...]:
        """Indices of the spreads that are laid out."""
        return tuple(i for i, spread in enumerate(self.spreads) if spread is not None)

    @property
    def bench(self) -> Bench:
        """What lies ready for laying out any of its spreads; raises LetteringError without a hand."""
        if self.hands is None:
            raise LetteringError("the book has no hand yet.", str(self.path), "Gather a lettered page first.")
        return Bench(
            book=self.book,
            hands=self.hands,
            band=band_for(self.book.reader_age),
            x_height_mm=self.x_height_mm,
            stay=True,
        )

    @property
    def opened(self) -> OpenBook:
        """The spreads that are laid out as a book whose bubbles may be moved."""
        bench = self.bench
        spreads = tuple(spread for spread in self.spreads if spread is not None)
        book = replace(self.book, spreads=tuple(spread.spread for spread in spreads))
        result = LaidOut(book=book, hands=bench.hands, x_height_mm=self.x_height_mm, spreads=spreads)
        return OpenBook(path=self.path, result=result)

    @property
    def kept(self) -> tuple[FormerSpread, ...]:
        """The placements of the spreads that are shown, and the former ones of those that are not."""
        was = match_spreads(self.book.spreads, self.former)
        pairs = zip(self.spreads, was, strict=True)
        now = (to_keep([done])[0] if done else before for done, before in pairs)
        return tuple(one for one in now if one is not None)

    @property
    def placements(self) -> str:
        """The placements as the file beside the book says them."""
        return placements_text(self.kept)


def laid(path: Path, *, progress: Progress = silent) -> OnTable:
    """Return the book at `path` with what can be laid out of it; raises LetteringError, BookError."""
    return laid_from(path, _read(path), _read(placements_path(path), ""), progress=progress)


def laid_from(
    path: Path,
    text: str,
    placements: str,
    *,
    before: OnTable | None = None,
    age_decides: bool = False,
    stay: bool = True,
    progress: Progress = silent,
) -> OnTable:
    """Return the book that `text` and `placements` say; `before` lends its arts' readings.

    With `age_decides` lettering begins at the size that the reader's age wants, whatever it was; without
    `stay` lines move where their places break a rule.
    """
    book = book_of(text.encode(), str(path), unfinished=True).book
    former = placements_of(placements.encode(), str(placements_path(path))) if placements else ()
    hands, troubles = found_hands(book, path.parent)
    lacks = tuple(tuple(lacking(book, spread, hands, troubles, path.parent)) for spread in book.spreads)
    details = dict(before.details) if before else {}
    band = band_for(book.reader_age)
    state = OnTable(
        path=path,
        text=text,
        book=book,
        hands=hands,
        troubles=troubles,
        former=former,
        spreads=tuple(None for _ in book.spreads),
        lacks=lacks,
        x_height_mm=book.x_height_mm or band.x_target,
        details=details,
    )
    ready = [i for i, lack in enumerate(lacks) if not lack]
    if hands is None or not ready:
        return state
    was = match_spreads(book.spreads, former)
    matter = Matter(
        book=replace(book, spreads=tuple(book.spreads[i] for i in ready)),
        hands=hands,
        former=tuple(
            _at_size(former_lines(book.spreads[i], was[i]), band.x_target if age_decides else None)
            for i in ready
        ),
        detail=tuple(busy(book, book.spreads[i], path.parent, details) for i in ready),
    )
    result = lay_out_book(matter, stay=stay, progress=progress)
    done = dict(zip(ready, result.spreads, strict=True))
    return replace(
        state,
        spreads=tuple(done.get(i) for i in range(len(book.spreads))),
        x_height_mm=result.x_height_mm,
        findings=result.findings,
    )


def longest_mm(state: OnTable, index: int) -> float:
    """Return the longer side of a spread with its bleed; raises LetteringError when there is none."""
    if index not in range(len(state.book.spreads)):
        raise LetteringError("there is no such spread.")
    trim = state.book.frame(state.book.spreads[index]).trim
    return max(trim.width, trim.height) + 2 * state.book.page.bleed_mm


def detail_at(state: OnTable, index: int) -> Detail:
    """Return how busy the art of a spread is, as placing sees it; none without art."""
    return busy(state.book, state.book.spreads[index], state.path.parent, dict(state.details))


def asked(state: OnTable, *, progress: Progress = silent) -> OnTable:
    """Return the book with the findings of what is laid out, as `lettering check` tells them."""
    if not state.ready:
        return replace(state, findings=())
    result = state.opened.result
    found = findings_of(result.spreads, result.book, result.hands, band_for(result.book.reader_age))
    return replace(
        state, findings=checked(replace(result, findings=found), state.path, progress=progress).findings
    )


def former_lines(spread: Spread, was: FormerSpread | None) -> tuple[FormerLine | None, ...]:
    """Return for each line of a spread where it was, in its former placements."""
    return match(spread.lines, was.lines if was else ())


def _at_size(former: Sequence[FormerLine | None], size: float | None) -> tuple[FormerLine | None, ...]:
    """Return the former lines as if they had been lettered at `size`."""
    if size is None:
        return tuple(former)
    return tuple(one and replace(one, x_height_mm=size) for one in former)


def _read(path: Path, otherwise: str | None = None) -> str:
    try:
        return path.read_bytes().decode("utf-8")
    except FileNotFoundError:
        if otherwise is not None:
            return otherwise
        raise LetteringError("there is no such file.", str(path), "Drop a manuscript to begin.") from None
    except (OSError, UnicodeDecodeError) as error:
        raise LetteringError(f"cannot be read as UTF-8 text ({error}).", str(path)) from None
