"""A photo of a page on a desk laid flat, as a scanner would have seen it."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lettering.capture.light import linear
from lettering.capture.page import PageImage
from lettering.capture.paper.curled import bent_sheet
from lettering.capture.paper.curved_edges import curved_edges
from lettering.capture.paper.edges import Quad, clockwise, paper_corners
from lettering.capture.paper.flatten import Matrix, flattened
from lettering.capture.paper.projective import projective
from lettering.capture.paper.sheets import several_sheets
from lettering.capture.paper.unbent import resampled, unbent
from lettering.errors import ImageError
from lettering.units import MM_PER_INCH

UNLIKE = 0.12
"""Pages whose proportion differs more than this from the paper's (natural log) are other paper."""
ANY_SIDE_MM = 250.0
"""Size that a page of unknown paper is given while it is laid flat."""


def laid_flat(page: PageImage, paper_mm: tuple[float, float] | None = None) -> PageImage:
    """Return the page cut out of its picture and seen straight from above.

    Paper whose edges curve is made flat from them. A picture that shows no edges of paper is the page itself:
    it is returned as it is when its rows run straight, else made flat from them, of unknown scale. `paper_mm`
    is the paper's (shorter, longer) side and gives the page its scale. Raises ImageError when the page in the
    picture cannot be that paper, or when there are two.
    """
    if page.ppi is not None and paper_mm is None:
        return page
    light = linear(page.pixels)
    if several_sheets(light):
        raise ImageError(
            "two pages are in the picture.",
            page.name,
            "Show one page alone, with desk or table all round it.",
        )
    corners = paper_corners(light)
    if corners is None:
        flat = unbent(page)
        return flat if flat is not page or paper_mm is None else _filling(page, paper_mm)
    if curled := _uncurled(page, light, corners, paper_mm):
        return curled
    shape = proportion(corners, (page.pixels.shape[1], page.pixels.shape[0]))
    if paper_mm is None:
        size = ANY_SIDE_MM * np.sqrt(shape), ANY_SIDE_MM / np.sqrt(shape)
        return replace(flattened(page, to_picture(corners, size), size), ppi=None)
    size = _laid(shape, paper_mm, page.name)
    return flattened(page, to_picture(corners, size), size)


def _uncurled(
    page: PageImage, light: NDArray[np.float32], corners: Quad, paper_mm: tuple[float, float] | None
) -> PageImage | None:
    """Return the page made flat when two edges of its paper curve, above and below or at both sides."""
    width = light.shape[1]
    for quarters, quad in ((0, corners), (1, corners @ [[0, -1], [1, 0]] + [0, width])):
        seen = np.rot90(light, quarters)
        edges = curved_edges(seen, clockwise(quad))
        bent = None if edges is None else bent_sheet(edges, seen.shape)
        if bent is None:
            continue
        size = None if paper_mm is None else _laid(bent.proportion, paper_mm, page.name)
        unbending = bent.laid_out(None if size is None else size[0] / size[1])
        pixels = resampled(np.rot90(page.pixels, quarters), unbending)
        ppi = None if size is None else pixels.shape[1] / size[0] * MM_PER_INCH
        return replace(page, pixels=np.ascontiguousarray(np.rot90(pixels, -quarters)), ppi=ppi)
    return None


def to_picture(corners: Quad, size_mm: tuple[float, float]) -> Matrix:
    """Return the projective map (3, 3) that takes a paper of that size, mm, to its corners in px."""
    width, height = size_mm
    paper = np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=float)
    return projective(paper, corners)


def proportion(corners: Quad, picture: tuple[int, int]) -> float:
    """Return width over height of a rectangle whose corners are seen there.

    The camera is one with square pixels and its axis in the middle of the picture (Zhang and He, Whiteboard
    scanning and image enhancement, 2007, section 3); a view straight on falls back to the sides' lengths.
    """
    ul, ur, lr, ll = (np.append(corner - np.array(picture) / 2, max(picture)) for corner in corners)
    first = float(np.cross(ul, lr) @ ll / (np.cross(ur, lr) @ ll)) * ur - ul
    second = float(np.cross(ul, lr) @ ur / (np.cross(ll, lr) @ ur)) * ll - ul
    squared = -(first[:2] @ second[:2]) / (first[2] * second[2]) if first[2] * second[2] else np.inf
    # Lenses see between 20 and 120 degrees; what is out of that is noise of a view nearly straight on.
    focal = np.clip(squared, 0.3**2, 3.0**2) if squared > 0 else 1.0
    across, down = (float(side[:2] @ side[:2] / focal + side[2] ** 2) for side in (first, second))
    return float(np.sqrt(across / down))


def _laid(shape: float, paper_mm: tuple[float, float], name: str) -> tuple[float, float]:
    """Return the width and height of the paper, upright or lying, as it is seen."""
    short, long = paper_mm
    size = (short, long) if shape < 1 else (long, short)
    if abs(np.log(shape * size[1] / size[0])) > UNLIKE:
        seen = max(shape, 1 / shape)
        raise ImageError(
            f"the page in the picture is {seen:.2f} times as long as wide; the paper named is "
            f"{long / short:.2f} times.",
            name,
            "Name the paper with --paper, and let the picture show all four edges of one page.",
        )
    return size


def _filling(page: PageImage, paper_mm: tuple[float, float]) -> PageImage:
    """Return the page with its scale when it fills the picture, as in a scan.

    Raises ImageError when the scan's own resolution makes it other paper.
    """
    height, width = page.pixels.shape[:2]
    size: NDArray[np.float64] = np.array(paper_mm if width < height else paper_mm[::-1])
    scales = np.array([width, height]) / size
    if abs(np.log(scales[0] / scales[1])) > UNLIKE / 2:
        return page  # a part of the paper, or paper on a larger glass
    ppi = float(scales.mean()) * MM_PER_INCH
    if page.ppi is not None and abs(np.log(page.ppi / ppi)) > UNLIKE / 2:
        across, down = np.array([width, height]) / page.ppi * MM_PER_INCH
        raise ImageError(
            f"by its {page.ppi:.0f} ppi the page is {across:.0f} x {down:.0f} mm; the paper named is "
            f"{size[0]:.0f} x {size[1]:.0f} mm.",
            page.name,
            "Name the paper that was scanned, or leave --paper out.",
        )
    return page if page.ppi is not None else replace(page, ppi=ppi)
