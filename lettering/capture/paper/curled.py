"""A sheet that bends while its edges are in sight, made flat from the edges alone.

The two straight edges lie along the axis of the bend, and where their pictures meet is its vanishing point.
By it the camera is turned, in thought, until its picture is parallel to the axis (see `sheet_curve`). Upper
and lower edge are a constant height of paper apart everywhere, which gives the depth of the sheet at each
place in closed form; the curve through it is a linear least-squares fit.
"""

from dataclasses import dataclass

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar
from scipy.spatial.transform import Rotation

from lettering.capture.paper.curved_edges import CurvedEdges
from lettering.capture.paper.flatten import MOST_PIXELS
from lettering.capture.paper.sheet_curve import FOCAL, SheetCurve
from lettering.capture.paper.unbent import KNOTS, MOST_GROWN, Unbending

WIDEST, LONGEST = 0.55, 1.6
"""Least and most focal length of phones over the picture's longer side: 19 mm and 55 mm before 24 x 36."""
ORDER = 10
"""Highest degree of the curves: edges are known to a tenth of a pixel, more finely than rows."""
CALM_DEPTH, CALM_SHIFT = 1e-5, 1e-2
"""How much curves are held to what is small: what the edges tell is hardly touched."""
USUAL_SHIFT, USUAL_FOCAL = 2e-4, 0.5
"""How near to nothing b is, over the focal length, and how far focal lengths are from FOCAL (log): sd."""
ROUGHEST = 0.003
"""So near to the sheet are nine in ten points of its edges, share of its height, or it is crumpled."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BentSheet:
    """A sheet through its four edges, seen whole."""

    sheet: SheetCurve
    upper: float
    lower: float
    """Heights of the edges on the paper, px at the sheet's middle."""
    across: Floats
    along: Floats
    """As in `Unbending`, from the left edge to the right one."""
    stray: float
    """How far nine in ten points of the edges are from the sheet at most, share of its height."""

    @property
    def proportion(self) -> float:
        """Width over height of the paper."""
        return float(self.along[-1] - self.along[0]) / (self.lower - self.upper)

    @property
    def grown(self) -> tuple[float, float]:
        """Least and most depth of the sheet over that at its middle."""
        depth = self.sheet.curves(self.across)[0]
        return float(depth.min()), float(depth.max())

    def laid_out(self, proportion: float | None = None) -> Unbending:
        """Return the flat page that is all of the sheet; of the paper's `proportion` when that is known."""
        along = (self.along - self.along[0]) * (proportion or self.proportion) / self.proportion
        height, width = self.lower - self.upper, float(along[-1])
        scale = min(1 / self.grown[0], float(np.sqrt(MOST_PIXELS / (height * width))))
        return Unbending(
            sheet=self.sheet,
            across=self.across,
            along=along,
            left=0.0,
            top=self.upper,
            size=(round(height * scale), round(width * scale)),
            scale=scale,
        )


def bent_sheet(edges: CurvedEdges, shape: tuple[int, ...]) -> BentSheet | None:
    """Return the sheet whose edges are seen in a picture of that shape; none when it does not bend one way.

    The camera's focal length is that at which nothing is left for the curve b (see `sheet_curve`) to take up.
    """
    longer = float(max(shape[:2]))

    def left_over(focal: float) -> float:
        shift = _fitted(edges, shape, focal * longer).sheet.shift
        return float((shift**2).sum() / USUAL_SHIFT**2 + (np.log(focal / FOCAL) / USUAL_FOCAL) ** 2)

    focal = minimize_scalar(left_over, bounds=(WIDEST, LONGEST), method="bounded").x
    found = _fitted(edges, shape, float(focal) * longer)
    near, far = found.grown
    seen_well = found.stray < ROUGHEST and near > 1 / MOST_GROWN and far < MOST_GROWN
    return found if seen_well else None


def _fitted(edges: CurvedEdges, shape: tuple[int, ...], focal: float) -> BentSheet:
    """Return the sheet for a camera of a focal length, px."""
    centre = (shape[1] / 2, shape[0] / 2)
    turn = _upright(edges, centre, focal)

    def curved(middle: float, reach: float, depth: Floats, shift: Floats) -> SheetCurve:
        return SheetCurve(
            centre=centre, focal=focal, turn=turn, middle=middle, reach=reach, depth=depth, shift=shift
        )

    flat = curved(0.0, 1.0, np.ones(1), np.zeros(1))
    corners = flat.turned(*edges.quad.T)[0]
    left, right = float(corners[[0, 3]].mean()), float(corners[[1, 2]].mean())
    middle, reach = (left + right) / 2, (right - left) / 2
    across, down = flat.turned(*np.concatenate([edges.upper, edges.lower]).T)
    upper = (np.arange(len(across)) < len(edges.upper)).astype(float)
    curves = legendre.legvander((across - middle) / reach, ORDER)[:, 1:]
    # depth * down + shift is one height along the upper edge and another along the lower.
    unknown = np.column_stack([down[:, None] * curves, curves, -upper, upper - 1])
    degree = np.arange(1, ORDER + 1)
    calm = np.sqrt(len(across)) * np.diag([*CALM_DEPTH * degree, *CALM_SHIFT * degree, 0, 0])
    answer = np.linalg.lstsq(np.concatenate([unknown, calm]), np.append(-down, np.zeros(len(calm))))[0]
    depth, shift = np.append(1.0, answer[:ORDER]), np.append(0.0, answer[ORDER : 2 * ORDER])
    sheet = curved(middle, reach, depth, shift)
    top, bottom = (float(level) * focal for level in answer[-2:])
    places = np.linspace(left, right, KNOTS)
    return BentSheet(
        sheet=sheet,
        upper=top,
        lower=bottom,
        across=places,
        along=sheet.along(places),
        stray=float(np.quantile(np.abs(unknown @ answer + down), 0.9)) * focal / (bottom - top),
    )


def _upright(edges: CurvedEdges, centre: tuple[float, float], focal: float) -> Floats:
    """Return the least turn (3, 3) after which the two straight edges run straight down."""
    ul, ur, lr, ll = np.append(edges.quad - centre, np.full((4, 1), focal), axis=1)
    axis = np.cross(np.cross(ul, ll), np.cross(ur, lr))
    axis *= np.sign(axis[1]) / np.linalg.norm(axis)
    by = np.cross(axis, [0.0, 1.0, 0.0])
    sine = float(np.linalg.norm(by))
    return np.asarray(Rotation.from_rotvec(by / max(sine, 1e-12) * np.arctan2(sine, axis[1])).as_matrix())
