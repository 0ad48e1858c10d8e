"""Hand: what a glyph set holds, what a book still needs of it, and a sheet that shows every take."""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from lettering.errors import LetteringError, did_you_mean
from lettering.export.png import png
from lettering.export.svg import svg
from lettering.hand.contact_sheet import contact_sheet
from lettering.hand.hand import Hand
from lettering.hand.missing import wanted
from lettering.setting.stand_ins import missing
from lettering.setting.words import shown
from lettering.storage.atomic import write_bytes
from lettering.storage.book_file import read_book
from lettering.storage.ufo import read_hand

SPECIMEN_PPI = 200
"""Resolution of a specimen as PNG: fine enough to judge an outline on a screen."""

FEW_TAKES = 3
"""Takes of a small letter below which equal neighbours soon look the same (house default)."""


def describe(path: Path, book: Path | None) -> str:
    """Return in a few rows what the hand at `path` holds, and what `book` needs that it lacks."""
    hand = read_hand(path)
    rows = [*_holdings(hand), *([] if book is None else _wants(hand, book))]
    return "\n".join(rows)


def write_specimen(path: Path, to: Path) -> None:
    """Draw every take of the hand at `path` beside the paper it came from, as `to`'s ending says."""
    draw_specimen(read_hand(path), to)


def draw_specimen(hand: Hand, to: Path) -> None:
    """Draw every take of `hand` beside the paper it came from into the file `to`, SVG or PNG."""
    makers = {
        ".svg": lambda: svg(contact_sheet(hand)).encode(),
        ".png": lambda: png(contact_sheet(hand), SPECIMEN_PPI),
    }
    if to.suffix not in makers:
        hint = did_you_mean(to.suffix.lstrip("."), [suffix.lstrip(".") for suffix in makers])
        raise LetteringError(f"a specimen cannot be drawn as '{to.suffix}'.", str(to), hint)
    write_bytes(to, makers[to.suffix]())


def _holdings(hand: Hand) -> Iterator[str]:
    takes = sum(map(len, hand.takes.values()))
    yield f"{hand.name}: {len(hand.takes)} characters, {takes} takes, {len(hand.kerning)} kerned pairs"
    if hand.mm_per_unit is not None:
        yield f"x-height on paper {hand.metrics.x_height * hand.mm_per_unit:.1f} mm"
    yield f"word space {hand.metrics.word_space / hand.metrics.x_height:.2f} x-heights"
    counts = Counter({char: len(drawn) for char, drawn in hand.takes.items()})
    yield "takes: " + "  ".join(f"{char}{count}" for char, count in sorted(counts.items()))
    few = [char for char in "abcdefghijklmnopqrstuvwxyz" if counts[char] < FEW_TAKES]
    if few:
        yield f"fewer than {FEW_TAKES} takes of: {' '.join(few)}"


def _wants(hand: Hand, book: Path) -> Iterator[str]:
    lines = [shown(line.says) for spread in read_book(book).book.spreads for line in spread.lines]
    lacking = missing("".join(lines), hand)
    yield f"{book} needs, and the hand lacks: {' '.join(lacking)}" if lacking else f"{book} lacks nothing."
    scarce = [want for want in wanted(lines, hand) if want.has]
    if scarce:
        yield "more takes would help: " + ", ".join(
            f"{w.char} (has {w.has}, wants {w.wants})" for w in scarce
        )
