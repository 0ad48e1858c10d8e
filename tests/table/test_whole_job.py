"""The whole job touching nothing but the page: an empty folder, a manuscript, art, a photo, an export."""

from pathlib import Path
from xml.etree import ElementTree

import numpy as np
from PIL import Image
from playwright.sync_api import expect

from lettering.setting.words import shown
from tests.simulated_page import Lettering, Scan, simulated_page, typeface
from tests.simulated_photo import Phone, photographed
from tests.table.conftest import Served
from tests.table.page import Opener, drag, png, px_per_mm

MANUSCRIPT = "Title: The Well\n\nPages 2-3\n\nMOLE: Hello?\n\nECHO: Hello!\n"
READING = ("Hello? Hello!", "Hello! Hello?")
"""What is lettered: every character of the book, more than once."""


def test_from_an_empty_folder_to_the_hand_off(served_empty: Served, opened: Opener, tmp_path: Path) -> None:
    """A dropped manuscript, art and a photo of lettering become SVG that carries every word of the book."""
    (tmp_path / "well.txt").write_text(MANUSCRIPT, "utf-8")
    (tmp_path / "well.png").write_bytes(png((506, 256)))
    sim = simulated_page(typeface("patrick-hand"), READING, Lettering(x_height_mm=5), Scan(ppi=200, grain=0))
    taken = photographed(sim, phone=Phone(width_px=1300, height_px=1000, fill=0.76))
    Image.fromarray(taken.page.pixels).save(tmp_path / "photo.jpg", quality=90)

    page = opened(served_empty, waits_for=".beginning")
    page.locator("#first-manuscript").set_input_files(tmp_path / "well.txt")
    expect(page.locator("#title")).to_have_text("The Well")

    page.locator("#tab-book").click()
    page.locator("#art-file").set_input_files(tmp_path / "well.png")
    expect(page.locator("#sheet image")).to_be_attached()

    page.locator("#tab-figures").click()
    for who, (x, y) in {"mole": (60.0, 160.0), "echo": (380.0, 160.0)}.items():
        page.locator(f'[data-id="draw-{who}"]').click()
        corner = page.evaluate("(({e, f}) => [e, f])(document.getElementById('sheet').getScreenCTM())")
        scale = px_per_mm(page)
        drag(page, (corner[0] + x * scale, corner[1] + y * scale), (50, 60))
        expect(page.locator(f'[data-id="figure-{who}-0"]')).to_be_attached()

    page.locator("#tab-hand").click()
    page.locator("#page-file").set_input_files(tmp_path / "photo.jpg")
    edge = page.locator(".paper-edge")
    expect(edge).to_be_attached(timeout=60_000)
    seen = [float(v) for point in (edge.get_attribute("points") or "").split() for v in point.split(",")]
    width, height = taken.size_mm
    truth = taken.to_picture @ np.array([[0, width, width, 0], [0, 0, height, height], [1, 1, 1, 1]])
    assert np.abs(np.array(seen).reshape(4, 2) - (truth[:2] / truth[2]).T).max() < 1.0
    corner = page.locator('[data-id="corner-2"]')
    corner.focus()
    for key in ("ArrowLeft", "ArrowRight"):
        page.keyboard.press(key)
    page.locator("#reading").fill("\n".join(READING))
    page.locator("#paper-size").fill(f"{width:.1f}x{height:.1f}mm")
    page.get_by_role("button", name="Gather its letters").click()
    expect(page.locator("#said")).to_contain_text("Done: gathering", timeout=120_000)
    expect(page.locator("#lettering-2")).to_be_attached(timeout=60_000)

    page.locator("#tab-handoff").click()
    page.get_by_role("button", name="Write the hand-off").click()
    expect(page.get_by_role("link", name="hand-off.zip")).to_be_visible(timeout=60_000)
    root = ElementTree.parse(served_empty.path.parent / "hand-off" / "svg" / "pages-02-03.svg").getroot()
    chars = [
        "".join(path.get("data-char", "") for path in group)
        for group in root.iterfind(".//*[@id='lettering']/*")
        if group.get("id")
    ]

    book = served_empty.table.work.book.book
    assert chars == [shown(line.says).replace(" ", "") for line in book.spreads[0].lines]
