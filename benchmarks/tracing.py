"""How near traced outlines come to the truth: ours beside a bitmap tracer, on the same scans.

Run from the project's root: python -m benchmarks.tracing [--each 4] [--ppi 300 400] [--faces delius]

Truth is the outline of open typefaces; the scan is their exact area coverage, blurred by 0.7 px, with
white noise of 6 grey values in a contrast of 210. The peer is potrace, the system's program: on the
scan as it is, and on the scan enlarged four times by splines, which is its most accurate way. The
second table departs from that scan. The constants of corners, doubts, refinement and grain were chosen
on every second letter of LETTERS (a, c, e ...) at 300 and 600 ppi under other seeds; a sample holds
letters of both kinds, and no seed of those.
"""

import argparse
import math
import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from fontTools.pens.recordingPen import RecordingPen
from fontTools.svgLib.path import SVGPath
from numpy.typing import NDArray
from scipy import ndimage
from scipy.spatial import cKDTree

from lettering.geometry.contour import Contour
from lettering.outlines.measure import Sample, few_of, measured
from lettering.outlines.trace import trace
from tests.outlines.papered import Papered, Saved, photographed_again, read_again
from tests.outlines.scanned import LETTERS, Scan, Scanner, scans
from tests.simulated_photo import Phone

FACES = ("patrick-hand", "schoolbell", "gochi-hand", "delius", "indie-flower", "andika")
SAMPLE = 0.25
"""Distance between the points at which boundaries are compared, px."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """What one tracing of one letter is worth; lengths in px."""

    mean: float
    p95: float
    farthest: float
    bias: float
    perimeter: float
    segments: int
    corners: int
    cuts: tuple[float, ...]
    """Distance from each true corner to the outline."""
    kinks: tuple[float, ...]
    """Error of the kink, degrees, of each corner that was kept."""
    invented: int
    topology: bool
    ms: float
    bound: float


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


def marks(scan: Scan, tracer: Callable[[Scan], tuple[Contour, ...]]) -> Marks:
    """Trace one letter and compare it with the truth."""
    began = _clock()
    contours = tracer(scan)
    ms = (_clock() - began) * 1e3
    rings = [contour.flattened(0.002) for contour in contours]
    traced = shapely.MultiLineString([np.concatenate([ring, ring[:1]]) for ring in rings])
    boundary = shapely.boundary(scan.truth)
    off = np.concatenate([_distances(traced, boundary), _distances(boundary, traced)])
    corners, turns = true_corners(scan)
    nodes, kinks = _nodes(contours)
    near = np.linalg.norm(corners[:, None] - nodes, axis=2) if len(corners) else np.zeros((0, len(nodes)))
    errors = np.abs((kinks - turns[:, None] + 180) % 360 - 180)
    errors = np.where(near <= 2, errors, 360).min(axis=1, initial=360)
    sharp = np.abs(kinks) > 25
    anywhere = _windows(scan)
    return Marks(
        mean=float(off.mean()),
        p95=float(np.percentile(off, 95)),
        farthest=float(off.max()),
        bias=float((sum(c.area for c in contours) - scan.truth.area) / boundary.length),
        perimeter=float(boundary.length),
        segments=sum(map(len, contours)),
        corners=len(corners),
        cuts=tuple(shapely.distance(shapely.points(corners), traced)),
        kinks=tuple(errors[errors <= 20]),
        invented=int((sharp & ~_near_turn(nodes, anywhere)).sum()),
        topology=_topology(contours) == _true_topology(scan),
        ms=ms,
        bound=_bound(contours, scan),
    )


def _clock() -> float:
    """Return the seconds of processor this process and its children have used: others do not disturb it."""
    children = os.times()
    return time.process_time() + children.children_user + children.children_system


def _distances(line: shapely.Geometry, other: shapely.Geometry) -> NDArray[np.float64]:
    """Return how far points along `line`, every quarter px, lie from `other`."""
    points = np.concatenate([_walk(part, SAMPLE)[0] for part in shapely.get_parts(line)])
    rings = [_walk(part, 0.1)[0] for part in shapely.get_parts(other)]
    starts = np.concatenate(rings)
    steps = np.concatenate([np.roll(ring, -1, axis=0) - ring for ring in rings])
    before = np.concatenate(
        [np.roll(np.arange(len(r)), 1) + n for r, n in zip(rings, _offsets(rings), strict=True)]
    )
    nearest = cKDTree(starts).query(points)[1]
    return np.minimum(*(_to_segment(points, starts[k], steps[k]) for k in (nearest, before[nearest])))


def _offsets(rings: list[NDArray[np.float64]]) -> list[int]:
    return [0, *np.cumsum([len(ring) for ring in rings])[:-1].tolist()]


def _to_segment(
    points: NDArray[np.float64], starts: NDArray[np.float64], steps: NDArray[np.float64]
) -> NDArray[np.float64]:
    share = ((points - starts) * steps).sum(axis=1) / np.maximum((steps**2).sum(axis=1), 1e-18)
    foot = starts + np.clip(share, 0, 1)[:, None] * steps
    return np.asarray(np.linalg.norm(points - foot, axis=1))


def _walk(line: shapely.Geometry, step: float) -> tuple[NDArray[np.float64], float]:
    """Return points at equal arc length on a closed line, about `step` px apart, and their exact step."""
    corners = shapely.get_coordinates(line)
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(corners, axis=0), axis=1))])
    count = max(8, math.ceil(along[-1] / step))
    at = np.arange(count) * (along[-1] / count)
    return np.stack([np.interp(at, along, corners[:, k]) for k in (0, 1)], axis=1), along[-1] / count


def _windows(scan: Scan) -> list[tuple[NDArray[np.float64], NDArray[np.float64], float]]:
    """Return for each true boundary dense points, their headings (degrees, unwrapped) and the step."""
    found = []
    for part in shapely.get_parts(shapely.boundary(scan.truth)):
        points, step = _walk(part, 0.1)
        d = np.roll(points, -1, axis=0) - points
        heading = np.degrees(np.unwrap(np.arctan2(d[:, 1], d[:, 0])))
        found.append((points, heading, step))
    return found


def true_corners(scan: Scan) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return isolated corners (k, 2) and their turns (k,) in degrees.

    A corner turns by 40 degrees or more within 0.1 mm each way, between arms that turn less than 15
    as far as 0.3 mm.
    """
    corners, turns = [], []
    for points, heading, step in _windows(scan):
        inner, outer = round(0.1 * scan.px_per_mm / step), round(0.3 * scan.px_per_mm / step)
        if len(points) < 4 * outer:
            continue

        def swing(a: int, b: int, heading: NDArray[np.float64] = heading) -> NDArray[np.float64]:
            ahead, back = np.roll(heading, -b), np.roll(heading, -a)
            return np.asarray((ahead - back + 180) % 360 - 180)

        turn = swing(-inner, inner)
        quiet = (np.abs(swing(-outer, -inner)) < 15) & (np.abs(swing(inner, outer)) < 15)
        local = np.abs(swing(-2, 2))
        top = np.max([np.roll(local, k) for k in range(-outer, outer + 1)], axis=0)
        chosen = np.flatnonzero((np.abs(turn) >= 40) & quiet & (local == top) & (local > 20))
        for i in chosen[np.concatenate([[True], np.diff(chosen) > outer])] if len(chosen) else []:
            corners.append(points[i])
            turns.append(turn[i])
    return np.array(corners).reshape(-1, 2), np.array(turns)


def _near_turn(
    nodes: NDArray[np.float64], windows: list[tuple[NDArray[np.float64], NDArray[np.float64], float]]
) -> NDArray[np.bool_]:
    """Tell for each node whether the truth turns by 20 degrees within 0.4 px, less than 2 px away."""
    sharp = []
    for points, heading, step in windows:
        reach = max(1, round(0.4 / step))
        turn = (np.roll(heading, -reach) - np.roll(heading, reach) + 180) % 360 - 180
        sharp.append(points[np.abs(turn) > 20])
    places = np.concatenate(sharp)
    if not len(places):
        return np.zeros(len(nodes), dtype=bool)
    return np.asarray(np.linalg.norm(nodes[:, None] - places, axis=2).min(axis=1) < 2)


def _nodes(contours: tuple[Contour, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    places, kinks = [], []
    for contour in contours:
        p = contour.pieces
        into, out = np.roll(p[:, 3] - p[:, 2], 1, axis=0), p[:, 1] - p[:, 0]
        turn = np.degrees(np.arctan2(out[:, 1], out[:, 0]) - np.arctan2(into[:, 1], into[:, 0]))
        places.append(p[:, 0])
        kinks.append((turn + 180) % 360 - 180)
    return np.concatenate(places), np.concatenate(kinks)


def _topology(contours: tuple[Contour, ...]) -> tuple[int, int]:
    return sum(c.area > 0 for c in contours), sum(c.area < 0 for c in contours)


def _true_topology(scan: Scan) -> tuple[int, int]:
    parts = shapely.get_parts(scan.truth)
    parts = parts[shapely.area(parts) > 1]
    return len(parts), int(shapely.get_num_interior_rings(parts).sum())


def _bound(contours: tuple[Contour, ...], scan: Scan) -> float:
    """Return the mean deviation that noise alone leaves a curve of as many parameters (Cramér-Rao)."""
    sharp = math.sqrt(0.7**2 + 1 / 12)
    kappa = (6 / 210) * math.sqrt(2 * math.sqrt(math.pi) * sharp)
    _, kinks = _nodes(contours)
    parameters = 5 * len(kinks) + int((np.abs(kinks) > 1).sum())
    length = float(shapely.boundary(scan.truth).length)
    return kappa * math.sqrt(parameters / length) * math.sqrt(2 / math.pi)


DEPARTURES = {
    "blur 1.0 px": {"blur": (1.0, 1.0)},
    "blur 1.5 px": {"blur": (1.5, 1.5)},
    "blur 0.5 x 1.1 px": {"blur": (0.5, 1.1)},
    "noise 12": {"noise": 12 / 210},
    "grain of 1 px": {"grain": 1.0},
    "sharpening 0.6": {"sharpening": 0.6},
    "clipped at paper, ink": {"clipped": True},
}
"""Scans that are not as the model has them."""

SAVED = {
    "sRGB, 8 bits": Saved(),
    "light falls by 15 %": Saved(gradient=0.15),
    "JPEG 75": Saved(quality=75),
}
"""Pages saved to a file and read again: light and encoding are undone by capture."""

PHONE = Phone(width_px=4000, height_px=3000)
"""A photo of 12 megapixels: perspective, hard shadow, warm lamp, sharpening 0.6, JPEG 85."""


def departed(page: list[Papered]) -> list[Marks]:
    """Return the marks of letters traced as the program does: blur, mask and grain told by some of them."""
    told = [Sample(coverage=letter.scan.coverage, noise=letter.noise) for letter in few_of(page)]
    optics = measured(told)

    def traced(scan: Scan, noise: float) -> tuple[Contour, ...]:
        return trace(scan.coverage, noise=noise, optics=optics)

    return [marks(one.scan, partial(traced, noise=one.noise)) for one in page]


def scanned(face: str, some: str, seed: int, *, scanner: Scanner) -> list[Papered]:
    """Return letters as a scanner sees them, and its noise."""
    return [Papered(scan=scan, noise=scanner.noise) for scan in scans(face, scanner, some, seed)]


def sampled(each: int, first: int, face: int) -> str:
    """Return `each` letters spread over the alphabet, others for every typeface."""
    step = max(1, len(LETTERS) // each)
    return "".join(LETTERS[(first + face + k * step) % len(LETTERS)] for k in range(each))


PEERS: dict[str, Callable[[Scan], tuple[Contour, ...]]] = {
    "potrace": potrace_plain,
    "potrace, enlarged x4": potrace_enlarged,
}


def line(name: str, found: list[Marks]) -> str:
    """Return one row of the table."""
    weight = np.array([m.perimeter for m in found])

    def weighed(values: list[float]) -> float:
        return float(np.average(values, weights=weight))

    far = np.array([m.farthest for m in found])
    cuts = np.concatenate([m.cuts for m in found])
    corners = sum(m.corners for m in found)
    kept = sum(len(m.kinks) for m in found)
    return (
        f"{name:22s} {weighed([m.mean for m in found]):.4f} {weighed([m.p95 for m in found]):.3f}  "
        f"{np.median(far):.2f}/{np.percentile(far, 95):.2f}/{far.max():.2f}  "
        f"{weighed([m.bias for m in found]):+.4f}  {np.mean([m.segments for m in found]):5.1f}  "
        f"{100 * kept / max(corners, 1):5.1f} %  {np.median(cuts):.2f}/{np.percentile(cuts, 95):.2f}  "
        f"{sum(m.invented for m in found):3d}  "
        f"{100 * np.mean([m.topology for m in found]):5.1f} %  {np.median([m.ms for m in found]):6.1f}  "
        f"{weighed([m.bound for m in found]):.4f}"
    )


HEAD = "mean px   p95   farthest med/95/max    bias    seg  corners  cut med/95  new  topology     ms  bound"


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--ppi", type=int, nargs="+", default=[300, 400, 600])
    parser.add_argument("--faces", nargs="+", default=list(FACES))
    parser.add_argument("--each", type=int, default=8, help="letters of each typeface; 60 for the full table")
    parser.add_argument("--first", type=int, default=3, help="where in the alphabet the sample starts")
    parser.add_argument("--letters", help="these letters of every typeface instead of a sample")
    asked = parser.parse_args()
    pages = [
        (face, asked.letters or sampled(asked.each, asked.first, k), k) for k, face in enumerate(asked.faces)
    ]

    def all_of(page_of: Callable[[str, str, int], list[Papered]]) -> list[Marks]:
        return [one for face, some, seed in pages for one in departed(page_of(face, some, seed))]

    for ppi in asked.ppi:
        scanner = Scanner(ppi=ppi)
        table = {
            name: [marks(scan, tracer) for f, some, seed in pages for scan in scans(f, scanner, some, seed)]
            for name, tracer in PEERS.items()
        }
        # Loops are compiled on first use; that is no letter's time.
        departed(scanned(*pages[0], scanner=scanner))
        table["ours"] = all_of(partial(scanned, scanner=scanner))
        title = f"{ppi} ppi, {len(table['ours'])} letters"
        print(f"\n{title:22s} {HEAD}")
        print("\n".join(line(name, found) for name, found in table.items()))
        _print_ratios(table)
        sys.stdout.flush()
    for ppi in sorted({asked.ppi[0], asked.ppi[-1]}):
        print(f"\n{f'{ppi} ppi, ours':22s} {HEAD}")
        for name, change in DEPARTURES.items():
            scanner = Scanner(ppi=ppi, **change)  # type: ignore[arg-type]
            print(line(name, all_of(partial(scanned, scanner=scanner))), flush=True)
        for name, saved in SAVED.items():
            print(line(name, all_of(partial(read_again, ppi=ppi, saved=saved))), flush=True)
    print(line("photo, 12 megapixels", departed(photographed_again(*pages[0], phone=PHONE))))


def _print_ratios(table: dict[str, list[Marks]]) -> None:
    """Print each mean as a multiple of ours, and ours of the bound that noise sets."""
    means = {name: float(np.mean([m.mean for m in found])) for name, found in table.items()}
    weight = [m.perimeter for m in table["ours"]]
    mean, bound = (
        np.average([getattr(m, k) for m in table["ours"]], weights=weight) for k in ("mean", "bound")
    )
    print("mean as a multiple of ours:", {n: round(m / means["ours"], 1) for n, m in means.items()})
    print(f"ours as a multiple of the noise bound: {mean / bound:.2f}")


if __name__ == "__main__":
    main()
