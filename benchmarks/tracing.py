"""How near traced outlines come to the truth: ours beside a bitmap tracer, on the same scans.

Run from anywhere: python benchmarks/tracing.py [--each 4] [--ppi 300 400] [--faces delius]

Truth is the outline of open typefaces; the scan is their exact area coverage, blurred by 0.7 px, with
white noise of 6 grey values in a contrast of 210. The peer is potrace, the system's program: on the
scan as it is, and on the scan enlarged four times by splines, which is its most accurate way. The
second table departs from that scan. The constants of corners, doubts, refinement and grain were chosen
on every second letter of LETTERS (a, c, e ...) at 300 and 600 ppi under other seeds; a sample holds
letters of both kinds, and no seed of those; how straight arms are held, and what is doubted, on every
fourth letter of these and of Neucha, Caveat and Playpen Sans (not the sample's, but what was lost of the
sample was looked at). On four typefaces that nothing was chosen
on (Coming Soon, Handlee, Shadows Into Light, Short Stack, 67 letters each at 300 ppi) the mean is 0.0170
px, 97.7 % of corners are kept, 16 bends of some 3 px became corners, and one letter of 268 strays 2.5 px
in a narrow notch. "calm" is the total variation of curvature under a Gaussian of 1.5 px, as a multiple of
the typeface's own: 1 wavers no more than the truth.
"""

import argparse
import sys
from functools import partial

import numpy as np

from benchmarks.traced.marks import Marks, marks
from benchmarks.traced.peer import PEERS
from lettering.geometry.contour import Contour
from lettering.outlines.measure import measured
from lettering.outlines.sample import Sample, few_of
from lettering.outlines.trace import trace
from lettering.units import MM_PER_INCH
from tests.outlines.papered import Papered, Saved, photographed_again, read_again
from tests.outlines.scanned import LETTERS, Scan, Scanner, scans
from tests.simulated_photo import Phone

FACES = ("patrick-hand", "schoolbell", "gochi-hand", "delius", "indie-flower", "andika")

DEPARTURES = {
    "blur 1.0 px": {"blur": (1.0, 1.0)},
    "blur 1.5 px": {"blur": (1.5, 1.5)},
    "blur 0.5 x 1.1 px": {"blur": (0.5, 1.1)},
    "noise 12": {"noise": 12 / 210},
    "grain of 1 px": {"grain": 1.0},
    "clipped at paper, ink": {"clipped": True},
}
"""Scans that are not as the model has them."""

SAVED = {
    "sRGB, 8 bits": Saved(),
    "light falls by 15 %": Saved(gradient=0.15),
    "JPEG 75": Saved(quality=75),
    "sharpening 0.6, light": Saved(sharpening=0.6, in_light=True),
    "sharpening 0.6, saved": Saved(sharpening=0.6),
}
"""Pages saved to a file and read again: light, encoding and sharpening are undone by capture."""

PHONE = Phone(width_px=4000, height_px=3000)
"""A photo of 12 megapixels: perspective, hard shadow, warm lamp, sharpening 0.6 of saved values, JPEG 85."""

PHONE_PPI = 600
"""Pixels an inch that the photographed sheet is drawn with: twice the photo's own."""

Page = tuple[str, str, int]
"""A typeface, some letters of it, and the seed of their places and noise."""


def departed(page: list[Papered]) -> list[Marks]:
    """Return the marks of letters traced as the program does: blur and grain told by some of them."""
    told = [Sample(coverage=letter.scan.coverage, noise=letter.noise) for letter in few_of(page)]
    optics = measured(told)

    def traced(scan: Scan, noise: float) -> tuple[Contour, ...]:
        return trace(scan.coverage, noise=noise, optics=optics)

    return [marks(one.scan, partial(traced, noise=one.noise)) for one in page]


def drawn(face: str, some: str, seed: int, scanner: Scanner) -> list[Scan]:
    """Return letters of a typeface as a scanner sees them."""
    return list(scans(face, scanner, some, seed))


def sampled(each: int, first: int, face: int) -> str:
    """Return `each` letters spread over the alphabet, others for every typeface."""
    step = max(1, len(LETTERS) // each)
    return "".join(LETTERS[(first + face + k * step) % len(LETTERS)] for k in range(each))


def line(name: str, found: list[Marks]) -> str:
    """Return one row of the table."""
    weight = np.array([m.perimeter for m in found])

    def weighed(values: list[float]) -> float:
        return float(np.average(values, weights=weight))

    far = np.array([m.farthest for m in found])
    cuts = np.concatenate([m.cuts for m in found])
    corners = sum(m.corners for m in found)
    kept = sum(len(m.kinks) for m in found)
    ours, true = np.sum([m.unrest for m in found], axis=0)
    return (
        f"{name:22s} {weighed([m.mean for m in found]):.4f} {weighed([m.p95 for m in found]):.3f}  "
        f"{np.median(far):.2f}/{np.percentile(far, 95):.2f}/{far.max():.2f}  "
        f"{weighed([m.bias for m in found]):+.4f}  {np.mean([m.segments for m in found]):5.1f}  "
        f"{100 * kept / max(corners, 1):5.1f} %  {np.median(cuts):.2f}/{np.percentile(cuts, 95):.2f}  "
        f"{sum(m.invented for m in found):3d}  {ours / true:.2f}  "
        f"{100 * np.mean([m.topology for m in found]):5.1f} %  {np.median([m.ms for m in found]):6.1f}  "
        f"{weighed([m.bound for m in found]):.4f}"
    )


HEAD = (
    "mean px   p95   farthest med/95/max    bias    seg  corners  cut med/95  new  calm  "
    "topology     ms  bound"
)


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
    for ppi in asked.ppi:
        _print_peers(pages, ppi)
    for ppi in sorted({asked.ppi[0], asked.ppi[-1]}):
        _print_departures(pages, ppi)
    _print_photo(pages)


def _print_peers(pages: list[Page], ppi: int) -> None:
    """Print the marks of both tracers on the same scans."""
    scanner = Scanner(ppi=ppi)
    drawings = [drawn(*page, scanner) for page in pages]
    table = {name: [marks(s, tracer) for some in drawings for s in some] for name, tracer in PEERS.items()}
    # Loops are compiled on first use; that is no letter's time.
    departed(_papered(drawings[0][:1], scanner))
    table["ours"] = [one for some in drawings for one in departed(_papered(some, scanner))]
    title = f"{ppi} ppi, {len(table['ours'])} letters"
    print(f"\n{title:22s} {HEAD}")
    print("\n".join(line(name, found) for name, found in table.items()))
    _print_ratios(table)
    sys.stdout.flush()


def _print_departures(pages: list[Page], ppi: int) -> None:
    """Print the marks of ours on pages that are not as the model has them."""
    print(f"\n{f'{ppi} ppi, ours':22s} {HEAD}")
    for name, change in DEPARTURES.items():
        scanner = Scanner(ppi=ppi, **change)  # type: ignore[arg-type]
        found = [one for page in pages for one in departed(_papered(drawn(*page, scanner), scanner))]
        print(line(name, found), flush=True)
    clear = Scanner(ppi=ppi, noise=0.0)
    for name, saved in SAVED.items():
        found = [one for page in pages for one in departed(read_again(drawn(*page, clear), saved, page[2]))]
        print(line(name, found), flush=True)


def _print_photo(pages: list[Page]) -> None:
    """Print the marks of ours on a photo of all letters on one sheet."""
    bare = Scanner(ppi=PHONE_PPI, blur=(0.0, 0.0), noise=0.0)
    seen = photographed_again([scan for page in pages for scan in drawn(*page, bare)], PHONE)
    title = f"{seen[0].scan.px_per_mm * MM_PER_INCH:.0f} ppi, ours"
    print(f"\n{title:22s} {HEAD}\n{line('photo, 12 megapixels', departed(seen))}", flush=True)


def _papered(some: list[Scan], scanner: Scanner) -> list[Papered]:
    return [Papered(scan=scan, noise=scanner.noise) for scan in some]


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
