"""Files of one page and of many are read as scans, at the resolution they were made with."""

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lettering.errors import ImageError
from lettering.storage import scans
from lettering.storage.scans import MOST_PAGES, pages_in, read_scan


def picture(seed: int) -> Image.Image:
    """Return 600 x 900 px of grey blocks, different for every seed."""
    blocks = np.random.default_rng(seed).integers(0, 255, (18, 12), np.uint8)
    return Image.fromarray(np.kron(blocks, np.ones((50, 50), dtype=np.uint8)))


def pdf(path: Path, count: int, ppi: float = 300) -> Path:
    """Write a PDF of `count` scans, as scanners do: a picture a page."""
    first, *others = [picture(seed) for seed in range(count)]
    first.save(path, "PDF", resolution=ppi, save_all=True, append_images=others)
    return path


def test_each_page_of_a_pdf_is_a_scan_of_its_own(tmp_path: Path) -> None:
    """A PDF of two scans gives both, pixel for pixel but for its compression, with resolution and names."""
    path = pdf(tmp_path / "scan.pdf", 2)
    pages = [read_scan(path, number) for number in range(pages_in(path))]

    assert [page.name for page in pages] == ["scan.pdf", "scan.pdf page 2"]
    for seed, page in enumerate(pages):
        grey = page.pixels if page.pixels.ndim == 2 else page.pixels[..., 0]
        wanted = np.asarray(picture(seed), dtype=float)

        assert page.ppi == pytest.approx(300, rel=0.01)
        assert np.abs(np.array(grey.shape) - wanted.shape).max() <= 1
        assert np.abs(grey[:895, :595] - wanted[:895, :595]).mean() < 4


def test_a_photo_as_phones_write_it_is_read(tmp_path: Path) -> None:
    """A HEIC comes back as it was but for its compression (written by another library's encoder)."""
    heif = pytest.importorskip("pillow_heif")
    heif.register_heif_opener()
    picture(3).convert("RGB").save(tmp_path / "photo.heic", quality=95)
    page = read_scan(tmp_path / "photo.heic")

    assert pages_in(tmp_path / "photo.heic") == 1
    assert page.pixels.shape == (900, 600, 3)
    assert np.abs(page.pixels[..., 1].astype(float) - np.asarray(picture(3), dtype=float)).mean() < 3


def test_a_pdf_of_too_many_pages_is_refused(tmp_path: Path) -> None:
    """A hundred pages are counted and refused with the limit, without one being drawn."""
    small = [Image.new("L", (40, 40), 255) for _ in range(100)]
    small[0].save(tmp_path / "long.pdf", "PDF", save_all=True, append_images=small[1:])

    with pytest.raises(ImageError, match=f"the PDF has 100 pages; 1 to {MOST_PAGES} can be read"):
        pages_in(tmp_path / "long.pdf")


@pytest.mark.parametrize("share", [0.02, 0.3, 0.6])
def test_a_pdf_cut_short_is_refused(tmp_path: Path, share: float) -> None:
    """A PDF that ends too early is an ImageError or an empty one, and never another error."""
    path = pdf(tmp_path / "a.pdf", 1)
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])

    with pytest.raises(ImageError, match="the PDF"):
        read_scan(path, pages_in(path) - 1)


def test_a_heic_cut_short_is_refused(tmp_path: Path) -> None:
    """Half a HEIC is an ImageError."""
    heif = pytest.importorskip("pillow_heif")
    heif.register_heif_opener()
    whole = io.BytesIO()
    picture(3).convert("RGB").save(whole, "HEIF", quality=95)
    (tmp_path / "photo.heic").write_bytes(whole.getvalue()[: len(whole.getvalue()) // 2])

    with pytest.raises(ImageError):
        read_scan(tmp_path / "photo.heic")


def test_a_page_of_enormous_paper_is_drawn_no_larger_than_can_be_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A PDF page of 5 m by 5 m is drawn within the limit, which is that of pictures."""
    assert scans.MOST_PIXELS == 100_000_000
    monkeypatch.setattr(scans, "MOST_PIXELS", 1_000_000)
    Image.new("L", (400, 400), 255).save(tmp_path / "vast.pdf", "PDF", resolution=2)

    assert max(read_scan(tmp_path / "vast.pdf").pixels.shape[:2]) <= 1_001
