"""Measures what letters look like in most people's lettering: typefaces in, a table of expected shapes out.

    python scripts/letter_shapes.py FACE.woff2 … > lettering/capture/letters/letter_shapes.json

Give openly licensed typefaces drawn like handwriting that neither a test nor a benchmark reads pages in: what
is expected must not be learnt from what is measured. For each character the median over the faces is kept.
"""

import io
import json
import sys
from collections.abc import Iterator
from pathlib import Path

import freetype
import numpy as np
from fontTools.ttLib import TTFont
from scipy.ndimage import label

CHARS = (
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
    ".,:;!?'\"’‘“”-–—…()&/+=*%#@_[]{}<>~$£€§°éèàüöäñçßæœøåÆŒØ"
)
X_HEIGHT_PX = 60
COLUMNS = ["lowest and highest ink above the baseline, x-heights", "", "width, x-heights", "pieces", "holes"]
EIGHT = np.ones((3, 3))


def main(paths: list[str]) -> None:
    """Print the table of the faces at `paths`."""
    faces = [dict(measured(Path(path))) for path in paths]
    shapes = {}
    for char in CHARS:
        rows = np.array([face[char] for face in faces if char in face])
        if len(rows) >= 3:
            bottom, top, width, pieces, holes = np.median(rows, axis=0)
            sizes = [round(float(size), 2) for size in (bottom, top, width)]
            shapes[char] = [*sizes, round(float(pieces)), round(float(holes))]
    names = ", ".join(sorted(Path(path).name.split("-latin")[0] for path in paths))
    source = (
        f"Medians over {len(faces)} typefaces drawn like handwriting, their outlines measured by "
        f"scripts/letter_shapes.py: {names} (all SIL Open Font License 1.1). No test reads pages in one."
    )
    print(render(source, shapes))


def measured(path: Path) -> Iterator[tuple[str, tuple[float, ...]]]:
    """Yield each character of a face with its lowest and highest ink, width, pieces and holes."""
    face = opened(path)
    unit = float(glyph(face, "x")[1])
    for char in CHARS:
        if face.get_char_index(char):
            ink, top = glyph(face, char)
            height, width = ink.shape
            pieces = label(ink, EIGHT)[1]
            holes = label(np.pad(~ink, 1, constant_values=True))[1] - 1
            yield char, ((top - height) / unit, top / unit, width / unit, pieces, holes)


def opened(path: Path) -> freetype.Face:
    """Return a face whose x is about 60 px high, packed or not."""
    font, plain = TTFont(path), io.BytesIO()
    font.flavor = None
    font.save(plain)
    face = freetype.Face(io.BytesIO(plain.getvalue()))
    face.set_pixel_sizes(0, 200)
    face.set_pixel_sizes(0, round(200 * X_HEIGHT_PX / glyph(face, "x")[1]))
    return face


def glyph(face: freetype.Face, char: str) -> tuple[np.ndarray, int]:
    """Return a character's ink, and how many rows of it stand above the baseline."""
    face.load_char(char, freetype.FT_LOAD_RENDER | freetype.FT_LOAD_NO_HINTING)
    bitmap = face.glyph.bitmap
    ink = np.array(bitmap.buffer, dtype=np.uint8).reshape(bitmap.rows, bitmap.pitch)[:, : bitmap.width] >= 128
    rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    if not len(rows):
        return np.zeros((1, 1), dtype=np.bool_), 0
    return ink[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1], face.glyph.bitmap_top - int(rows[0])


def render(source: str, shapes: dict[str, list[float]]) -> str:
    """Return the table as JSON, a character a line."""
    lines = ",\n".join(
        f"    {json.dumps(char, ensure_ascii=False)}: {json.dumps(row)}" for char, row in shapes.items()
    )
    head = f'  "source": {json.dumps(source)},\n  "columns": {json.dumps(COLUMNS)},\n'
    return f'{{\n{head}  "shapes": {{\n{lines}\n  }}\n}}'


if __name__ == "__main__":
    main(sys.argv[1:])
