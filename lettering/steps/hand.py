"""Hand: what a glyph set holds, what a book still needs of it, and a sheet that shows every take."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from lettering.drawing import Colour, Drawing, Group, Layer, Painted
from lettering.errors import LetteringError, did_you_mean
from lettering.export.drawing_pdf import drawing_pdf
from lettering.export.png import png
from lettering.export.svg import svg
from lettering.geometry.contour import Contour
from lettering.geometry.path import Path as Outlines
from lettering.geometry.point import Vector
from lettering.geometry.rect import Rect
from lettering.hand.aside import called_back
from lettering.hand.asking import unlettered_pairs
from lettering.hand.contact_sheet import contact_sheet
from lettering.hand.gathered import gathering
from lettering.hand.hand import Hand
from lettering.hand.merged import merged
from lettering.hand.missing import wanted
from lettering.hand.specimen import specimen
from lettering.setting.reading_age import all_bands
from lettering.setting.stand_ins import missing
from lettering.setting.words import shown
from lettering.steps.hands import lines_in
from lettering.storage.atomic import write_bytes
from lettering.storage.book_file import read_book
from lettering.storage.ufo import read_hand, write_hand

SPECIMEN_PPI = 150
"""Resolution of a specimen as PNG: fine enough to judge a letter on a screen."""

SIZES_SHOWN = 5
"""How many of the reading-age sizes stand on a specimen, the largest of them."""

PAPER = Colour(253, 251, 246)
"""The ground of a specimen."""

PAIRS_TOLD = 12
"""Pairs that a book needs most and no word of the hand shows, so that their spacing is a guess."""

LONGEST_NAME = 31
"""Longest name of a typeface family that every system lists whole (common practice, no source)."""

WORDS_TOLD = 8
"""Words from which spacing was learnt, as examples."""

FEW_TAKES = 3
"""Takes of a small letter below which equal neighbours soon look the same (house default)."""


def describe(path: Path, book: Path | None) -> str:
    """Return in a few rows what the hand at `path` holds, and what `book` needs of it that it lacks."""
    hand = read_hand(path)
    rows = [*_holdings(hand), *([] if book is None else _wants(hand, path, book))]
    return "\n".join(rows)


def call_back(path: Path, names: Sequence[str]) -> None:
    """Make takes again of drawings that were set aside in the hand at `path`; raises HandError for others."""
    hand = read_hand(path)
    for name in names:
        hand = called_back(hand, name)
    write_hand(hand, path)


def merge(path: Path, other: Path) -> None:
    """Add the takes and words of the hand at `other` to the one at `path`; raises LetteringError."""
    write_hand(merged(read_hand(path), read_hand(other)), path)


def rename(path: Path, name: str) -> None:
    """Give the hand at `path` another name, under which its typeface is listed; raises LetteringError."""
    clean = " ".join(name.split())
    if not clean or len(clean) > LONGEST_NAME or not clean.isprintable():
        hint = f"Type a name of at most {LONGEST_NAME} letters."
        raise LetteringError("a hand needs a name that can be read.", "--rename", hint)
    write_hand(replace(read_hand(path), name=clean), path)


def write_specimen(path: Path, to: Path) -> None:
    """Draw the hand at `path` into the file `to`, SVG, PDF or PNG by its ending; raises LetteringError."""
    draw_specimen(read_hand(path), to)


def draw_specimen(hand: Hand, to: Path) -> None:
    """Draw `hand` into the file `to`: letters and words, then every take beside its paper."""
    makers: dict[str, Callable[[Drawing], bytes]] = {
        ".svg": lambda drawing: svg(drawing).encode(),
        ".png": lambda drawing: png(drawing, SPECIMEN_PPI),
        ".pdf": drawing_pdf,
    }
    if to.suffix not in makers:
        hint = did_you_mean(to.suffix, makers)
        raise LetteringError(f"a specimen cannot be drawn as '{to.suffix}'.", str(to), hint)
    sizes = sorted({band.x_target for band in all_bands()} | {band.x_min for band in all_bands()})
    write_bytes(to, makers[to.suffix](_on_paper(specimen(hand, sizes[-SIZES_SHOWN:]), contact_sheet(hand))))


def _on_paper(first: Drawing, second: Drawing) -> Drawing:
    """Return two drawings on one sheet of paper, the second below the first."""
    down = Vector(0.0, first.trim.height)
    sheet = Rect(0.0, 0.0, max(first.trim.width, second.trim.width), first.trim.height + second.trim.height)
    paper = Painted(path=Outlines((Contour.rectangle(sheet),)), fill=PAPER)
    ground = Layer(id="paper", title="Paper", groups=(Group(id="paper-1", title="Paper", items=(paper,)),))
    layers = (ground, *first.layers, *(layer.moved(down) for layer in second.layers))
    return replace(first, trim=sheet, layers=layers)


def _holdings(hand: Hand) -> Iterator[str]:
    takes = sum(map(len, hand.takes.values()))
    yield f"{hand.name}: {len(hand.takes)} characters, {takes} takes, {len(hand.kerning)} kerned pairs"
    if hand.mm_per_unit is not None:
        yield f"x-height on paper {hand.metrics.x_height * hand.mm_per_unit:.1f} mm"
    yield f"word space {hand.metrics.word_space / hand.metrics.x_height:.2f} x-heights"
    counts = Counter({char: len(drawn) for char, drawn in hand.takes.items()})
    yield "takes: " + "  ".join(f"{char}{count}" for char, count in sorted(counts.items()))
    few = [char for char in "abcdefghijklmnopqrstuvwxyz" if counts[char] < FEW_TAKES]
    yield from _spacing(hand)
    for take in (take for takes in hand.aside.values() for take in takes):
        source = take.source
        where = f" ({source.page}, row {source.row + 1}, place {source.place + 1})" if source else ""
        yield f"set aside: {take.name}{where}: {take.aside}"
    if few:
        yield f"fewer than {FEW_TAKES} takes of: {' '.join(few)}"


def _spacing(hand: Hand) -> Iterator[str]:
    """Yield what the spacing was learnt from, how far it can be trusted, and how much of it is a guess."""
    report = gathering((), name=hand.name, mm_per_unit=None, previous=hand).spacing
    small = [char for char in hand.takes if len(char) == 1 and char.islower()]
    guessed = {a + b for a in small for b in small} - {
        a + b for word in report.words for a, b in pairwise(word)
    }
    if not report.words:
        yield "spacing guessed from the shapes: no page shows words"
        return
    some = ", ".join(list(dict.fromkeys(report.words))[:WORDS_TOLD])
    more = ", …" if len(set(report.words)) > WORDS_TOLD else ""
    yield f"spacing learnt from {len(report.words)} words: {some}{more}"
    if report.error is not None:
        yield f"words left out of it are missed by {report.error / hand.metrics.x_height:.3f} x-heights a gap"
    yield f"pairs of small letters still guessed: {len(guessed)} of {len(small) ** 2}"


def _wants(hand: Hand, path: Path, book: Path) -> Iterator[str]:
    read = read_book(book, unfinished=True).book
    lines = [shown(line.says) for line in lines_in(path, read, book.parent)]
    lacking = missing("".join(lines), hand)
    yield f"{book} needs, and the hand lacks: {' '.join(lacking)}" if lacking else f"{book} lacks nothing."
    if pairs := unlettered_pairs(lines, hand)[:PAIRS_TOLD]:
        yield "pairs worth lettering: " + " ".join(pair for pair, _ in pairs)
    scarce = [want for want in wanted(lines, hand) if want.has]
    if scarce:
        yield "more takes would help: " + ", ".join(
            f"{w.char} (has {w.has}, wants {w.wants})" for w in scarce
        )
