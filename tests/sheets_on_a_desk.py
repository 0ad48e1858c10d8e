"""Photos of one or several lettered sheets on one desk, seen by a camera of known place."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, gaussian_filter1d, map_coordinates

from lettering.capture.page import PageImage
from lettering.units import MM_PER_INCH
from tests.simulated_page import SimulatedPage
from tests.simulated_photo import Phone, camera, sensed

SCENE_PPI = 120.0
"""Resolution of the desk before it is photographed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """What the sheets lie on."""

    light: float = 0.15
    """Linear reflectance."""
    planks: float = 0.0
    """How far boards of 90 mm differ, and the grain in them."""
    checks: float = 0.0
    """How far squares of 25 mm, as on oilcloth, differ."""


def desk_of(desk: Desk, shape: tuple[int, int]) -> NDArray[np.float32]:
    """Return a bare desk, linear light."""
    rng = np.random.default_rng(7)
    px_per_mm = SCENE_PPI / MM_PER_INCH
    down, across = (np.arange(side) / px_per_mm for side in shape)
    grain = gaussian_filter1d(gaussian_filter1d(rng.standard_normal(shape), 25, axis=1), 1.5, axis=0)
    boards = rng.uniform(-1, 1, len(down))[(down / 90).astype(int)][:, None] + 4 * grain
    squares = ((down[:, None] // 25 + across[None, :] // 25) % 2) - 0.5
    tone = desk.light * (1 + desk.planks * boards + desk.checks * squares)
    return np.asarray(np.clip(tone, 0.01, 1), dtype=np.float32)


def on_a_desk(
    sheets: Sequence[tuple[SimulatedPage, float, float]],
    desk: Desk,
    phone: Phone,
    paper: float = 0.8,
    margin_mm: float = 25.0,
) -> PageImage:
    """Return a photo of sheets whose upper left corners lie at x, y mm on a desk that fills the picture."""
    k = SCENE_PPI / MM_PER_INCH
    inks = []
    for sim, x, y in sheets:
        assert sim.page.ppi
        step = round(sim.page.ppi / SCENE_PPI)
        high, wide = (side // step * step for side in sim.coverage.shape)
        small = sim.coverage[:high, :wide].reshape(high // step, step, wide // step, step).mean(axis=(1, 3))
        inks.append((small, round((y + margin_mm) * k), round((x + margin_mm) * k)))
    size = tuple(
        max(at[1 + axis] + at[0].shape[axis] for at in inks) + round(margin_mm * k) for axis in (0, 1)
    )
    spare = max(size)  # the desk goes on past what the camera is pointed at
    scene = np.pad(desk_of(desk, (size[0], size[1])), spare, mode="symmetric")
    for ink, top, left in inks:
        place = np.s_[spare + top : spare + top + ink.shape[0], spare + left : spare + left + ink.shape[1]]
        scene[place] = paper * (1 - ink) + 0.03 * ink
    to_picture = camera((size[1] / k, size[0] / k), phone) @ np.diag([1 / k, 1 / k, 1])
    y, x = np.mgrid[0 : phone.height_px, 0 : phone.width_px] + 0.5
    back = np.linalg.inv(to_picture)
    depth = back[2, 0] * x + back[2, 1] * y + back[2, 2]
    across = (back[0, 0] * x + back[0, 1] * y + back[0, 2]) / depth
    down = (back[1, 0] * x + back[1, 1] * y + back[1, 2]) / depth
    seen = map_coordinates(
        gaussian_filter(scene, 0.5), [down + spare - 0.5, across + spare - 0.5], order=1, mode="nearest"
    )
    light = seen * (1 - 0.25 * (x / phone.width_px) - 0.15 * (y / phone.height_px))
    pixels = sensed(light.astype(np.float32), np.random.default_rng(phone.seed), phone)
    return PageImage(name="photo.jpg", pixels=pixels, ppi=None)
