"""The book at a glance: what stands on each spread, who speaks when, in what size, and how well."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from lettering.checks.finished import FinishedSpread
from lettering.errors import counted
from lettering.setting.words import shown
from lettering.steps.laid_out import LaidOut

PROVEN_WITHIN = 1e-3
"""Score and bound that differ by less are the same: costs count in steps as large."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadSummary:
    """One spread in figures."""

    pages: tuple[int, ...]
    lines: int
    words: int
    speakers: tuple[str, ...]
    """Names, in the order in which they first speak here; captions and sounds have none."""
    score: float
    bound: float
    free: int
    """Lines that were placed now; the others stayed where they were."""
    broken: int
    """Hard rules that its layout breaks."""

    @property
    def proven(self) -> bool:
        """Whether lines were placed, and no layout of those considered is better."""
        return self.free > 0 and self.score < self.bound + PROVEN_WITHIN

    @property
    def label(self) -> str:
        """'4-5', '1'."""
        return "-".join(map(str, self.pages))


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """A whole book in figures."""

    spreads: tuple[SpreadSummary, ...]
    x_height_mm: float
    """Size of plain lettering."""
    first: tuple[tuple[str, str], ...]
    """Each speaker's name with the pages of its first words, in that order."""

    @property
    def lines(self) -> int:
        """Lines of the whole book."""
        return sum(spread.lines for spread in self.spreads)

    @property
    def words(self) -> int:
        """Words of the whole book."""
        return sum(spread.words for spread in self.spreads)

    @property
    def placed(self) -> int:
        """Spreads on which lines were placed now."""
        return sum(spread.free > 0 for spread in self.spreads)

    @property
    def proven(self) -> int:
        """Those of them whose layout is proven best."""
        return sum(spread.proven for spread in self.spreads)


def summary(result: LaidOut) -> Summary:
    """Return a laid-out book in figures."""
    names = {character.key: character.name for character in result.book.cast}
    first: dict[str, str] = {}
    spreads = []
    for finished in result.spreads:
        one = _spread(finished, names)
        spreads.append(one)
        for name in one.speakers:
            first.setdefault(name, one.label)
    return Summary(spreads=tuple(spreads), x_height_mm=result.x_height_mm, first=tuple(first.items()))


def _spread(finished: FinishedSpread, names: dict[str, str]) -> SpreadSummary:
    lines = finished.spread.lines
    return SpreadSummary(
        pages=finished.spread.pages,
        lines=len(lines),
        words=sum(len(shown(line.says).split()) for line in lines),
        speakers=tuple(dict.fromkeys(names.get(who, who) for line in lines for who in line.who)),
        score=finished.placed.score,
        bound=finished.placed.bound,
        free=finished.placed.free,
        broken=len(finished.placed.broken),
    )


def as_plain(book: Summary) -> dict[str, Any]:
    """Return the summary as JSON values."""
    return {
        "x_height": round(book.x_height_mm, 4),
        "lines": book.lines,
        "words": book.words,
        "placed": book.placed,
        "proven": book.proven,
        "speaking_order": [{"name": name, "first": pages} for name, pages in book.first],
        "spreads": [
            {
                "pages": list(one.pages),
                "lines": one.lines,
                "words": one.words,
                "speakers": list(one.speakers),
                "score": round(one.score, 6),
                "bound": round(one.bound, 6),
                "free": one.free,
                "proven": one.proven,
                "broken": one.broken,
            }
            for one in book.spreads
        ],
    }


def as_rows(book: Summary) -> list[str]:
    """Return the summary as rows of text: a table with a row a spread, and the whole book below."""
    head = ("pages", "lines", "words", "score", "", "speakers")
    cells = [head, *(_cells(one) for one in book.spreads)]
    wide = [max(len(row[column]) for row in cells) for column in range(len(head))]
    rows = [_row(row, wide) for row in cells]
    order = ", ".join(f"{name} ({'pages' if '-' in pages else 'page'} {pages})" for name, pages in book.first)
    said = f"{counted(book.lines, 'line')}, {counted(book.words, 'word')}"
    rows.append(f"{said}, x-height {book.x_height_mm:.2f} mm.")
    if order:
        rows.append(f"They first speak: {order}.")
    if book.placed:
        rows.append(f"Spreads placed now: {book.placed}; proven best: {book.proven}.")
    return rows


def _cells(one: SpreadSummary) -> tuple[str, ...]:
    figures = (one.label, str(one.lines), str(one.words), f"{one.score:.1f}")
    return (*figures, _worth(one), ", ".join(one.speakers))


def _worth(one: SpreadSummary) -> str:
    if one.broken:
        return "rules broken"
    if not one.free:
        return "stays"
    return "best" if one.proven else f"at most {_off(one):.1f} % off"


def _off(one: SpreadSummary) -> float:
    """Return by how many per cent the score may lie above the best."""
    return 100 * (one.score - one.bound) / max(abs(one.bound), 1e-9)


def _row(cells: Sequence[str], wide: Sequence[int]) -> str:
    """Return figures flush right, words flush left."""
    figures = (0, 1, 2, 3)
    both = zip(cells, wide, strict=True)
    text = "  ".join(f"{c:>{w}}" if i in figures else f"{c:<{w}}" for i, (c, w) in enumerate(both))
    return text.rstrip()
