"""The demo: the whole job on the demo book, from scanned pages to lettering layers."""

import shutil
from pathlib import Path

import lettering
from lettering.errors import LetteringError, OutputError
from lettering.export.png import png
from lettering.steps.check import checked
from lettering.steps.export import Exported, write_layers
from lettering.steps.gather import gather
from lettering.steps.hand import draw_specimen
from lettering.steps.laid_out import LaidOut
from lettering.steps.place import place_book
from lettering.steps.preview import preview
from lettering.steps.progress import Progress, silent
from lettering.storage.atomic import write_bytes

DEMO = Path(lettering.__file__).parents[1] / "demo"
"""The demo's pages and book, beside the package in a clone."""

PREVIEW_PPI = 120


def run_demo(out: Path, *, progress: Progress = silent) -> Exported:
    """Gather the demo's pages, place, check and export its book, all into the folder `out`.

    Raises LetteringError when a step fails, or when the program was installed without its demo.
    """
    if not DEMO.is_dir():
        raise LetteringError("the demo is not part of this installation.", hint="Run it from a clone.")
    hand = out / "glyph_sets" / "demo.ufo"
    pages = sorted((DEMO / "pages").glob("*.png"))
    book = _copy_of_the_book(out / "book")
    gathered = gather(pages, [page.with_suffix(".txt") for page in pages], hand, progress=progress)
    draw_specimen(gathered.hand, out / "hand.png")
    placed = checked(place_book(book, progress=progress), book, progress=progress)
    layers = write_layers(placed, out / "hand-off", ("svg", "png", "otf"), progress=progress)
    seen = _write_previews(placed, book.parent, out / "spreads")
    return Exported(written=(out / "hand.png", *seen, *layers), findings=placed.findings)


def _copy_of_the_book(folder: Path) -> Path:
    """Copy the book file and its art, so that the placements of this run do not land in the clone."""
    try:
        (folder / "art").mkdir(parents=True, exist_ok=True)
        for source in (DEMO / "book.yaml", *sorted((DEMO / "art").glob("*.png"))):
            shutil.copyfile(source, folder / source.relative_to(DEMO))
    except OSError as error:
        raise OutputError(f"cannot write: {error.strerror}.", str(folder)) from error
    return folder / "book.yaml"


def _write_previews(placed: LaidOut, base: Path, folder: Path) -> tuple[Path, ...]:
    """Write each spread with its art, as a reader will see it; `base` is the book's folder."""
    written = []
    for finished in placed.spreads:
        path = folder / f"{finished.spread.label.replace(' ', '-')}.png"
        write_bytes(path, png(preview(finished, placed, base), PREVIEW_PPI))
        written.append(path)
    return tuple(written)
