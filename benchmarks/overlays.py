"""Outlines drawn over the enlarged pictures they were traced from: a scan, a photo, pencil and a dry brush.

Run from anywhere: python benchmarks/overlays.py --out FOLDER [--letters aegRs] [--face delius] [--zoom 8]

Blue rings are smooth nodes, orange ones corners, pale lines handles. Pencil and brush are simulated: the
tooth of the paper takes ink away all over a pencil's stroke, and in streaks where a brush runs dry.
"""

import argparse
import tempfile
from pathlib import Path

from benchmarks.traced.overlay import overlay, sheet
from lettering.outlines.measure import measured
from lettering.outlines.sample import Sample, few_of
from lettering.outlines.trace import trace
from tests.outlines.papered import Saved, photographed_again, read_again
from tests.outlines.scanned import Scanner, scans
from tests.outlines.textured import brushed, pencilled, textured
from tests.simulated_photo import Phone

PHONE = Phone(width_px=4000, height_px=3000)


def main() -> None:
    """Write a sheet for each kind of page."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--out", type=Path, default=Path(tempfile.gettempdir()) / "overlays")
    parser.add_argument("--face", default="delius")
    parser.add_argument("--letters", default="aegRs&")
    parser.add_argument("--zoom", type=int, default=8)
    parser.add_argument("--clean", type=float, default=0.0)
    asked = parser.parse_args()
    bare = list(scans(asked.face, Scanner(ppi=300, blur=(0, 0), noise=0), asked.letters))
    fine = list(scans(asked.face, Scanner(ppi=600, blur=(0, 0), noise=0), asked.letters))
    lens = list(scans(asked.face, Scanner(ppi=300, noise=0), asked.letters))
    asked.out.mkdir(parents=True, exist_ok=True)
    for name, page in (
        ("scan", read_again(lens, Saved(quality=90))),
        ("photo", photographed_again(fine, PHONE)),
        ("pencil", textured(bare, pencilled)),
        ("brush", textured(bare, brushed)),
    ):
        optics = measured([Sample(coverage=p.scan.coverage, noise=p.noise) for p in few_of(page)])
        pictures = [
            overlay(
                one.scan.coverage,
                trace(one.scan.coverage, noise=one.noise, optics=optics, clean=asked.clean),
                asked.zoom,
            )
            for one in page
        ]
        path = asked.out / f"{name}.png"
        path.write_bytes(sheet(pictures, across=3))
        print(f"{path}: {optics}")


if __name__ == "__main__":
    main()
