"""Pictures of every kind are read as they look, upright, and what cannot be read is refused in words."""

import io
import struct
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image, ImageCms

from lettering.errors import ImageError
from lettering.storage import images
from lettering.storage.images import png_bytes, read_art, read_page_image

ORIENTATION = 0x0112
"""Tag of the EXIF orientation (EXIF 2.3, 4.6.4)."""


def sample() -> NDArray[np.uint8]:
    """Return 40 x 60 px of grey that is different everywhere, brighter to the right and below."""
    y, x = np.mgrid[0:40, 0:60]
    return np.asarray(2 * x + 3 * y, dtype=np.uint8)


def saved(image: Image.Image, path: Path, **options: Any) -> Path:
    """Save a picture and return its path."""
    image.save(path, **options)
    return path


@pytest.mark.parametrize("name", ["a.png", "a.tif", "a.webp", "a.jpg"])
def test_grey_comes_back_as_it_was_written(tmp_path: Path, name: str) -> None:
    """PNG, TIFF and lossless WebP give grey as written; JPEG comes within 4 of it."""
    lossless = not name.endswith("jpg")
    options = {"lossless": True} if name.endswith("webp") else {}
    page = read_page_image(saved(Image.fromarray(sample()), tmp_path / name, **options))
    seen = page.pixels if page.pixels.ndim == 2 else page.pixels[:, :, 0]

    assert page.name == name
    assert np.abs(seen.astype(int) - sample()).max() <= (0 if lossless else 4)


def test_sixteen_bits_stay_sixteen(tmp_path: Path) -> None:
    """16-bit grey of PNG and TIFF keeps all its values."""
    deep = sample().astype(np.uint16) * 257 + 1
    for name in ("a.png", "a.tif"):
        page = read_page_image(saved(Image.fromarray(deep), tmp_path / name))

        assert page.pixels.dtype == np.uint16
        assert np.array_equal(page.pixels, deep)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_turned_picture_is_put_upright(tmp_path: Path, orientation: int) -> None:
    """Each of the eight EXIF orientations (EXIF 2.3, table in 4.6.4) shows the same picture."""
    upright = sample()
    as_stored = {
        1: upright, 2: upright[:, ::-1], 3: upright[::-1, ::-1], 4: upright[::-1],
        5: upright.T, 6: np.rot90(upright), 7: upright[::-1, ::-1].T, 8: np.rot90(upright, -1),
    }[orientation]  # fmt: skip
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    path = saved(Image.fromarray(np.ascontiguousarray(as_stored)), tmp_path / "a.png", exif=exif)

    assert np.array_equal(read_page_image(path).pixels, upright)


def test_cmyk_black_on_paper_is_black_on_white(tmp_path: Path) -> None:
    """Full black ink is dark and no ink is white; a CMYK TIFF without a profile goes by the plain formula."""
    ink = Image.new("CMYK", (60, 40), (0, 0, 0, 0))
    ink.paste((0, 0, 0, 255), (10, 10, 30, 30))
    ink.paste((0, 255, 0, 0), (40, 10, 50, 30))
    page = read_page_image(saved(ink, tmp_path / "a.tif"))

    assert page.pixels[0, 0].tolist() == [255, 255, 255]
    assert page.pixels[20, 20].max() == 0
    assert page.pixels[20, 45].tolist() == [255, 0, 255]


def test_palette_and_one_bit_pictures_show_their_colours(tmp_path: Path) -> None:
    """A palette is looked up; one bit gives 0 and 255."""
    drawn = Image.new("RGB", (60, 40), (255, 255, 255))
    drawn.paste((200, 30, 60), (10, 10, 30, 30))
    page = read_page_image(saved(drawn.quantize(4), tmp_path / "a.png"))
    bits = read_page_image(saved(drawn.convert("1"), tmp_path / "b.png"))

    assert page.pixels[20, 20].tolist() == [200, 30, 60]
    assert set(np.unique(bits.pixels)) <= {0, 255}
    assert bits.pixels.ndim == 2


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P"])
def test_clear_places_show_white_paper(tmp_path: Path, mode: str) -> None:
    """What is transparent is white, half-clear black is middle grey, what is solid stays."""
    clear = Image.new("RGBA", (60, 40), (0, 0, 0, 0))
    clear.paste((0, 0, 0, 255), (10, 10, 30, 30))
    if mode != "P":
        clear.paste((0, 0, 0, 128), (40, 10, 50, 30))
    page = read_page_image(saved(clear.convert(mode), tmp_path / "a.png"))
    grey = page.pixels if page.pixels.ndim == 2 else page.pixels.max(axis=2)

    assert (grey[0, 0], grey[20, 20]) == (255, 0)
    if mode != "P":
        assert grey[20, 45] == pytest.approx(127, abs=1)


def with_red_and_green_swapped(profile: bytes) -> bytes:
    """Return an RGB profile whose first channel is green and second red (ICC.1:2010, 7.3, the tag table)."""
    data = bytearray(profile)
    count = struct.unpack(">I", data[128:132])[0]
    entries = {bytes(data[at : at + 4]): at for at in range(132, 132 + 12 * count, 12)}
    red, green = (slice(entries[name] + 4, entries[name] + 12) for name in (b"rXYZ", b"gXYZ"))
    data[red], data[green] = data[green], data[red]
    return bytes(data)


def test_colours_go_through_the_picture_s_own_profile(tmp_path: Path) -> None:
    """A picture whose profile says that its first channel is green is turned to sRGB accordingly."""
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    plain = Image.new("RGB", (60, 40), (180, 90, 40))
    same = saved(plain, tmp_path / "a.png", icc_profile=srgb)
    swapped = saved(plain, tmp_path / "b.png", icc_profile=with_red_and_green_swapped(srgb))
    damaged = saved(plain, tmp_path / "c.png", icc_profile=srgb[:100])

    assert np.abs(read_page_image(same).pixels[0, 0].astype(int) - (180, 90, 40)).max() <= 1
    assert np.abs(read_page_image(swapped).pixels[0, 0].astype(int) - (90, 180, 40)).max() <= 1
    assert read_page_image(damaged).pixels[0, 0].tolist() == [180, 90, 40]


@pytest.mark.parametrize(
    ("dpi", "expected"),
    [
        (400, 400),
        (300, 300),
        (1200, 1200),
        (72, None),
        (1, None),
        (96, None),
        ((300, 600), None),
        (None, None),
    ],
)
def test_resolution_is_believed_when_plausible(
    tmp_path: Path, dpi: float | tuple[float, float] | None, expected: float | None
) -> None:
    """The ppi of scanners is taken; 1, 72 and 96 and unequal ones say nothing of the paper."""
    pair = dpi if isinstance(dpi, tuple) else (dpi, dpi)
    options: dict[str, Any] = {} if dpi is None else {"dpi": pair}
    for name in ("a.png", "a.jpg", "a.tif"):
        ppi = read_page_image(saved(Image.fromarray(sample()), tmp_path / name, **options)).ppi

        assert ppi == (expected and pytest.approx(expected, rel=1e-4))


def png_header(width: int, height: int) -> bytes:
    """Return a PNG that claims a size and holds nothing."""
    ihdr = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    chunk = b"IHDR" + ihdr
    head = struct.pack(">I", 13) + chunk + struct.pack(">I", zlib.crc32(chunk))
    return b"\x89PNG\r\n\x1a\n" + head + struct.pack(">I", 1000) + b"IDAT"


@pytest.mark.parametrize(("width", "height"), [(20_000, 10_000), (11_000, 10_000), (65_000, 65_000)])
def test_too_many_pixels_are_refused_before_decoding(tmp_path: Path, width: int, height: int) -> None:
    """A header of 110, 200 or 4,225 million pixels is refused by its numbers alone, and the limit is told."""
    path = tmp_path / "a.png"
    path.write_bytes(png_header(width, height))

    for read in (read_page_image, read_art):
        with pytest.raises(ImageError, match=r"a\.png: the picture .*more than 100 million pixels"):
            read(path)


@pytest.mark.parametrize("size", [(1, 1), (31, 400), (400, 31)])
def test_a_picture_too_small_for_lettering_is_refused(tmp_path: Path, size: tuple[int, int]) -> None:
    """A page of fewer than 32 pixels in a row or column is refused with its size."""
    path = saved(Image.new("L", size, 255), tmp_path / "a.png")

    with pytest.raises(ImageError, match=f"has {size[0]} x {size[1]} pixels, too few to hold lettering"):
        read_page_image(path)


def test_what_is_no_picture_is_refused(tmp_path: Path) -> None:
    """Text, an empty file, a folder, a missing file and a format that is not read each get a sentence."""
    (tmp_path / "text.png").write_text("no picture")
    (tmp_path / "empty.png").touch()
    Image.fromarray(sample()).save(tmp_path / "a.gif")
    for name in ("text.png", "empty.png", "a.gif"):
        with pytest.raises(ImageError, match=r"this is no picture that can be read\. Give a PNG, JPEG, TIFF"):
            read_page_image(tmp_path / name)
    for path, told in ((tmp_path / "nowhere.png", "there is no such file"), (tmp_path, "this is a folder")):
        with pytest.raises(ImageError, match=told):
            read_page_image(path)


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.tif", "a.webp"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.95])
def test_a_picture_cut_short_is_refused(tmp_path: Path, name: str, share: float) -> None:
    """A file that ends too early is an ImageError, whatever its format."""
    noise = np.random.default_rng(1).integers(0, 255, (64, 64), np.uint8)
    data = saved(Image.fromarray(noise), tmp_path / name).read_bytes()
    (tmp_path / name).write_bytes(data[: int(len(data) * share)])

    with pytest.raises(ImageError):
        read_page_image(tmp_path / name)


@given(
    st.sampled_from(["PNG", "JPEG", "TIFF", "WEBP"]),
    st.lists(st.tuples(st.floats(0, 0.999), st.integers(0, 255)), max_size=8),
)
def test_a_damaged_picture_gives_pixels_or_an_image_error(
    tmp_path_factory: pytest.TempPathFactory, form: str, damage: list[tuple[float, int]]
) -> None:
    """Whatever bytes are changed, nothing else is ever raised."""
    file = io.BytesIO()
    Image.fromarray(sample()).save(file, form)
    data = bytearray(file.getvalue())
    for share, byte in damage:
        data[int(share * len(data))] = byte
    path = tmp_path_factory.getbasetemp() / "damaged"
    path.write_bytes(data)

    for read in (read_page_image, read_art):
        try:
            read(path)
        except ImageError:
            continue


def test_art_is_made_smaller_and_keeps_its_colours(tmp_path: Path) -> None:
    """Art comes as 8-bit colour with no side longer than asked, its washes unchanged."""
    art = Image.new("RGB", (900, 450), (10, 200, 30))
    art.paste((250, 250, 0), (450, 0, 900, 450))
    small = read_art(saved(art, tmp_path / "a.png"), longest=300)

    assert small.shape == (150, 300, 3)
    assert small[75, 50].tolist() == [10, 200, 30]
    assert small[75, 250].tolist() == [250, 250, 0]


def test_grey_and_deep_art_become_colour(tmp_path: Path) -> None:
    """16-bit grey art gives three equal 8-bit channels."""
    deep = saved(Image.fromarray(sample().astype(np.uint16) * 257), tmp_path / "a.png")
    art = read_art(deep)

    assert art.dtype == np.uint8
    assert np.array_equal(art, np.repeat(sample()[:, :, None], 3, axis=2))


def test_a_crop_as_png_holds_its_pixels() -> None:
    """The bytes of a crop are a PNG that another reader opens to the same pixels."""
    again = Image.open(io.BytesIO(png_bytes(sample())))

    assert (again.format, again.mode) == ("PNG", "L")
    assert np.array_equal(np.asarray(again), sample())


def test_the_limit_is_the_one_that_is_told() -> None:
    """The stated limit is 100 million pixels."""
    assert images.MOST_PIXELS == 100_000_000
