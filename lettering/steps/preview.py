"""A spread as a reader will see it: the art with its lettering."""

from pathlib import Path

from lettering.checks.finished import FinishedSpread
from lettering.drawing import Drawing, Group, Layer, Picture
from lettering.steps.laid_out import LaidOut
from lettering.steps.lettering_layers import lettering_layers
from lettering.storage.images import LONGEST_ART, png_bytes, read_art


def preview(finished: FinishedSpread, result: LaidOut, base: Path, *, longest: int = LONGEST_ART) -> Drawing:
    """Return the spread with its art under the lettering; `base` is the folder of the book file.

    No side of the art has more than `longest` px.
    """
    drawing = lettering_layers(finished, result.book)
    art = finished.spread.art
    if art is None:
        return drawing
    picture = Picture(rect=drawing.media, png=png_bytes(read_art(base / art, longest)))
    under = Layer(id="art", title="Art", groups=(Group(id="art-1", title="Art", items=(picture,)),))
    return Drawing(
        title=drawing.title,
        description=drawing.description,
        language=drawing.language,
        trim=drawing.trim,
        bleed_mm=drawing.bleed_mm,
        layers=(under, *drawing.layers),
    )
