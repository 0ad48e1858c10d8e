"""Phone photos of lettered pages with a known truth: the simulated page lying on a desk before a camera.

The page is seen through a camera of known place and focal length (a projective map, closed form); light falls
off, a hard shadow lies across, the lamp is warm; then come the lens's blur, the sensor's noise, the phone's
sharpening, the sRGB encoding and JPEG.
"""

import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import gaussian_filter, map_coordinates

from lettering.capture.page import PageImage
from lettering.units import MM_PER_INCH
from tests.simulated_page import SimulatedPage


@dataclass(frozen=True, slots=True, kw_only=True)
class Phone:
    """How the page is photographed."""

    width_px: int = 2400
    height_px: int = 3000
    tilt_degrees: float = 14.0
    """The camera leans back from looking straight down."""
    turn_degrees: float = 6.0
    """The page lies turned in the picture."""
    fill: float = 0.8
    """Share of the picture's height that the page takes."""
    shadow: float = 0.45
    """Light that is left in the shadow that lies across one corner; 1 is none."""
    warm: tuple[float, float, float] = (1.0, 0.86, 0.66)
    """The lamp's red, green and blue."""
    desk: tuple[float, float, float] = (0.22, 0.13, 0.08)
    """Linear reflectance of the desk."""
    blur_px: float = 0.8
    noise: float = 0.008
    sharpening: float = 0.6
    """Share of an unsharp mask of 1.5 px that the phone adds."""
    quality: int = 85
    seed: int = 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SimulatedPhoto:
    """A photo and where the page lies in it."""

    page: PageImage
    to_picture: NDArray[np.float64]
    """Millimetres on the page to px of the photo, (3, 3)."""
    size_mm: tuple[float, float]
    """Width and height of the page."""


def camera(size_mm: tuple[float, float], phone: Phone) -> NDArray[np.float64]:
    """Return the map from mm on the page to px of the photo: a pinhole camera leaning over the page."""
    tilt, turn = np.radians([phone.tilt_degrees, phone.turn_degrees])
    focal = 1.1 * phone.height_px
    lean = np.array([[1, 0, 0], [0, np.cos(tilt), -np.sin(tilt)], [0, np.sin(tilt), np.cos(tilt)]])
    spin = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    away = focal * size_mm[1] / (phone.fill * phone.height_px)
    seen = lean @ spin
    place = np.column_stack([seen[:, 0], seen[:, 1], [0, 0, away]])
    lens = np.array([[focal, 0, phone.width_px / 2], [0, focal, phone.height_px / 2], [0, 0, 1]])
    centred = np.array([[1, 0, -size_mm[0] / 2], [0, 1, -size_mm[1] / 2], [0, 0, 1]])
    mapped: NDArray[np.float64] = lens @ place @ centred
    return mapped / mapped[2, 2]


def photographed(
    sim: SimulatedPage, paper: tuple[float, float, float] = (0.8, 0.79, 0.76), phone: Phone = Phone()
) -> SimulatedPhoto:
    """Return a photo of a simulated page; the same bytes every time."""
    assert sim.page.ppi
    px_per_mm = sim.page.ppi / MM_PER_INCH
    size = sim.coverage.shape[1] / px_per_mm, sim.coverage.shape[0] / px_per_mm
    to_picture = camera(size, phone)
    rng = np.random.default_rng(phone.seed)
    y, x = np.mgrid[0 : phone.height_px, 0 : phone.width_px] + 0.5
    back = np.linalg.inv(to_picture @ np.diag([1 / px_per_mm, 1 / px_per_mm, 1]))
    depth = back[2, 0] * x + back[2, 1] * y + back[2, 2]
    across = (back[0, 0] * x + back[0, 1] * y + back[0, 2]) / depth
    down = (back[1, 0] * x + back[1, 1] * y + back[1, 2]) / depth
    # The page's ink is blurred to the photo's pixel size first, so that nothing aliases.
    shrink = px_per_mm * size[1] / (phone.fill * phone.height_px)
    ink = gaussian_filter(sim.coverage, max(0.0, 0.45 * shrink))
    inked = map_coordinates(ink, [down - 0.5, across - 0.5], order=1, mode="constant")
    edge = np.minimum.reduce([across, sim.coverage.shape[1] - across, down, sim.coverage.shape[0] - down])
    on_page = np.clip(edge / shrink + 0.5, 0, 1)
    falling = 1 - 0.25 * (x / phone.width_px) - 0.15 * (y / phone.height_px)
    shade = np.clip((x + 0.8 * y - 0.75 * phone.height_px) / 6 + 0.5, 0, 1)
    falling *= phone.shadow + (1 - phone.shadow) * shade
    planes = []
    for lamp, white, desk in zip(phone.warm, paper, phone.desk, strict=True):
        page = white * (1 - inked) + 0.03 * inked
        light = lamp * falling * (on_page * page + (1 - on_page) * desk)
        planes.append(sensed(light.astype(np.float32), rng, phone))
    data = io.BytesIO()
    Image.fromarray(np.stack(planes, axis=-1)).save(data, "JPEG", quality=phone.quality)
    pixels = np.asarray(Image.open(data))
    return SimulatedPhoto(
        page=PageImage(name="photo.jpg", pixels=pixels, ppi=None), to_picture=to_picture, size_mm=size
    )


def sensed(light: NDArray[np.float32], rng: np.random.Generator, phone: Phone) -> NDArray[np.uint8]:
    """Return 8-bit sRGB (IEC 61966-2-1) of what a phone makes of light."""
    seen = gaussian_filter(light, phone.blur_px)
    seen += phone.noise * np.sqrt(np.maximum(seen, 0.01)) * rng.standard_normal(seen.shape, dtype=np.float32)
    seen = np.clip(seen, 0, 1)
    encoded = np.where(seen <= 0.0031308, 12.92 * seen, 1.055 * seen ** (1 / 2.4) - 0.055)
    encoded += phone.sharpening * (encoded - gaussian_filter(encoded, 1.5))
    return np.asarray(np.rint(np.clip(encoded, 0, 1) * 255), dtype=np.uint8)
