"""The peer: potrace, the system's program, a tracer of black and white pictures."""

import subprocess
from collections.abc import Callable

import numpy as np
from fontTools.pens.recordingPen import RecordingPen
from fontTools.svgLib.path import SVGPath
from numpy.typing import NDArray
from scipy import ndimage

from lettering.geometry.contour import Contour
from tests.outlines.scanned import Scan


def potrace(bitmap: NDArray[np.bool_], scale: float, options: list[str]) -> tuple[Contour, ...]:
    """Return what potrace makes of a bitmap, px of the scan."""
    height, width = bitmap.shape
    page = f"P4\n{width} {height}\n".encode() + np.packbits(bitmap, axis=1).tobytes()
    command = ["potrace", "-b", "svg", "-u", "1000", "-t", "4", *options, "-o", "-"]
    svg = subprocess.run(command, input=page, capture_output=True, check=True).stdout
    pen = RecordingPen()
    SVGPath.fromstring(svg).draw(pen)
    # The numbers are thousandths of a px with y up; the file's own transform is left aside.
    contours, ring = [], []
    for what, points in pen.value:
        if what == "moveTo":
            ring, at = [], points[0]
        elif what == "lineTo":
            a, b = np.array(at), np.array(points[0])
            if not np.allclose(a, b):
                ring.append([a, a + (b - a) / 3, b - (b - a) / 3])
            at = points[0]
        elif what == "curveTo":
            ring.append([np.array(at), np.array(points[0]), np.array(points[1])])
            at = points[2]
        elif ring:
            contours.append(Contour((np.array(ring) * (1, -1) / 1000 + (0, height)) * scale))
    # Flipping y has turned them round.
    return tuple(contour.reversed() for contour in contours)


def potrace_plain(scan: Scan) -> tuple[Contour, ...]:
    """Trace the scan cut at one half."""
    return potrace(scan.coverage > 0.5, 1.0, [])


def potrace_enlarged(scan: Scan) -> tuple[Contour, ...]:
    """Trace the scan enlarged four times by cubic splines, smoothed, then cut at one half."""
    smooth = ndimage.gaussian_filter(scan.coverage.astype(float), 0.7)
    large = ndimage.zoom(smooth, 4, order=3, grid_mode=True, mode="grid-constant")
    return potrace(large > 0.5, 0.25, ["-O", "0.8"])


PEERS: dict[str, Callable[[Scan], tuple[Contour, ...]]] = {
    "potrace": potrace_plain,
    "potrace, enlarged x4": potrace_enlarged,
}
"""Its ways to trace a scan."""
