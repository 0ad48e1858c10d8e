"""A sheet to letter on as PDF (ISO 32000-1), drawn with lines, squares and the standard typeface Helvetica.

Guides and prompts are printed in a pale blue that a camera's blue light shows no darker than paper.
"""

from collections.abc import Iterator, Sequence

from lettering.export.pdf_file import pdf_file
from lettering.hand.names import glyph_name
from lettering.hand.sheet import PROMPT_MM, SIDE_MM, Code, Sheet
from lettering.units import mm_to_points

STRONG, FAINT, PROMPT = "0.76 0.90 1 RG", "0.86 0.95 1 RG", "0.60 0.80 1 rg"
"""Blue of the guides and of the prompts; its blue part is full, as paper's is."""
STRONG_MM, FAINT_MM = 0.25, 0.15
ROUND = 0.5523
"""Handle of a quarter circle by a cubic curve, radii."""
FIRST_CODE = 33
"""Characters are given codes from here on, for codes below mean control and space in most readers."""


def sheet_pdf(sheet: Sheet) -> bytes:
    """Return the sheet as a PDF of one page; the same sheet gives the same bytes."""
    chars = sorted({char for row in sheet.rows for char in row.text if char != " "})
    codes = {" ": 32} | {char: FIRST_CODE + i for i, char in enumerate(chars[: 255 - FIRST_CODE])}
    names = " ".join(f"/{glyph_name(char)}" for char in codes if char != " ")
    font = (
        "<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding << /Type /Encoding "
        f"/Differences [32 /space {names}] >> >>"
    )
    size = (mm_to_points(sheet.size_mm[0]), mm_to_points(sheet.size_mm[1]))
    operators = "\n".join(_operators(sheet, codes))
    return pdf_file(operators, size_pt=size, fonts={"F": font}, title=sheet.title)


def _operators(sheet: Sheet, codes: dict[str, int]) -> Iterator[str]:
    """Yield the drawing, mm from the top left corner, y down."""
    k = mm_to_points(1.0)
    yield f"{k:.6f} 0 0 {-k:.6f} 0 {k * sheet.size_mm[1]:.4f} cm"
    for height, strong in sheet.guides:
        yield f"{STRONG if strong else FAINT} {STRONG_MM if strong else FAINT_MM} w"
        yield f"{SIDE_MM:.2f} {height:.3f} m {sheet.size_mm[0] - SIDE_MM:.2f} {height:.3f} l S"
    yield PROMPT
    for row in sheet.rows:
        top = row.baseline_mm - 1.75 * sheet.x_height_mm - 0.25 * PROMPT_MM
        text = "".join(f"{codes[char]:02x}" for char in row.text if char in codes)
        # Letters stand upright only when the axis that was turned down is turned up again.
        yield f"BT /F {PROMPT_MM:.2f} Tf 1 0 0 -1 {SIDE_MM:.2f} {top:.3f} Tm <{text}> Tj ET"
    yield "0 g"
    for disc in sheet.discs:
        yield _disc(disc.x, disc.y, sheet.disc_mm)
    for code in sheet.codes:
        yield from _code(code)


def _disc(x: float, y: float, radius: float) -> str:
    k = ROUND * radius
    turns: Sequence[tuple[float, ...]] = (
        (radius, k, k, radius, 0, radius),
        (-k, radius, -radius, k, -radius, 0),
        (-radius, -k, -k, -radius, 0, -radius),
        (k, -radius, radius, -k, radius, 0),
    )
    curves = (" ".join(f"{(x, y)[i % 2] + v:.4f}" for i, v in enumerate(turn)) + " c" for turn in turns)
    return f"{x + radius:.4f} {y:.4f} m {' '.join(curves)} f"


def _code(code: Code) -> Iterator[str]:
    """Yield the dark dots, those side by side as one bar, so that no hairline shows between them."""
    side = code.box.width / len(code.dots)
    for row, dots in enumerate(code.dots.tolist()):
        start = 0
        for place, dark in enumerate([*dots, False]):
            if not dark:
                if place > start:
                    x, y = code.box.x0 + start * side, code.box.y0 + row * side
                    yield f"{x:.4f} {y:.4f} {(place - start) * side:.4f} {side:.4f} re f"
                start = place + 1
