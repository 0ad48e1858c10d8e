"""Export: lettering layers as files a printer can use, written all or none."""

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from lettering.checks.finding import Finding
from lettering.drawing import Drawing
from lettering.errors import LetteringError, OutputError, did_you_mean
from lettering.export.otf import compile_otf
from lettering.export.png import png
from lettering.export.svg import svg
from lettering.steps.laid_out import LaidOut
from lettering.steps.lettering_layers import lettering_layers
from lettering.steps.place import book_as_placed
from lettering.steps.progress import Progress, silent, told
from lettering.storage.atomic import replacing_folder

PPI = (300, 600)
"""Resolutions of the PNG layers: colour art and line art at print size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exported:
    """What was written, and what is to be said of it."""

    written: tuple[Path, ...]
    findings: tuple[Finding, ...]


def export_book(path: Path, out: Path, formats: Sequence[str], *, progress: Progress = silent) -> Exported:
    """Write the lettering of the book at `path` into the folder `out`, a folder a format.

    Raises LetteringError for unknown formats and whatever the book or the disk does not allow.
    """
    for name in formats:
        _maker(name)
    result = book_as_placed(path, progress=progress)
    written = write_layers(result, out, formats, progress=progress)
    return Exported(written=written, findings=result.findings)


def write_layers(
    result: LaidOut, out: Path, formats: Sequence[str], *, progress: Progress = silent
) -> tuple[Path, ...]:
    """Write the lettering of a book that is laid out and return the files.

    A format's folder is replaced when all its files are made, and is untouched otherwise.
    """
    drawings = {_stem(s.spread.pages): lettering_layers(s, result.book) for s in result.spreads}
    written: list[Path] = []
    for name in formats:
        folder = out / name
        _refuse_foreign(folder, name)
        files = _maker(name)(result, drawings)
        with replacing_folder(folder) as fresh:
            for file, data in told(files, _count(name, drawings), f"writing {name}", progress):
                (fresh / file).write_bytes(data)
                written.append(folder / file)
    return tuple(written)


Make = Callable[[LaidOut, Mapping[str, Drawing]], Iterator[tuple[str, bytes]]]
"""Makes the files of one format: name and content."""


def _svg(_: LaidOut, drawings: Mapping[str, Drawing]) -> Iterator[tuple[str, bytes]]:
    return ((f"{stem}.svg", svg(drawing).encode()) for stem, drawing in drawings.items())


def _png(_: LaidOut, drawings: Mapping[str, Drawing]) -> Iterator[tuple[str, bytes]]:
    names = [(stem, ppi) for stem in drawings for ppi in PPI]
    # Painting and packing run outside Python's lock, so threads share them out over the cores.
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as painters:
        made = painters.map(lambda name: png(drawings[name[0]], name[1]), names)
        for (stem, ppi), data in zip(names, made, strict=True):
            yield f"{stem}-{ppi}ppi.png", data


def _otf(result: LaidOut, _: Mapping[str, Drawing]) -> Iterator[tuple[str, bytes]]:
    yield f"{result.hand.name}.otf", compile_otf(result.hand)


FORMATS: dict[str, Make] = {"svg": _svg, "png": _png, "otf": _otf}
"""What each format is made by."""


def _count(name: str, drawings: Mapping[str, Drawing]) -> int:
    return {"svg": len(drawings), "png": len(drawings) * len(PPI)}.get(name, 1)


def _maker(name: str) -> Make:
    if name not in FORMATS:
        raise LetteringError(f"no format named '{name}'.", "--formats", did_you_mean(name, FORMATS))
    return FORMATS[name]


def _refuse_foreign(folder: Path, name: str) -> None:
    """Refuse to replace a folder that holds anything but files of the format."""
    if folder.is_dir() and any(entry.suffix != f".{name}" for entry in folder.iterdir()):
        raise OutputError(
            f"this folder holds other files than {name}; it would be replaced.",
            str(folder),
            "Choose another --out, or move them away.",
        )


def _stem(pages: Sequence[int]) -> str:
    """Return the file name of a spread without its ending: `pages-04-05`, `page-01`."""
    return ("pages-" if len(pages) > 1 else "page-") + "-".join(f"{page:02d}" for page in pages)
