"""The PNG of a drawing is well formed, has the right size and resolution, and shows what the SVG shows."""

import io
import subprocess
import tracemalloc
from dataclasses import replace
from pathlib import Path as File

import cairosvg
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from lettering.drawing import Drawing, Picture
from lettering.errors import OutputError
from lettering.export.png import png, size
from lettering.export.svg import svg
from lettering.geometry.rect import Rect
from tests.export.drawings import spread


def pixels(data: bytes) -> NDArray[np.int64]:
    """Return a PNG as red, green, blue, alpha, shape (rows, columns, 4)."""
    image = Image.open(io.BytesIO(data))
    assert image.mode == "RGBA"
    return np.asarray(image).astype(np.int64)


@pytest.mark.parametrize("ppi", [96, 300, 600])
def test_size_and_resolution_are_those_of_the_page(ppi: int) -> None:
    """Pillow reads trim and bleed in pixels at the asked ppi, and that ppi from the pHYs chunk."""
    image = Image.open(io.BytesIO(png(spread(), ppi)))

    assert image.size == (round(246 / 25.4 * ppi), round(166 / 25.4 * ppi))
    assert image.info["dpi"] == pytest.approx((ppi, ppi), abs=0.02)


def test_a_spread_of_426_by_256_mm_has_the_expected_pixels() -> None:
    """426 x 256 mm at 300 ppi are 5031 or 5032 x 3024 pixels, whatever the renderer (closed form)."""
    drawing = replace(spread(), trim=Rect(0, 0, 420, 250))

    assert size(drawing, 300) == (round(426 / 25.4 * 300), round(256 / 25.4 * 300)) == (5031, 3024)


def test_the_png_shows_what_the_svg_shows() -> None:
    """CairoSVG's picture of the SVG differs in edges only, in colour over white and in alpha."""
    drawing = spread()
    ours = pixels(png(drawing, 76.2))
    height, width = ours.shape[:2]
    theirs = pixels(
        cairosvg.svg2png(bytestring=svg(drawing).encode(), output_width=width, output_height=height)
    )
    flat = [p[:, :, :3] * p[:, :, 3:] // 255 + 255 - p[:, :, 3:] for p in (ours, theirs)]

    for difference in (np.abs(flat[0] - flat[1]), np.abs(ours[:, :, 3] - theirs[:, :, 3])):
        assert (difference > 64).mean() < 0.0001
        assert difference.mean() < 0.1


def test_what_is_not_painted_is_clear_and_ink_is_black() -> None:
    """Outside the bubbles alpha is 0; inside the bubble the fill is white; a letter is full black."""
    picture = pixels(png(spread(), 127))  # five pixels a millimetre, the bleed of 3 mm before 0, 0

    assert picture[5, 5].tolist() == [0, 0, 0, 0]
    assert picture[265, 300].tolist() == [255, 255, 255, 255]
    assert picture[215, 332].tolist() == [0, 0, 0, 255]


def test_half_covered_pixels_keep_their_colour() -> None:
    """Colour is not multiplied by alpha (PNG, third edition, 6.2): soft edges of black stay black."""
    picture = pixels(png(only_letters(), 150))
    soft = (picture[:, :, 3] > 0) & (picture[:, :, 3] < 255)

    assert soft.any()
    assert picture[soft][:, :3].max() == 0


def only_letters() -> Drawing:
    """Return the spread without its bubbles."""
    return replace(spread(), layers=spread().layers[1:])


def test_bands_leave_no_seam() -> None:
    """A letter across the border of two bands looks as it does within one, the page being shifted."""
    one = pixels(png(spread(), 127))
    shifted = replace(spread(), bleed_mm=13)
    other = pixels(png(shifted, 127))

    assert np.abs(other[50:-50, 50:-50] - one).max() <= 2


def test_the_same_drawing_gives_the_same_bytes() -> None:
    """Two runs agree byte for byte."""
    assert png(spread(), 150) == png(spread(), 150)


def test_a_picture_too_large_is_refused_with_its_size() -> None:
    """More pixels than can be made are refused, and the sentence says how many it would be."""
    with pytest.raises(OutputError, match=r"246 x 166 mm at 4800 ppi is 46488 x 31370 pixels\."):
        png(spread(), 4800)


def test_memory_stays_small() -> None:
    """A spread of 506 x 256 mm at 600 ppi, 289 MB of pixels, is made in less than 100 MB of memory."""
    drawing = replace(spread(), trim=Rect(0, 0, 500, 250))
    tracemalloc.start()
    data = png(drawing, 600)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()

    assert most < 100_000_000
    assert Image.open(io.BytesIO(data)).size == (11953, 6047)


def test_a_picture_is_painted_in_its_place() -> None:
    """A picture of a proof fills its rectangle."""
    file = io.BytesIO()
    Image.new("RGB", (4, 4), (200, 100, 50)).save(file, "PNG")
    picture = Picture(rect=Rect(10, 50, 30, 60), png=file.getvalue())
    layer = spread().layers[0]
    drawing = replace(
        spread(), layers=(replace(layer, groups=(replace(layer.groups[0], items=(picture,)),)),)
    )

    painted = pixels(png(drawing, 127))

    rows, columns = np.nonzero(painted[:, :, 3])
    assert (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1) == (65, 265, 165, 315)
    assert painted[290, 115].tolist() == [200, 100, 50, 255]


def test_pngcheck_finds_nothing_wrong(tmp_path: File) -> None:
    """The program pngcheck passes the file and refuses a spoiled twin."""
    data = png(spread(), 300)
    good, bad = tmp_path / "good.png", tmp_path / "bad.png"
    good.write_bytes(data)
    bad.write_bytes(data[:-20] + b"\0" + data[-19:])

    said = subprocess.run(["pngcheck", "-v", str(good)], capture_output=True, text=True, check=False)
    assert said.returncode == 0
    assert "11811x11811 pixels/meter (300 dpi)" in said.stdout
    assert subprocess.run(["pngcheck", "-q", str(bad)], capture_output=True, check=False).returncode != 0
