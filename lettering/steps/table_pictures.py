"""What the table shows of a book as pixels: its art, how quiet that is, and its spreads made small."""

from pathlib import Path

import numpy as np

from lettering.errors import LetteringError
from lettering.export.png import png
from lettering.steps.lacking import Detail
from lettering.steps.on_table import OnTable
from lettering.steps.preview import preview
from lettering.steps.table_view import spread_at
from lettering.storage.images import png_bytes, read_art
from lettering.storage.packed import jpeg_bytes
from lettering.units import MM_PER_INCH

THUMBNAIL_PX = 280
"""Width of a thumbnail: twice what it takes on the page, for fine screens."""


def art_picture(state: OnTable, index: int, longest: int) -> bytes:
    """Return the art of a spread as JPEG, no side longer than `longest` px.

    It is decoded and packed anew, so that nothing but pixels reaches the page. Raises LetteringError when
    there is none, it cannot be read, or it lies outside the book's folder.
    """
    path = art_path(state, index)
    return jpeg_bytes(read_art(path, longest))


def thumbnail(state: OnTable, index: int) -> bytes:
    """Return a spread as a small PNG: its art with its lettering, as far as there are any."""
    spread, finished = spread_at(state, index), state.spreads[index]
    if finished is None and spread.art is not None:
        return png_bytes(read_art(art_path(state, index), THUMBNAIL_PX))
    frame = state.book.frame(spread)
    if finished is None:
        blank = np.full(
            (round(THUMBNAIL_PX * frame.trim.height / frame.trim.width), THUMBNAIL_PX), 253, np.uint8
        )
        return png_bytes(blank)
    if spread.art is not None:
        art_path(state, index)
    seen = preview(finished, state.opened.result, state.path.parent, longest=THUMBNAIL_PX)
    return png(seen, THUMBNAIL_PX / (seen.media.width / MM_PER_INCH))


def art_path(state: OnTable, index: int) -> Path:
    """Return where the art of a spread is; raises LetteringError when not inside the book's folder."""
    art, base = spread_at(state, index).art, state.path.parent
    if art is None:
        raise LetteringError("this spread has no art.")
    path = (base / art).resolve()
    if not path.is_relative_to(base.resolve()):
        hint = "Move it into the folder and name it there."
        raise LetteringError("the art lies outside the book's folder.", art, hint)
    return path


def quiet_picture(detail: Detail) -> bytes:
    """Return a map of how busy the art is as PNG: clear where quiet, darker where busy."""
    if detail is None:
        raise LetteringError("this spread has no art.")
    return png_bytes((255 - 235 * detail.clip(0, 1)).astype(np.uint8))
