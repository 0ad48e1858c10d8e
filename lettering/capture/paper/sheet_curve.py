"""The sheet that a page's rows lie on: a plane, or paper bent round the spine, before a camera.

Paper bent about an axis is a cylinder. Turn the camera, in thought, until the axis lies parallel to the
picture: then every line across the rows stands upright, and a point at height t of the paper, at depth z(x),
is seen at y = f t / z(x). All of the sheet's shape is in one curve z, and a row's bend grows with its
distance from the row at the height of the camera. A plane is the case z = 1 + k x.
(Cao, Ding and Liu, Rectifying the bound document image based on cylindrical surface model, ICCV 2003; Meng et
al., Metric rectification of curved document images, 2012.) The two turns and the curve are fitted to the feet
of letters; a small free shift b(x) takes up what a lens other than assumed leaves over.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from lettering.capture.paper.feet import Feet

FOCAL = 0.75
"""Focal length over the picture's longer side: 26 mm before a frame of 24 x 36, cut to 4:3, as in phones."""
ORDER = 6
"""Highest degree of the curves."""
STRAY = 0.08
"""How far feet usually stray from their row, usual heights of a letter."""
STAGES = (1.0, 0.3, STRAY)
"""Feet farther off than this count less and less; first the great bend is found, then the fine one."""
USUAL_LEAN, USUAL_DEPTH, USUAL_SHIFT = 0.5, 0.5, 0.12
"""What cannot be told is taken small: the camera's lean, radians; z, share; b, usual heights."""
USUAL_PITCH = 0.1
"""How far rows usually are from even spacing, usual heights."""

Floats = NDArray[np.float64]
Matrix = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SheetCurve:
    """How a sheet is seen: a camera's turn, and a curve."""

    centre: tuple[float, float]
    """Middle of the picture, px."""
    focal: float
    """Focal length, px."""
    turn: Matrix
    """Rotation (3, 3) of rays of the camera to rays of one whose picture is parallel to the axis."""
    middle: float
    """Where across the turned picture the letters' middle is, over the focal length."""
    reach: float
    """Half of the letters' width there, over the focal length; past it the curves go on straight."""
    depth: Floats
    """Legendre coefficients of z, the first 1."""
    shift: Floats
    """Legendre coefficients of b, over the focal length, the first 0."""

    def turned(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Return where points of the picture, px, lie in the turned one, over the focal length."""
        rays = np.stack([x - self.centre[0], y - self.centre[1], np.full(np.shape(x), self.focal)], axis=-1)
        across, down, away = np.moveaxis(rays @ self.turn.T, -1, 0)
        return across / away, down / away

    def curves(self, across: Floats) -> tuple[Floats, Floats]:
        """Return z and b at places across the turned picture."""
        return self._curve(self.depth, across), self._curve(self.shift, across)

    def heights(self, x: Floats, y: Floats) -> Floats:
        """Return how far down the paper points of the picture, px, lie; px at the letters' middle."""
        across, down = self.turned(x, y)
        depth, shift = self.curves(across)
        return np.asarray(self.focal * (depth * down + shift))

    def along(self, across: Floats, nearest: float = 0.0) -> Floats:
        """Return how far along the paper ascending places across are from the first; px at the middle.

        `nearest` is the least depth that is believed, where curves go on past the letters.
        """
        depth = np.maximum(self.curves(across)[0], nearest)
        # A piece of paper is as long as its step aside and its step in depth together (Pythagoras).
        steps = np.hypot(np.diff(across * depth), np.diff(depth))
        return np.asarray(self.focal * np.append(0.0, np.cumsum(steps)))

    def _curve(self, coefficients: Floats, across: Floats) -> Floats:
        place = (across - self.middle) / self.reach
        inner = np.clip(place, -1, 1)
        rise = legendre.legval(inner, legendre.legder(coefficients))
        return np.asarray(legendre.legval(inner, coefficients) + rise * (place - inner))


def fit_sheet(feet: Feet, shape: tuple[int, ...]) -> tuple[SheetCurve, Floats]:
    """Return the sheet on which the rows of a picture of that shape are level and even, and what is left.

    What is left is how far each foot is from its row, shape (n,), usual heights of a letter.
    """
    size = np.array(shape[1::-1], dtype=float)
    focal = FOCAL * float(size.max())
    places = (feet.x - size[0] / 2) / focal
    middle, reach = float(places.max() + places.min()) / 2, float(np.ptp(places)) / 2

    def sheet(numbers: Floats) -> SheetCurve:
        return SheetCurve(
            centre=(size[0] / 2, size[1] / 2),
            focal=focal,
            turn=Rotation.from_euler("zx", numbers[:2]).as_matrix(),
            middle=middle,
            reach=reach,
            depth=np.append(1.0, numbers[2 : 2 + ORDER]),
            shift=np.append(0.0, numbers[2 + ORDER : 2 + 2 * ORDER] * feet.unit / focal),
        )

    degree = np.arange(1, ORDER + 1)
    usual = np.concatenate([[np.inf, USUAL_LEAN], USUAL_DEPTH / degree, USUAL_SHIFT / degree])
    count = len(usual)

    def off(numbers: Floats) -> Floats:
        return np.asarray(sheet(numbers).heights(feet.x, feet.y) / feet.unit - numbers[count:][feet.row])

    def strays(numbers: Floats) -> Floats:
        uneven = _uneven(numbers[count:], steps) / USUAL_PITCH
        return np.concatenate([off(numbers), scale * numbers[:count] / usual, scale * uneven])

    numbers = np.append(np.zeros(count), feet.middles((feet.y - size[1] / 2) / feet.unit))
    steps: Floats | None = None
    for scale in STAGES:
        numbers = least_squares(strays, numbers, loss=_cauchy(len(feet.x)), f_scale=scale, max_nfev=60).x
        steps = _steps(numbers[count:])
    return sheet(numbers), off(numbers)


def _cauchy(count: int) -> Any:
    """Return the loss under which the first `count` squares count less the larger they are (Cauchy's)."""

    def loss(squares: Floats) -> Floats:
        rho = np.stack([squares, np.ones_like(squares), np.zeros_like(squares)])
        grown = 1 + squares[:count]
        rho[:, :count] = np.log(grown), 1 / grown, -1 / grown**2
        return rho

    return loss


def _steps(levels: Floats) -> Floats | None:
    """Return the number of each row, 0 up from the top, left out rows counted; none where rows are uneven."""
    order = np.argsort(levels)
    gaps = np.diff(levels[order])
    rows = gaps[gaps > 1.0]
    if not rows.size:
        return None
    counts = gaps / np.median(rows)
    if np.abs(counts - np.rint(counts)).max() > 0.3:
        return None
    steps = np.zeros(len(levels))
    steps[order[1:]] = np.cumsum(np.rint(counts))
    return steps


def _uneven(levels: Floats, steps: Floats | None) -> Floats:
    """Return how far rows are from even spacing, usual heights."""
    if steps is None:
        return np.zeros_like(levels)
    basis = np.stack([np.ones_like(steps), steps], axis=-1)
    return np.asarray(levels - basis @ np.linalg.lstsq(basis, levels, rcond=None)[0])
