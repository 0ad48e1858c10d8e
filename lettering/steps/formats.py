"""What each format of the hand-off is made of: its files, one by one."""

import csv
import io
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from lettering.checks.finished import FinishedSpread
from lettering.drawing import Drawing
from lettering.export.condition import Profile
from lettering.export.otf import compile_otf, compile_woff2
from lettering.export.plate import PPI as LINE_PPI
from lettering.export.plate import plate
from lettering.export.png import png
from lettering.export.png import size as px_size
from lettering.export.press import PressArt, press_pdf
from lettering.export.reading_pdf import ReadPage, ReadRow, reading_pdf
from lettering.export.svg import svg
from lettering.geometry.rect import Rect
from lettering.hand.hand import Hand
from lettering.setting.words import shown
from lettering.steps.laid_out import LaidOut
from lettering.steps.lettering_layers import lettering_layers, speaker
from lettering.storage.images import read_art
from lettering.storage.line_art import line_art_tiff
from lettering.storage.packed import art_in_full, jpeg_bytes

PPI = (300, 600)
"""Resolutions of the PNG layers: colour art and line art at print size."""

Files = Iterator[tuple[str, bytes]]
"""Name and content, one file at a time."""


@dataclass(frozen=True, kw_only=True)
class Job:
    """A book to be handed off, and how."""

    result: LaidOut
    base: Path
    """Folder of the book file, for its art."""
    condition: Profile | None = None
    """Printing condition of the press PDF; none when no press PDF is asked for."""
    with_art: bool = False
    """Whether the press PDF has the art as a layer."""
    spot: bool = False
    """Whether the press PDF has the lettering on a plate of its own."""

    @cached_property
    def drawings(self) -> Mapping[str, Drawing]:
        """Lettering layers of each spread by the name of its files."""
        return {stem(s.spread.pages): lettering_layers(s, self.result.book) for s in self.result.spreads}

    def count(self, name: str) -> int:
        """Return how many files a format has."""
        spreads = len(self.result.spreads)
        return {
            "svg": spreads,
            "png": spreads * len(PPI),
            "otf": len(self.result.hands.every),
            "woff2": len(self.result.hands.every),
            "tiff": spreads,
            "pdf": spreads + 1,
            "text": 2,
        }.get(name, 1)


def stem(pages: tuple[int, ...]) -> str:
    """Return the file name of a spread without its ending: `pages-04-05`, `page-01`."""
    return ("pages-" if len(pages) > 1 else "page-") + "-".join(f"{page:02d}" for page in pages)


def _svg(job: Job) -> Files:
    return ((f"{name}.svg", svg(drawing).encode()) for name, drawing in job.drawings.items())


def _png(job: Job) -> Files:
    names = [(name, ppi) for name in job.drawings for ppi in PPI]
    # Painting and packing run outside Python's lock, so threads share them out over the cores.
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as painters:
        made = painters.map(lambda name: png(job.drawings[name[0]], name[1]), names)
        for (name, ppi), data in zip(names, made, strict=True):
            yield f"{name}-{ppi}ppi.png", data


def _otf(job: Job) -> Files:
    return ((f"{hand.name}.otf", compile_otf(hand)) for hand in _told_apart(job.result.hands.every))


def _woff2(job: Job) -> Files:
    return ((f"{hand.name}.woff2", compile_woff2(hand)) for hand in _told_apart(job.result.hands.every))


def _told_apart(hands: Sequence[Hand]) -> Iterator[Hand]:
    """Yield the hands, with a number in a name that is given already: typefaces are told apart by name."""
    used: set[str] = set()
    for hand in hands:
        names = (hand.name, *(f"{hand.name} {number}" for number in range(2, len(hands) + 1)))
        name = next(name for name in names if name.casefold() not in used)
        used.add(name.casefold())
        yield hand if name == hand.name else replace(hand, name=name)


def _pdf(job: Job) -> Files:
    condition = job.condition
    assert condition is not None
    art = [_press_art(finished, job) for finished in job.result.spreads]
    for (name, drawing), picture in zip(job.drawings.items(), art, strict=True):
        yield (
            f"{name}.pdf",
            press_pdf([drawing], condition, title=drawing.title, art=[picture], spot=job.spot),
        )
    whole = list(job.drawings.values())
    yield "book.pdf", press_pdf(whole, condition, title=job.result.book.title, art=art, spot=job.spot)


def _press_art(finished: FinishedSpread, job: Job) -> PressArt | None:
    if not job.with_art or finished.spread.art is None:
        return None
    full = art_in_full(job.base / finished.spread.art)
    return PressArt(
        columns=full.columns,
        rows=full.rows,
        data=full.data,
        jpeg=False,
        colours=full.colours,
        profile=full.profile,
    )


def _tiff(job: Job) -> Files:
    for name, drawing in job.drawings.items():
        columns, _ = px_size(drawing, LINE_PPI)
        yield f"{name}-{LINE_PPI}ppi.tiff", line_art_tiff(plate(drawing, ppi=LINE_PPI), columns, LINE_PPI)


def _reading(job: Job) -> Files:
    book = job.result.book
    pages = [_read_page(finished, job) for finished in job.result.spreads]
    yield "book.pdf", reading_pdf(pages, title=book.title, language=book.language)


def _read_page(finished: FinishedSpread, job: Job) -> ReadPage:
    art = finished.spread.art
    pixels = read_art(job.base / art) if art is not None else None
    rows = tuple(
        tuple(
            ReadRow(text=row.text, ink=Rect.around(glyph.ink for glyph in row.glyphs))
            for row in line.stack.rows
            if row.glyphs
        )
        for line in finished.lines
    )
    return ReadPage(
        drawing=job.drawings[stem(finished.spread.pages)],
        jpeg=jpeg_bytes(pixels) if pixels is not None else None,
        jpeg_size=(pixels.shape[1], pixels.shape[0]) if pixels is not None else (0, 0),
        lines=rows,
        label=finished.spread.label,
    )


def _text(job: Job) -> Files:
    book = job.result.book
    plain = [book.title]
    table = io.StringIO()
    rows = csv.writer(table)  # RFC 4180: commas, quotation marks where needed, CR LF
    rows.writerow(("spread", "line", "speaker", "voice", "words", "x_height_mm"))
    for finished in job.result.spreads:
        plain += ["", finished.spread.label.capitalize()]
        for line in finished.lines:
            who, words = speaker(line, book), " ".join(shown(line.line.says).split())
            plain.append(f"{who}: {words}")
            size = f"{line.stack.x_height_mm:.2f}"
            rows.writerow((finished.spread.label, line.number, who, line.line.voice, _inert(words), size))
    yield "words.txt", ("\n".join(plain) + "\n").encode("utf-8")
    yield "words.csv", table.getvalue().encode("utf-8")


def _inert(words: str) -> str:
    """Return words that no spreadsheet takes for a formula."""
    return f"'{words}" if words[:1] in ("=", "+", "@", "\t") else words


FORMATS: dict[str, Callable[[Job], Files]] = {
    "svg": _svg,
    "png": _png,
    "otf": _otf,
    "woff2": _woff2,
    "pdf": _pdf,
    "reading": _reading,
    "tiff": _tiff,
    "text": _text,
}
"""What each format is made by."""

ENDINGS = {"reading": (".pdf",), "text": (".txt", ".csv")}
"""Endings of a format's files, where they are not its name."""


def endings(name: str) -> tuple[str, ...]:
    """Return how the files of a format end."""
    return ENDINGS.get(name, (f".{name}",))
