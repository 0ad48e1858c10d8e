"""What a picture on disk is, told without decoding it."""

from dataclasses import dataclass
from pathlib import Path

from lettering.storage.images import opened


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What a picture on disk is, as far as can be told without decoding it."""

    columns: int
    rows: int
    mode: str
    """Colour space as the library calls it: 'RGB', 'CMYK', 'L'."""
    clear: bool
    """Whether it may have transparent places."""
    profile: bytes | None
    """Its own ICC profile."""
    jpeg: bool


def facts(path: Path) -> Facts:
    """Return what the picture at `path` is, upright; raises ImageError as `read_page_image` does."""
    with opened(path, 1) as image:
        turned = image.getexif().get(_ORIENTATION, 1) >= _LYING
        columns, rows = (image.height, image.width) if turned else (image.width, image.height)
        return Facts(
            columns=columns,
            rows=rows,
            mode=image.mode,
            clear=image.has_transparency_data,
            profile=image.info.get("icc_profile"),
            jpeg=image.format == "JPEG",
        )


_ORIENTATION = 0x0112
"""EXIF 2.32, tag Orientation; from 5 on columns and rows are exchanged."""
_LYING = 5
