"""Draws the demo's lettered pages: what an illustrator would scan, and the reading of each beside it.

    .venv/bin/python demo/draw_pages.py [FOLDER]

The pages in `demo/pages/` are the input of the demo; this script is how they came about. The same
script draws the same pages every time.
"""

import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from paper import scanned
from pen import PEN, Ink, drawn
from PIL import Image

PPI = 400
PX_PER_MM = PPI / 25.4
PAGE_MM = (148, 210)
UNIT = 6 / (1 + PEN) * PX_PER_MM
"""Pixels of one unit: a small x is 6 mm tall from ink to ink."""
LEFT, FIRST_BASELINE, ROW_PITCH = 12 * PX_PER_MM, 25 * PX_PER_MM, 16.8 * PX_PER_MM
WORD_SPACE, LETTER_SPACE = 0.84, 0.40
"""White between words, and between two upright strokes, units."""
DEEPEST = 0.24
"""White deeper than this beside a letter, units, does not count as space between letters."""
LEAST_GAP = 0.15
"""Letters never come closer than this, units."""
LEAST_STEP = 0.03
"""Nor does one begin before the last one ends, not even a quotation mark over a full stop, units."""

PAGES = {
    "01": """a b c d e f g h i
j k l m n o p q r
s t u v w x y z
A B C D E F G H I
J K L M N O P Q R
S T U V W X Y Z
0 1 2 3 4 5 6 7 8 9
yes. oh, hm: so; ah!
"well" it's a (tiny) pie
“who?” – me… & him in
an egg-cup""",
    "02": """Aa Bb Cc Dd Ee Ff
Gg Hh Ii Jj Kk Ll
Mm Nn Oo Pp Qq
Rr Ss Tt Uu Vv Ww
Xx Yy Zz (& so on)
3 jugs, 48 figs, 1 sock:
that's 52 – or 67 or 90…
"Quite so; quite so!" he
sang to a half-eaten fly
at 20:45, by the pump.
Yum? No. Not even 1.""",
    "03": """“Dear Fox, who put jam
in my gumboots again?”
“Not me; I put it in
the left one only.”
Hush! A lazy wizard is
boxing up five quilts
and Jack hums along.
We’ve one spoon (mine)
& it’s a very wet hen.
“Why is it wearing that
hat?” Nobody replied.""",
}


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """How much white a character has on its two sides, at each height of the page's grid, units."""

    left: NDArray[np.float64]
    right: NDArray[np.float64]


HEIGHTS = np.linspace(-0.95, 1.95, 117)
"""Heights at which the white beside a character is looked at, units above the baseline."""
EYE = (HEIGHTS > -0.1) & (HEIGHTS < 1.1)
"""The heights that the eye judges spacing by."""


def sides(ink: Ink) -> Sides:
    """Return the white between a character's box and its ink; where there is no ink, infinite."""
    rows = np.rint(-HEIGHTS * UNIT).astype(int) - ink.top
    inside = (rows >= 0) & (rows < len(ink.coverage))
    dark = ink.coverage[np.clip(rows, 0, len(ink.coverage) - 1)] > 0.5
    dark[~inside] = False
    # A stroke's end is felt a little above and below itself.
    felt = np.array([dark[max(0, i - 3) : i + 4].any(axis=0) for i in range(len(dark))])
    found, width = felt.any(axis=1), felt.shape[1]
    left = np.where(found, felt.argmax(axis=1), np.inf)
    right = np.where(found, felt[:, ::-1].argmax(axis=1), np.inf)
    edge_left, edge_right = left.min(), right.min()
    assert width > edge_left + edge_right
    return Sides((left - edge_left) / UNIT, (right - edge_right) / UNIT)


def gap(before: Sides, after: Sides) -> float:
    """Return the gap between two letters' boxes that looks as wide as between two upright strokes, units."""
    white = np.minimum(before.right, DEEPEST)[EYE].mean() + np.minimum(after.left, DEEPEST)[EYE].mean()
    closest = (before.right + after.left).min()
    return float(max(LETTER_SPACE - white, LEAST_GAP - closest, LEAST_STEP))


def letter_row(page: NDArray[np.float32], text: str, baseline: float, rng: Generator) -> None:
    """Draw a row of lettering onto `page`, letter by letter, as far apart as looks even."""
    slope, phase = rng.normal(0, 0.0025), rng.uniform(0, 2 * np.pi)
    x, before = LEFT + rng.normal(0, 0.15) * UNIT, None
    for char in text:
        if char == " ":
            x, before = x + WORD_SPACE * UNIT * (1 + rng.normal(0, 0.06)), None
            continue
        ink = drawn(char, UNIT, rng)
        beside = sides(ink)
        if before is not None:
            x += (gap(before, beside) + np.clip(rng.normal(0, 0.02), -0.04, 0.06)) * UNIT
        columns = np.flatnonzero((ink.coverage > 0.5).any(axis=0))
        wander = 0.018 * UNIT * np.sin(phase + x / (9 * UNIT)) + slope * (x - LEFT)
        lay(page, ink, int(x) - int(columns[0]), int(baseline + wander) + ink.top)
        x, before = x + columns[-1] + 1 - columns[0], beside


def lay(page: NDArray[np.float32], ink: Ink, left: int, top: int) -> None:
    """Add a character's ink to the page."""
    height, width = ink.coverage.shape
    window = page[top : top + height, left : left + width]
    if window.shape != ink.coverage.shape:
        raise ValueError(f"a row runs off the page at {left}, {top}")
    np.maximum(window, ink.coverage, out=window)


def ink_on(name: str, *, rows: int | None = None, rng: Generator | None = None) -> NDArray[np.float32]:
    """Return the ink of page `name`, coverage 0 to 1; `rows` stops after so many."""
    rng = rng or _rng(name)
    width, height = (round(side * PX_PER_MM) for side in PAGE_MM)
    page = np.zeros((height, width), dtype=np.float32)
    for number, text in enumerate(PAGES[name].splitlines()[:rows]):
        baseline = FIRST_BASELINE + number * ROW_PITCH + rng.normal(0, 0.03) * UNIT
        letter_row(page, text, baseline, rng)
    return page


def lettered_page(name: str) -> NDArray[np.uint8]:
    """Return page `name` as a scanner sees it."""
    rng = _rng(name)
    return scanned(ink_on(name, rng=rng), rng)


def _rng(name: str) -> Generator:
    return np.random.default_rng([2026, int(name)])


def main(folder: Path) -> None:
    """Draw all pages and write their readings."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, reading in PAGES.items():
        Image.fromarray(lettered_page(name)).save(folder / f"{name}.png", dpi=(PPI, PPI))
        (folder / f"{name}.txt").write_text(reading + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "pages")
