"""Lettered pages on disk, whatever a scanner or a phone writes: pictures of one page, and PDF of many."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from math import sqrt
from pathlib import Path
from threading import Lock

import pypdfium2 as pdfium  # type: ignore[import-untyped]

from lettering.capture.page import PageImage
from lettering.errors import ImageError
from lettering.storage.images import MOST_PIXELS, PLAUSIBLE_PPI, page_image, read_page_image, too_large
from lettering.units import POINTS_PER_INCH

MOST_PAGES = 40
"""Pages of one PDF that are read: a hand needs three, and each takes seconds."""
MOST_BYTES = 500_000_000
"""Largest PDF that is opened."""
MOST_NESTED = 3
"""Depth to which groups on a page of a PDF are searched for pictures."""
PDF_PPI = 400.0
"""Resolution at which a page is drawn that is no single scan."""

_TURN = Lock()
"""PDF are read one at a time: their library keeps its own state for the whole process."""


def pages_in(path: Path) -> int:
    """Return how many pages a file holds; raises ImageError for a PDF that cannot be read or has too many."""
    if not _is_pdf(path):
        return 1
    with _opened(path) as document:
        count = len(document)
    if not 1 <= count <= MOST_PAGES:
        hint = "Save the lettered pages alone."
        raise ImageError(f"the PDF has {count} pages; 1 to {MOST_PAGES} can be read.", str(path), hint)
    return count


def read_scan(path: Path, number: int = 0) -> PageImage:
    """Return page `number`, from 0, of a scan or photo; raises ImageError as `read_page_image` does.

    A page of a PDF comes at the resolution of the scan in it, or at 400 ppi when it is drawn.
    """
    if not _is_pdf(path):
        return read_page_image(path)
    with _opened(path) as document:
        page = document[number]
        width, height = page.get_size()
        _check_pictures(page, str(path))
        ppi = min(_ppi(page), POINTS_PER_INCH * sqrt(MOST_PIXELS / max(width * height, 1.0)))
        drawn = page.render(scale=ppi / POINTS_PER_INCH).to_pil()
    name = path.name if number == 0 else f"{path.name} page {number + 1}"
    return replace(page_image(drawn, name), ppi=ppi)


def _is_pdf(path: Path) -> bool:
    with suppress(OSError), path.open("rb") as file:
        return b"%PDF-" in file.read(1024)  # ISO 32000-1, annex H: the header may stand a little way in
    return False


@contextmanager
def _opened(path: Path) -> Iterator[pdfium.PdfDocument]:
    if path.stat().st_size > MOST_BYTES:
        raise ImageError(f"the PDF is larger than {MOST_BYTES // 1_000_000} MB.", str(path))
    try:
        with _TURN, pdfium.PdfDocument(path) as document:
            yield document
    except (pdfium.PdfiumError, OSError, ValueError) as error:
        hint = "Scan or export it again, without a password."
        raise ImageError("the PDF is damaged, cut short or locked.", str(path), hint) from error


def _check_pictures(page: pdfium.PdfPage, name: str) -> None:
    """Raise ImageError when a picture on the page is too large to be unpacked, however small it is drawn."""
    for found in page.get_objects(filter=[pdfium.raw.FPDF_PAGEOBJ_IMAGE], max_depth=MOST_NESTED):
        across, down = found.get_px_size()
        if across * down > MOST_PIXELS:
            raise too_large(name, f"{across} x {down}, which is ")


def _ppi(page: pdfium.PdfPage) -> float:
    """Return the resolution of the one picture that fills a page, or a good one."""
    found = list(page.get_objects(filter=[pdfium.raw.FPDF_PAGEOBJ_IMAGE], max_depth=MOST_NESTED))
    if len(found) != 1:
        return PDF_PPI
    left, bottom, right, top = found[0].get_bounds()
    across, down = found[0].get_px_size()
    if (right - left) * (top - bottom) < 0.5 * page.get_width() * page.get_height():
        return PDF_PPI
    turned = (right - left > top - bottom) != (across > down)
    ppi = (down if turned else across) / (right - left) * POINTS_PER_INCH
    return float(min(max(ppi, PLAUSIBLE_PPI[0]), PLAUSIBLE_PPI[1]))
