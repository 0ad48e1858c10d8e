"""Lettered pages on paper that is not blank, and in inks that are not black, with a known truth.

Everything on the paper takes a share of its light, colour by colour, and shares multiply: guide lines, what
shows through from the back, drawings, the tooth of the paper, the ink. Blur, lamp, grain and sRGB encoding
(IEC 61966-2-1) come after, as in a scan.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from lettering.capture.light import encoded
from tests.simulated_page import SimulatedPage

Colour = tuple[float, float, float]
Floats = NDArray[np.float32]

BLACK, SEPIA, BLUE_INK, GRAPHITE = (0.03, 0.03, 0.03), (0.22, 0.1, 0.05), (0.04, 0.07, 0.3), (0.3, 0.3, 0.31)
WHITE, CREAM, KRAFT, PINK = (0.83, 0.83, 0.82), (0.82, 0.74, 0.58), (0.5, 0.36, 0.22), (0.8, 0.5, 0.55)
PALE_BLUE, PALE_GREY, STRONG_BLUE, DARK_GREY = (
    (0.62, 0.76, 0.92), (0.78, 0.78, 0.78), (0.25, 0.4, 0.75), (0.3, 0.3, 0.3),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """Lines printed or drawn on the paper."""

    leave: Colour
    """Share of the light that a line leaves."""
    pitch: float
    """From line to line, px."""
    width: float = 3.0
    """px."""
    squared: bool = False
    askew: float = 0.0
    """dy/dx."""

    def share(self, shape: tuple[int, int]) -> Floats:
        """Return how much of each pixel the lines cover."""
        down, across = (np.asarray(axis, dtype=np.float32) for axis in np.indices(shape))
        share = self._printed(down - self.askew * across)
        return np.maximum(share, self._printed(across + self.askew * down)) if self.squared else share

    def _printed(self, place: Floats) -> Floats:
        away = np.abs((place + self.pitch / 3) % self.pitch - self.pitch / 2)
        return np.asarray(np.clip((self.width + 1) / 2 - away, 0, 1), dtype=np.float32)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """What the ink is like."""

    ink: Colour = BLACK
    """Linear reflectance of full ink."""
    tooth: float = 0.0
    """How much the paper's tooth breaks the ink, as pencil is broken: share of ink lost on average."""
    dry: float = 0.0
    """Share of each stroke's length that a drying marker leaves streaked."""
    pooled: float = 0.0
    """How unevenly wet ink lies, standard deviation of its depth: darker in pools, paler between."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """What the page is lettered on, and how it is seen."""

    colour: Colour = WHITE
    tooth: float = 0.0
    """Standard deviation of the light that the surface sends back, share of it."""
    lines: tuple[Lines, ...] = ()
    back: float = 0.0
    """Share of the light that lettering on the back takes where it shows through, mirrored and blurred."""
    sketched: bool = False
    """Loose drawings stand beside and below the lettering."""
    lamp: Colour = (1.0, 1.0, 1.0)
    """Colour of the light."""
    light_fall: float = 0.1
    """Share of the light lost from the brightest corner to the darkest."""
    blur_px: float = 0.7
    grain: float = 0.015
    seed: int = 1


def lettered_on(sim: SimulatedPage, paper: Paper, pen: Pen = Pen()) -> SimulatedPage:
    """Return the same lettering in another ink on other paper; its coverage is what the pen left."""
    rng = np.random.default_rng(paper.seed)
    coverage = inked(sim.coverage, pen, rng)
    letters = coverage
    room = (0, 0)
    if paper.sketched:
        room = (0, int(12 * sim.x_height_px))
        letters = np.pad(coverage, ((0, room[0]), (0, room[1])))
        letters = np.maximum(letters, sketches(letters.shape, sim, coverage.shape[1]))
        coverage = np.pad(coverage, ((0, room[0]), (0, room[1])))
    light = np.ones((*letters.shape, 3), dtype=np.float32) * np.array(paper.colour, np.float32)
    if paper.tooth:
        light *= 1 + paper.tooth * clouds(rng, letters.shape, 2.0)[..., None]
    if paper.back:
        back = gaussian_filter(sim.coverage[:, ::-1], 2.5)
        light *= 1 - paper.back * np.pad(back, ((0, room[0]), (0, room[1])))[..., None]
    for lines in paper.lines:
        light *= 1 - lines.share(letters.shape)[..., None] * (1 - np.array(lines.leave, np.float32))
    full = np.array(pen.ink, np.float32)
    light += (full - light) * letters[..., None]
    return replace(sim, page=replace(sim.page, pixels=seen(light, paper, rng)), coverage=coverage)


def seen(light: Floats, paper: Paper, rng: np.random.Generator) -> NDArray[np.uint8]:
    """Return the picture of a surface that sends back `light`, shape (h, w, 3)."""
    height, width = light.shape[:2]
    down, across = np.linspace(0, 0.5, height)[:, None], np.linspace(0, 0.5, width)[None, :]
    fall = (1 - paper.light_fall * (down + across))[..., None] * np.array(paper.lamp)
    blurred = gaussian_filter(light, (paper.blur_px, paper.blur_px, 0)) * fall
    blurred += rng.normal(0, paper.grain, blurred.shape)
    return np.asarray(encoded(np.clip(blurred, 0, 1).astype(np.float32)) >> 8, dtype=np.uint8)


def inked(coverage: Floats, pen: Pen, rng: np.random.Generator) -> Floats:
    """Return the coverage that a pen leaves where a perfect one would leave `coverage`."""
    left = coverage
    if pen.tooth:
        # Pencil lies on the tops of the paper's tooth: full there, none in the valleys.
        height = clouds(rng, coverage.shape, 1.2)
        left = left * np.clip(1 - pen.tooth - 0.35 * height * pen.tooth * 2, 0, 1)
    if pen.dry:
        streaks = clouds(rng, coverage.shape, 1.0, 9.0)
        where = clouds(rng, coverage.shape, 12.0) < np.quantile([-2, 2], pen.dry)
        left = np.where(where, left * np.clip(1.2 - np.maximum(streaks, 0), 0.1, 1), left)
    if pen.pooled:
        left = left * np.clip(1 + pen.pooled * (clouds(rng, coverage.shape, 8.0) - 1), 0.4, 1)
    return np.asarray(left, dtype=np.float32)


def clouds(
    rng: np.random.Generator, shape: tuple[int, ...], down: float, across: float | None = None
) -> Floats:
    """Return noise of deviation 1 that is alike over so many px."""
    noise = gaussian_filter(rng.standard_normal(shape, dtype=np.float32), (down, across or down))
    return np.asarray(noise / noise.std(), dtype=np.float32)


def sketches(shape: tuple[int, ...], sim: SimulatedPage, right: int) -> Floats:
    """Return drawings in the free room right of the lettering: rings, a hatching, a loose wave."""
    down, across = np.indices(shape, dtype=np.float32)
    unit = sim.x_height_px
    drawn = np.zeros(shape, dtype=np.float32)
    for y, x, radius in ((4, 5, 2.5), (4.4, 5.3, 1.0), (10, 6, 3.2), (9, 5, 0.5), (9, 7, 0.5)):
        away = np.abs(np.hypot(down - y * unit, across - right - x * unit) - radius * unit)
        drawn = np.maximum(drawn, np.clip(0.08 * unit - away + 0.5, 0, 1))
    hatched = (
        (np.abs((across + 0.4 * down) % (0.5 * unit) - 0.25 * unit) < 0.06 * unit)
        & (np.hypot(down - 10 * unit, across - right - 6 * unit) < 3 * unit)
        & (down > 11 * unit)
    )
    wave = np.abs(down - (14.5 + 0.5 * np.sin(across / unit)) * unit) < 0.07 * unit
    return np.asarray(np.maximum(drawn, hatched | (wave & (across > right + unit))), dtype=np.float32)


def with_drawing_below(sim: SimulatedPage, seed: int = 4) -> SimulatedPage:
    """Return the page with thirty raindrops of all sizes strewn below its lettering."""
    unit, height = sim.x_height_px, sim.coverage.shape[0]
    drawn = np.pad(sim.coverage, ((0, int(8 * unit)), (0, 0)))
    down, across = np.indices(drawn.shape, dtype=np.float32)
    rng = np.random.default_rng(seed)
    for y, x, radius in rng.uniform((0, 3, 0.25), (5, 20, 0.8), (30, 3)):
        away = np.abs(np.hypot(down - height - y * unit, across - x * unit) - radius * unit)
        drawn = np.maximum(drawn, np.clip(0.09 * unit - away + 0.5, 0, 1))
    return replace(sim, coverage=np.asarray(drawn, dtype=np.float32))
