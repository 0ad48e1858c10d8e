"""A drawing as a PDF page to look at, in RGB; what goes to press is another matter."""

import io

import cairocffi as cairo  # type: ignore[import-untyped]

from lettering.drawing import Drawing
from lettering.export.paint import paint
from lettering.units import mm_to_points

_EPOCH = "1980-01-01T00:00:00Z"
"""The same drawing gives the same bytes, so the file carries no clock."""


def drawing_pdf(drawing: Drawing) -> bytes:
    """Return the drawing, bleed included, as a PDF of one page, curves as curves."""
    media, file = drawing.media, io.BytesIO()
    surface = cairo.PDFSurface(file, mm_to_points(media.width), mm_to_points(media.height))
    surface.set_metadata(cairo.PDF_METADATA_TITLE, drawing.title)
    surface.set_metadata(cairo.PDF_METADATA_CREATE_DATE, _EPOCH)
    context = cairo.Context(surface)
    context.scale(mm_to_points(1.0), mm_to_points(1.0))
    context.translate(-media.x0, -media.y0)
    paint(context, drawing.items)
    surface.finish()
    return file.getvalue()
