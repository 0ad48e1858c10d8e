"""Line art as TIFF keeps every dot, and is read alike by programs that share no code with it."""

import io
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image

from lettering.storage.line_art import line_art_tiff


def strips_of(ink: NDArray[np.bool_], high: int) -> list[NDArray[np.uint8]]:
    """Return ink (rows, columns) as strips of packed bits, `high` rows each."""
    return [np.packbits(ink[top : top + high], axis=1) for top in range(0, len(ink), high)]


@given(st.integers(1, 40), st.integers(1, 80), st.integers(1, 50), st.sampled_from((0.0, 0.3, 1.0)))
def test_every_dot_comes_back(rows: int, columns: int, high: int, share: float) -> None:
    """Any number of rows, columns and rows a strip has the same ink in an independent reader (libtiff)."""
    ink = np.random.default_rng(rows * columns).random((rows, columns)) < share
    with Image.open(io.BytesIO(line_art_tiff(strips_of(ink, high), columns, 1200))) as image:
        assert (image.mode, image.info["compression"]) == ("1", "group4")
        assert image.info["dpi"] == (1200, 1200)
        assert np.array_equal(~np.asarray(image), ink)


@pytest.mark.parametrize("fault", ["", "cut", "wrong resolution"])
def test_a_printers_tools_read_it(tmp_path: Path, fault: str) -> None:
    """libtiff's own `tiffinfo -D` reads all strips without complaint, and tells a spoiled twin from it."""
    ink = np.random.default_rng(4).random((300, 500)) < 0.1
    data = line_art_tiff(strips_of(ink, 64), 500, 1000 if fault == "wrong resolution" else 1200)
    (tmp_path / "art.tiff").write_bytes(data[:-200] if fault == "cut" else data)
    program = shutil.which("tiffinfo")
    assert program, "Install libtiff-tools."
    told = subprocess.run(
        [program, "-D", "art.tiff"], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    wanted = (
        "Resolution: 1200, 1200 pixels/inch" in told.stdout
        and "CCITT Group 4" in told.stdout
        and "min-is-white" in told.stdout
        and not told.stderr
    )
    assert wanted == (fault == "")
