"""Photos of a page that fills the picture, flat or bent toward the spine, with a known truth.

The paper lies flat but for its left part, which falls away round a cylinder of known radius. A camera of
known place sees it: a ray meets the plane where a linear, and the cylinder where a quadratic equation says.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, map_coordinates
from scipy.spatial.transform import Rotation
from skimage.transform import ProjectiveTransform

from lettering.capture.page import PageImage
from lettering.capture.paper.unbent import Unbending
from lettering.geometry.rect import Rect
from tests.dewarped import Displaced, displaced
from tests.simulated_page import SimulatedPage, TrueLetter
from tests.simulated_photo import Phone, sensed

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bend:
    """How the page lies before the camera; lengths in widths of the page."""

    lean_degrees: float = 14.0
    """The camera leans back from looking straight down."""
    swing_degrees: float = 6.0
    """The camera looks from the side."""
    turn_degrees: float = 3.0
    """The page lies turned in the picture."""
    radius: float = np.inf
    """Radius of the cylinder; none is a flat page."""
    fold: float = 0.45
    """Where, from the left, the flat part begins."""
    focal: float = 1.0
    """Focal length over the picture's width."""
    fill: float = 1.0
    """Width of the page over that of the picture; more lies outside the picture."""
    desk: float | None = None
    """Linear reflectance of the desk on which the page lies; none for paper that goes on."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BentPhoto:
    """A photo, and the page in it."""

    page: PageImage
    sim: SimulatedPage
    bend: Bend

    def seen(self, across: Floats, down: Floats) -> tuple[Floats, Floats]:
        """Return where points of the page, px of the simulated page, are seen in the photo, px."""
        width = self.sim.coverage.shape[1]
        turn, eye = _camera(self.sim, self.bend)
        s, t = across / width, down / width
        radius, fold = self.bend.radius, self.bend.fold
        angle = np.maximum(fold - s, 0) / radius
        bent = angle > 0
        with np.errstate(invalid="ignore"):
            x = np.where(bent, fold - radius * np.sin(angle), s)
            z = np.where(bent, radius * (1 - np.cos(angle)), 0.0)
        rays = (np.stack([x, t, z], axis=-1) - eye) @ turn.T
        height, columns = self.page.pixels.shape[:2]
        scale = self.bend.focal * columns / rays[..., 2]
        return scale * rays[..., 0] + columns / 2, scale * rays[..., 1] + height / 2


def _camera(sim: SimulatedPage, bend: Bend) -> tuple[Floats, Floats]:
    """Return the camera's rotation (3, 3) and where its lens is, widths of the page."""
    height, width = sim.coverage.shape
    degrees = [bend.turn_degrees, bend.swing_degrees, bend.lean_degrees]
    turn = Rotation.from_euler("zyx", degrees, degrees=True).as_matrix()
    return turn, np.array([0.5, height / width / 2, 0]) - bend.focal / bend.fill * turn[2]


def bent_photo(sim: SimulatedPage, bend: Bend, width_px: int = 2400) -> BentPhoto:
    """Return a photo of a simulated page; the same bytes every time."""
    height, width = sim.coverage.shape
    turn, eye = _camera(sim, bend)
    height_px = round(width_px * height / width)
    y, x = np.mgrid[0:height_px, 0:width_px] + 0.5
    focal = bend.focal * width_px
    rays = np.stack([x - width_px / 2, y - height_px / 2, np.full(x.shape, focal)], axis=-1) @ turn
    far = -eye[2] / rays[..., 2]
    across = eye[0] + far * rays[..., 0]
    if np.isfinite(bend.radius):
        # A ray that meets the plane left of the fold goes on to the near side of the cylinder.
        a = rays[..., 0] ** 2 + rays[..., 2] ** 2
        u, w = eye[0] - bend.fold, eye[2] - bend.radius
        b = u * rays[..., 0] + w * rays[..., 2]
        root = np.sqrt(np.maximum(b**2 - a * (u**2 + w**2 - bend.radius**2), 0))
        round_it = (-b - root) / a
        bent = across < bend.fold
        far = np.where(bent, round_it, far)
        angle = np.arctan2(-(u + far * rays[..., 0]), -(w + far * rays[..., 2]))
        across = np.where(bent, bend.fold - bend.radius * angle, across)
    down = eye[1] + far * rays[..., 1]
    ink = gaussian_filter(sim.coverage, 0.45 * width / width_px * bend.fill**-1)
    inked = map_coordinates(ink, [down * width - 0.5, across * width - 0.5], order=1, mode="nearest")
    light = 0.8 - 0.77 * inked
    if bend.desk is not None:
        edge = np.minimum.reduce([across, 1 - across, down, height / width - down]) * width_px * bend.fill
        on_page = np.clip(edge + 0.5, 0, 1)
        light = on_page * light + (1 - on_page) * bend.desk
    light *= 1 - 0.2 * x / width_px
    phone = replace(Phone(), sharpening=0.3)
    pixels = sensed(light.astype(np.float32), np.random.default_rng(1), phone)
    return BentPhoto(page=PageImage(name="bent.png", pixels=pixels, ppi=None), sim=sim, bend=bend)


def places(sim: SimulatedPage, count: int = 40) -> tuple[Floats, Floats]:
    """Return a grid of `count` by `count` places, x and y, px of the simulated page, over its letters."""
    boxes = [letter.box for letter in sim.letters]
    x = np.linspace(min(box.x0 for box in boxes), max(box.x1 for box in boxes), count)
    y = np.linspace(min(box.y0 for box in boxes), max(box.y1 for box in boxes), count)
    across, down = np.meshgrid(x, y)
    return across.ravel(), down.ravel()


def off_their_places(photo: BentPhoto, unbending: Unbending) -> Displaced:
    """Return how far the flattened photo shows the page's places from where they are."""
    places_x, places_y = places(photo.sim)
    found = np.stack(unbending.flat(*photo.seen(places_x, places_y)), axis=-1)
    return displaced(found, np.stack([places_x, places_y], axis=-1), photo.sim.coverage.shape[::-1])


def off_in_best_plane(photo: BentPhoto) -> Displaced:
    """Return how far they are off in the best that any projective map can do, which knows the truth."""
    true = np.stack(places(photo.sim), axis=-1)
    seen = np.stack(photo.seen(*true.T), axis=-1)
    plane = ProjectiveTransform.from_estimate(seen, true)
    return displaced(plane(seen), true, photo.sim.coverage.shape[::-1])


def flat_truth(photo: BentPhoto, unbending: Unbending, x_height_px: float) -> SimulatedPage:
    """Return what is truly on the page at the places where the flattened photo should show it."""

    def moved(letter: TrueLetter) -> TrueLetter:
        box, middle = letter.box, letter.box.centre
        across = np.array([box.x0, box.x1, middle.x, middle.x])
        down = np.array([middle.y, middle.y, box.y0, box.y1])
        x, y = unbending.flat(*photo.seen(across, down))
        return replace(letter, box=Rect(float(x[0]), float(y[2]), float(x[1]), float(y[3])))

    letters = tuple(moved(letter) for letter in photo.sim.letters)
    return replace(photo.sim, letters=letters, x_height_px=x_height_px)
