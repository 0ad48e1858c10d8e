"""Pictures packed for other programs keep their pixels."""

import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lettering.errors import ImageError
from lettering.storage.facts import facts
from lettering.storage.packed import art_in_full, srgb_profile


def test_rgb_art_is_tagged_and_loses_no_pixel(tmp_path: Path) -> None:
    """Values come back as they were, with a profile of sRGB that is the same each time."""
    pixels = np.random.default_rng(6).integers(0, 256, (9, 13, 3), dtype=np.uint8)
    Image.fromarray(pixels).save(tmp_path / "art.png")
    full = art_in_full(tmp_path / "art.png")

    assert (full.columns, full.rows, full.colours) == (13, 9, 3)
    assert zlib.decompress(full.data) == pixels.tobytes()
    assert full.profile == srgb_profile()
    assert full.profile[16:20] == b"RGB "


def test_cmyk_art_is_left_as_it_was_painted(tmp_path: Path) -> None:
    """Four inks stay four inks: nothing is converted without being asked."""
    inks = np.random.default_rng(7).integers(0, 256, (9, 13, 4), dtype=np.uint8)
    Image.fromarray(inks, "CMYK").save(tmp_path / "art.tif")
    full = art_in_full(tmp_path / "art.tif")

    assert (full.colours, full.profile) == (4, None)
    assert zlib.decompress(full.data) == inks.tobytes()


def test_facts_are_told_without_decoding(tmp_path: Path) -> None:
    """A picture that lies on its side by its EXIF orientation has its columns and rows exchanged."""
    exif = Image.Exif()
    exif[0x0112] = 6
    Image.new("RGB", (40, 20)).save(tmp_path / "side.jpg", exif=exif)
    known = facts(tmp_path / "side.jpg")

    assert (known.columns, known.rows, known.mode, known.jpeg, known.clear) == (20, 40, "RGB", True, False)


@pytest.mark.parametrize(
    "text",
    [
        '<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
        '<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><svg>&b;</svg>',
        '<svg xmlns:xlink="http://www.w3.org/1999/xlink"><image xlink:href="http://example.org/a.png"/></svg>',
    ],
    ids=["script", "entities", "fetched"],
)
def test_svg_art_is_refused_unread(tmp_path: Path, text: str) -> None:
    """Drawn art could run, grow or fetch things: only pictures of pixels are read."""
    path = tmp_path / "art.svg"
    path.write_text(text)

    with pytest.raises(ImageError, match="Drop it on the light table, which paints it"):
        facts(path)
