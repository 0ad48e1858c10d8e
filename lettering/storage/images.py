"""Pictures on disk: scans and photos of lettered pages, and the art of a spread."""

import io
import math
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from lettering.capture.page import PageImage
from lettering.errors import ImageError

FORMATS = ("PNG", "JPEG", "TIFF", "WEBP")
MOST_PIXELS = 100_000_000
"""Largest picture that is decoded: A3 at 650 ppi; as 8-bit colour it takes 300 MB."""
LEAST_SIDE = 32
"""Shortest side, px, that can hold lettering."""
LONGEST_ART = 2_000
"""Longest side of art as it is kept for placing and proofs, px: 100 ppi on a spread of 500 mm."""
PLAUSIBLE_PPI = (100.0, 5_000.0)
"""What scanners write. Cameras and screens write 1, 72 or 96, which says nothing of the paper."""

SMALL_PICTURE = 1_000_000
"""Pictures with fewer values are packed well; crops of letters have some ten thousand."""

Pixels = NDArray[np.uint8] | NDArray[np.uint16]


def read_page_image(path: Path) -> PageImage:
    """Return the scan or photo of a lettered page, upright: 8 or 16 bit grey, or 8-bit sRGB colour.

    Raises ImageError when the file is no PNG, JPEG, TIFF, WebP or HEIC, is damaged, has more than 100
    million pixels, or has fewer than 32 in a row or column.
    """
    with opened(path, LEAST_SIDE) as image:
        return page_image(image, path.name)


def page_image(image: Image.Image, name: str) -> PageImage:
    """Return an open picture as a page, upright, in grey or sRGB."""
    return PageImage(name=name, pixels=_pixels(_upright(image)), ppi=_ppi(image))


def read_art(path: Path, longest: int = LONGEST_ART) -> NDArray[np.uint8]:
    """Return art as sRGB, shape (rows, columns, 3), made smaller so that no side exceeds `longest` px.

    Transparent places show white paper. Raises ImageError as `read_page_image` does.
    """
    with opened(path, 1) as image:
        image.draft("RGB", (longest, longest))  # a JPEG is then decoded small, not decoded and made small
        small = _upright(image)
        small.thumbnail((longest, longest), Image.Resampling.BOX, reducing_gap=2.0)
        pixels = _pixels(small)
    eight = (pixels >> 8 if pixels.dtype == np.uint16 else pixels).astype(np.uint8)
    return eight if eight.ndim == 3 else np.repeat(eight[:, :, None], 3, axis=2)


def png_bytes(pixels: NDArray[np.uint8]) -> bytes:
    """Return a PNG of grey (rows, columns) or colour (rows, columns, 3) pixels."""
    file = io.BytesIO()
    # Large pictures are only looked at, and packing them well takes most of the time to save them.
    Image.fromarray(pixels).save(file, "PNG", compress_level=6 if pixels.size < SMALL_PICTURE else 1)
    return file.getvalue()


def crop_pixels(png: bytes) -> NDArray[np.uint8]:
    """Return the grey pixels, shape (rows, columns), of a letter's kept crop; raises ImageError."""
    try:
        with Image.open(io.BytesIO(png), formats=("PNG",)) as image:
            _check_size(image, "kept picture", 1)
            return np.asarray(image.convert("L"))
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        raise ImageError(f"a kept picture is damaged ({error}).", hint="Gather its page again.") from None


@contextmanager
def opened(path: Path, least: int) -> Iterator[Image.Image]:
    """Open a picture of a size that can be used; any failure to decode it becomes an ImageError."""
    name = str(path)
    if path.is_dir():
        raise ImageError("this is a folder.", name, "Give the pictures in it.")
    if not path.is_file():
        raise ImageError("there is no such file.", name)
    formats: tuple[str, ...] = FORMATS
    if _head(path)[4:8] == b"ftyp":
        # ISO 14496-12: a file of boxes, as phones write; their decoder takes long to load.
        from pillow_heif import register_heif_opener  # noqa: PLC0415

        register_heif_opener()
        formats = ("HEIF",)
    try:
        with warnings.catch_warnings():
            # Sizes are judged by our own limit, and damaged side information is no reason to refuse.
            warnings.simplefilter("ignore")
            with Image.open(path, formats=formats) as image:
                _check_size(image, name, least)
                yield image
    except Image.DecompressionBombError:
        raise too_large(name) from None
    except UnidentifiedImageError:
        hint = "Give a PNG, JPEG, TIFF, WebP, HEIC or PDF file."
        if path.suffix.lower() == ".svg":
            hint = "Drop it on the light table, which paints it, or save it as PNG at 300 ppi."
        raise ImageError("this is no picture that can be read.", name, hint) from None
    except (OSError, SyntaxError, ValueError, EOFError, LookupError, TypeError, ArithmeticError) as error:
        hint = "Scan or export it again."
        raise ImageError("the picture is damaged or cut short.", name, hint) from error


def _head(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(16)


def _check_size(image: Image.Image, name: str, least: int) -> None:
    if image.width * image.height > MOST_PIXELS:
        raise too_large(name, f"{image.width} x {image.height}, which is ")
    if min(image.size) < least:
        size = f"{image.width} x {image.height} pixels"
        hint = "Scan lettering at 300 ppi or more."
        raise ImageError(f"the picture has {size}, too few to hold lettering.", name, hint)


def too_large(name: str, size: str = "") -> ImageError:
    """Return the refusal of a picture; `size` tells how large it is, where that is known."""
    limit = f"more than {MOST_PIXELS // 1_000_000} million pixels"
    return ImageError(f"the picture has {size}{limit}.", name, "Save it at a lower resolution, or crop it.")


def _ppi(image: Image.Image) -> float | None:
    """Return the resolution that the file states, when it is alike both ways and plausible for paper."""
    try:
        across, down = (float(part) for part in image.info["dpi"])
    except (KeyError, TypeError, ValueError, ArithmeticError):
        return None
    least, most = PLAUSIBLE_PPI
    plausible = least <= across <= most and math.isclose(across, down, rel_tol=0.02)
    return (across + down) / 2 if plausible else None


def _upright(image: Image.Image) -> Image.Image:
    """Return the picture turned as its EXIF orientation tells."""
    image.load()
    return ImageOps.exif_transpose(image)


def _pixels(image: Image.Image) -> Pixels:
    """Return grey (rows, columns) or sRGB (rows, columns, 3); transparent places show white paper."""
    if image.mode.startswith("I"):
        return _deep(np.asarray(image))
    if image.mode not in ("1", "L", "LA", "La", "P", "PA", "RGB", "RGBA", "RGBa", "RGBX", "CMYK", "YCbCr"):
        raise ImageError(f"pictures in {image.mode} cannot be read", hint="Save it as RGB or grey.")
    if image.has_transparency_data:
        image = _on_paper(image)
    if image.mode in ("1", "L"):
        return np.asarray(image.convert("L"))
    return np.asarray(_srgb(image))


def _deep(values: NDArray[np.generic]) -> NDArray[np.uint16]:
    """Return 16-bit grey; deeper values keep their 16 highest bits."""
    deep = values.astype(np.int64)
    if deep.max(initial=0) > 0xFFFF:
        deep >>= 16
    return deep.clip(0, 0xFFFF).astype(np.uint16)


def _on_paper(image: Image.Image) -> Image.Image:
    grey = image.mode in ("L", "LA", "La", "1")
    above = image.convert("RGBA")
    on_white = Image.alpha_composite(Image.new("RGBA", image.size, "white"), above).convert("RGB")
    on_white.info["icc_profile"] = image.info.get("icc_profile")
    return on_white.convert("L") if grey else on_white


def _srgb(image: Image.Image) -> Image.Image:
    """Return the colours as sRGB: by the picture's own profile, else by the plain formula."""
    plain = image if image.mode in ("RGB", "CMYK") else image.convert("RGB")
    if profile := image.info.get("icc_profile"):
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            converted = ImageCms.profileToProfile(
                plain, own, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
        except (ImageCms.PyCMSError, OSError, TypeError, ValueError):
            converted = None  # a profile of another colour space or a damaged one: the formula must do
        if converted is not None:
            return converted
    return plain.convert("RGB")
