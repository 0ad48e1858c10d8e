"""Lettering on the papers of a studio desk: watercolour paper, kraft, washes, tape, holes, stains.

Run from anywhere: python benchmarks/surfaces.py [--face patrick-hand] [--out FOLDER]

Pages are simulated with known truth: an open typeface rasterised exactly, everything else taking its share of
the light colour by colour. A row tells how many letters are right, set aside, and wrong (their ink reaches
farther than 0.2 x-heights from the glyph's own bounds, or is another's); --out keeps the pictures.
"""

import argparse
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from lettering.capture.page import Reading
from lettering.capture.turned import read_any_way_up
from lettering.errors import LetteringError
from lettering.storage.images import png_bytes
from tests.capture.test_read import PAGE, misplaced
from tests.simulated_page import Lettering, Scan, SimulatedPage, simulated_page, typeface
from tests.simulated_paper import GRAPHITE, KRAFT, WHITE, Paper, Pen, clouds, inked, lettered_on, seen

ROWS = PAGE[2:6]
Light = NDArray[np.float32]
Laying = Callable[[Light, SimulatedPage, np.random.Generator], Light]
"""Takes the light of a sheet, shape (h, w, 3), to that of the sheet with something on it, under the ink."""


def disc(shape: tuple[int, ...], y: float, x: float, radius: float) -> Light:
    """Return how much of each pixel a disc covers."""
    down, across = np.ogrid[: shape[0], : shape[1]]
    return np.asarray(np.clip(radius + 0.5 - np.hypot(down - y, across - x), 0, 1), dtype=np.float32)


def toothed(light: Light, sim: SimulatedPage, rng: np.random.Generator) -> Light:
    """Watercolour paper, its deep tooth lit from the side."""
    height = clouds(rng, light.shape[:2], 3.0)
    slope = height - np.roll(height, 3, axis=1)
    return np.asarray(light * np.clip(1 + 0.12 * slope / slope.std(), 0.5, 1.3)[..., None], dtype=np.float32)


def washed(light: Light, sim: SimulatedPage, rng: np.random.Generator) -> Light:
    """A pale blue wash with darker rims, under some of the lettering."""
    pool = clouds(rng, light.shape[:2], 60.0)
    wet = np.clip((pool + 0.2) * 8, 0, 1)
    rim = np.exp(-(((pool + 0.2) * 9) ** 2))
    taken = (0.25 * wet + 0.12 * rim)[..., None] * np.array((1.0, 0.6, 0.25))
    return np.asarray(light * (1 - taken), dtype=np.float32)


def stained(light: Light, sim: SimulatedPage, rng: np.random.Generator) -> Light:
    """A ring of coffee across the rows."""
    h, w = light.shape[:2]
    radius = 0.3 * h
    ring = disc((h, w), 0.5 * h, 0.5 * w, radius) - disc((h, w), 0.5 * h, 0.5 * w, radius - 9)
    inner = disc((h, w), 0.5 * h, 0.5 * w, radius)
    taken = (0.3 * gaussian_filter(ring, 1.5) + 0.06 * inner)[..., None] * np.array((0.5, 0.8, 1.0))
    return np.asarray(light * (1 - taken), dtype=np.float32)


def taped(light: Light, sim: SimulatedPage, rng: np.random.Generator) -> Light:
    """Yellowed tape over the corners."""
    h, w = light.shape[:2]
    down, across = np.ogrid[:h, :w]
    tape = sum(
        (np.abs(y + x - 0.13 * h) < 0.05 * h).astype(np.float32)
        for y in (down, h - down)
        for x in (across, w - across)
    )
    taken = 0.25 * np.clip(tape, 0, 1)[..., None] * np.array((0.4, 0.7, 1.0))
    return np.asarray(light * (1 - taken), dtype=np.float32)


def punched(light: Light, sim: SimulatedPage, rng: np.random.Generator) -> Light:
    """Four holes at the left edge, the dark of a scanner's lid seen through them."""
    h, w = light.shape[:2]
    unit = sim.x_height_px
    for y in (0.15, 0.38, 0.62, 0.85):
        light = light * (1 - 0.94 * disc((h, w), y * h, 1.1 * unit, 0.65 * unit)[..., None])
    return np.asarray(light, dtype=np.float32)


def bound(light: Light, sim: SimulatedPage, rng: np.random.Generator) -> Light:
    """A ring binding: a row of holes along the top with wires through them."""
    h, w = light.shape[:2]
    unit = sim.x_height_px
    for x in np.arange(0.8 * unit, w, 1.2 * unit):
        light = light * (1 - 0.9 * disc((h, w), 0.8 * unit, float(x), 0.3 * unit)[..., None])
        light[: int(0.8 * unit), int(x) - 2 : int(x) + 3] *= 0.3
    return np.asarray(light, dtype=np.float32)


def underdrawn(light: Light, sim: SimulatedPage, rng: np.random.Generator) -> Light:
    """The same letters sketched first in a hard pencil, not quite in the same place, with guide lines."""
    sketch = np.zeros(light.shape[:2], dtype=np.float32)
    for dy, dx in ((3, -2), (-2, 3)):
        moved = np.roll(sim.coverage, (dy, dx), axis=(0, 1))
        outline = gaussian_filter(moved, 1.0) * (1 - gaussian_filter(moved, 1.0)) * 4
        sketch = np.maximum(sketch, outline)
    pencil = inked(sketch, Pen(tooth=0.3), rng)
    return np.asarray(light * (1 - 0.28 * pencil[..., None]), dtype=np.float32)


def smudged(light: Light, sim: SimulatedPage, rng: np.random.Generator) -> Light:
    """Erased pencil: a grey smear with the ghost of other words."""
    ghost = gaussian_filter(np.roll(sim.coverage, (int(sim.x_height_px * 0.8), 40), axis=(0, 1)), 2.0)
    smear = np.clip(clouds(rng, light.shape[:2], 8.0, 40.0), 0, 2) * 0.05
    return np.asarray(light * (1 - 0.14 * ghost - smear)[..., None], dtype=np.float32)


def corrected(light: Light, sim: SimulatedPage, rng: np.random.Generator) -> Light:
    """Patches of correction fluid, whiter than the paper, with a shadow at their lower rim."""
    h, w = light.shape[:2]
    for y, x in ((0.3, 0.3), (0.55, 0.7), (0.75, 0.45)):
        patch = gaussian_filter(disc((h, w), y * h, x * w, 1.3 * sim.x_height_px), 1.0)
        rim = np.clip(np.roll(patch, (3, 3), axis=(0, 1)) - patch, 0, 1)
        light = light * (1 - 0.25 * rim[..., None])
        light = light + (0.93 - light) * patch[..., None]
    return np.asarray(light, dtype=np.float32)


def traced_over(light: Light, sim: SimulatedPage, rng: np.random.Generator) -> Light:
    """Tracing paper: a drawing shows through from below, dulled and blurred."""
    h, w = light.shape[:2]
    down, across = np.indices((h, w), dtype=np.float32)
    drawn = np.zeros((h, w), dtype=np.float32)
    for y, x, radius in rng.uniform((0, 0, 0.08 * h), (h, w, 0.4 * h), (9, 3)):
        away = np.abs(np.hypot(down - y, across - x) - radius)
        drawn = np.maximum(drawn, np.clip(3 - away, 0, 1))
    return np.asarray(light * (1 - 0.3 * gaussian_filter(drawn, 2.0))[..., None], dtype=np.float32)


SURFACES: dict[str, tuple[Paper, Pen, Laying | None]] = {
    "watercolour paper, side light": (Paper(), Pen(), toothed),
    "pencil on watercolour paper": (Paper(), Pen(ink=GRAPHITE, tooth=0.2), toothed),
    "pale wash under ink": (Paper(), Pen(), washed),
    "coffee ring": (Paper(), Pen(), stained),
    "tape at the corners": (Paper(), Pen(), taped),
    "punched holes": (Paper(), Pen(), punched),
    "ring binding": (Paper(), Pen(), bound),
    "pencil under-drawing": (Paper(), Pen(), underdrawn),
    "erased pencil, smudged": (Paper(), Pen(), smudged),
    "correction fluid": (Paper(), Pen(), corrected),
    "tracing paper over a drawing": (Paper(colour=(0.7, 0.7, 0.68)), Pen(), traced_over),
    "white gel pen on kraft": (Paper(colour=KRAFT, tooth=0.04), Pen(ink=(0.85, 0.85, 0.83)), None),
    "white ink on black paper": (Paper(colour=(0.05, 0.05, 0.05)), Pen(ink=WHITE), None),
    "marker, a third of it dry": (Paper(tooth=0.03), Pen(dry=0.3), None),
    "marker, half of it dry": (Paper(tooth=0.03), Pen(dry=0.5), None),
    "very grainy pencil": (Paper(tooth=0.03), Pen(ink=GRAPHITE, tooth=0.4), None),
}
"""Each surface: the paper, the pen, and what lies on the paper below the ink."""


def laid_on(sim: SimulatedPage, paper: Paper, pen: Pen, laying: Laying | None) -> SimulatedPage:
    """Return the lettering on a paper with something on it."""
    if laying is None:
        return lettered_on(sim, paper, pen)
    rng = np.random.default_rng(paper.seed)
    coverage = inked(sim.coverage, pen, rng)
    light = np.ones((*coverage.shape, 3), dtype=np.float32) * np.array(paper.colour, np.float32)
    light = laying(light, sim, rng)
    light += (np.array(pen.ink, np.float32) - light) * coverage[..., None]
    return replace(sim, page=replace(sim.page, pixels=seen(light, paper, rng)), coverage=coverage)


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--face", nargs="+", default=["patrick-hand", "delius"])
    options.add_argument("--out", type=Path)
    options.add_argument("--only", default="", help="surfaces whose names hold this")
    asked = options.parse_args()
    print(f"{'surface':32}{'typeface':16}letters  right  set aside  wrong")
    for name, surface in SURFACES.items():
        for face in asked.face if asked.only in name else ():
            lettering = Lettering(x_height_mm=4.0, spacing=0.06, wander=0.03, jitter=0.02)
            sim = laid_on(simulated_page(typeface(face), ROWS, lettering, Scan(ppi=300)), *surface)
            if asked.out:
                asked.out.mkdir(parents=True, exist_ok=True)
                (asked.out / f"{name}, {face}.png").write_bytes(png_bytes(sim.page.pixels.astype(np.uint8)))
            print(f"{name:32}{face:16}{_said(sim)}", flush=True)


def _said(sim: SimulatedPage) -> str:
    try:
        page = read_any_way_up(sim.page, Reading(ROWS))
    except LetteringError as refusal:
        return f"refused: {refusal.message}"
    wrong, count = len(misplaced(page, sim)), len(sim.letters)
    return f"{count:7}{len(page.letters) - wrong:7}{count - len(page.letters):11}{wrong:7}"


if __name__ == "__main__":
    main()
