"""Lettered pages brought on the table: laid flat, gathered, seen, settled and withdrawn."""

from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.steps.test_gather import files
from tests.table.conftest import Served
from tests.table.hand_book import on_disk, page_at, whole
from tests.table.page import middle, until


def test_a_character_with_a_hand_of_its_own_is_gathered_seen_and_tried(
    served: Served, page: Page, tmp_path: Path
) -> None:
    """Its hand is chosen, tells what it lacks, takes a page, letters a sentence; the book's stays."""
    before = files(served.path.parent / "hand.ufo")
    page_at(tmp_path / "toad.png", ("we see no hen", "then who?"))
    page.locator("#whose").select_option("toad")
    expect(page.locator("#slip")).to_contain_text("There is no hand yet")
    page.locator("#page-file").set_input_files(tmp_path / "toad.png")
    page.locator("#reading").fill((tmp_path / "toad.txt").read_text())
    page.get_by_role("button", name="Gather its letters").click()
    until((served.path.parent / "toad.ufo").is_dir, page)
    expect(page.locator("#lacking")).to_contain_text("every letter")
    assert len(on_disk(served, "toad.ufo").takes["e"]) == 5
    page.locator("#sentence").fill("who")
    expect(page.locator(".tried path")).to_have_count(3)
    page.locator('[data-id="char-w"]').click()
    page.get_by_role("button", name="Drop take 2").click()
    until(lambda: len(on_disk(served, "toad.ufo").takes["w"]) == 1, page)

    assert files(served.path.parent / "hand.ufo") == before
    page.locator("#undo").click()
    until(lambda: len(on_disk(served, "toad.ufo").takes["w"]) == 2, page)
    page.locator("#undo").click()
    until(lambda: not (served.path.parent / "toad.ufo").exists(), page)


def test_what_a_reading_doubts_is_seen_settled_and_withdrawn_with_its_page(
    served: Served, page: Page, tmp_path: Path
) -> None:
    """A page is gathered whose reading has two slips: both are shown with their paper, and after a reload.

    Said to be an e, one is a take of the hand; withdrawn and undone each step is one change.
    """
    first = files(served.path.parent / "hand.ufo")
    page_at(tmp_path / "more.png", ("then we see no one", "who then? not he."))
    page.locator("#page-file").set_input_files(tmp_path / "more.png")
    page.locator("#reading").focus()
    page.keyboard.insert_text("thon we see no one\nwho then? nat he.")  # as pasting does
    page.get_by_role("button", name="Gather its letters").click()
    until(lambda: whole(served) != first, page)
    expect(page.locator("#said")).to_contain_text("Done: gathering")
    expect(page.locator("#gathered")).to_contain_text("Those in doubt are set aside")
    gathered = files(served.path.parent / "hand.ufo")
    page.reload()
    page.locator("#tab-hand").click()
    doubt = page.get_by_role("button", name="o, more.png, row 1, place 3: could be another letter")
    expect(doubt).to_be_visible()
    assert doubt.locator("img").evaluate("(img) => img.decode().then(() => img.naturalWidth)") > 20
    doubt.click()
    expect(page.locator("#letter")).to_contain_text("Set aside: could be another letter")
    expect(page.locator("#crop .traced")).to_be_attached()
    page.locator("#letter-is").fill("e")
    page.locator('[data-id="letter-name"]').click()
    until(lambda: whole(served) not in (gathered, None), page)
    settled = on_disk(served)
    assert ("more.png", 0, 2) in {
        (t.source.page, t.source.row, t.source.place) for t in settled.takes["e"] if t.source
    }
    expect(page.locator("#letter")).to_contain_text("row 2, place 12")  # the next in doubt
    second = files(served.path.parent / "hand.ufo")
    page.get_by_text("Pages in this hand (2)").click()
    page.get_by_role("button", name="Withdraw more.png").click()
    until(lambda: whole(served) not in (second, None), page)
    expect(page.locator("#said")).to_contain_text("Done: withdrawing")
    assert "more.png" not in {t.source.page for g in on_disk(served).takes.values() for t in g if t.source}
    assert "more.png" not in {t.source.page for g in on_disk(served).aside.values() for t in g if t.source}
    for wanted in (second, gathered, first):
        expect(page.locator("#undo")).to_be_enabled()
        page.locator("#undo").click()
        until(lambda wanted=wanted: whole(served) == wanted, page)  # type: ignore[misc]


TOUCHED = """([corner, x, y]) => {
    const photo = document.getElementById("photo");
    const handle = photo.querySelector(`[data-id="corner-${corner}"]`);
    handle.setPointerCapture = () => {};
    const box = handle.getBoundingClientRect();
    const to = new DOMPoint(x, y).matrixTransform(photo.getScreenCTM());
    const send = (kind, x, y) => handle.dispatchEvent(new PointerEvent(kind,
        {pointerId: 9, pointerType: "touch", button: 0, clientX: x, clientY: y, bubbles: true}));
    send("pointerdown", box.x + box.width / 2, box.y + box.height / 2);
    send("pointermove", to.x + 5, to.y + 5);
    send("pointermove", to.x, to.y);
    send("pointerup", to.x, to.y);
}"""
"""Drags a corner of the paper with a finger to a place of the photo, px."""


def test_the_corners_of_a_photo_are_pulled_by_finger_and_by_mouse(
    served: Served, page: Page, tmp_path: Path
) -> None:
    """Corners go where they are pulled; the page laid flat by them is kept, and gathered from."""
    page_at(tmp_path / "photo.png", ("then we see",))
    with Image.open(tmp_path / "photo.png") as image:
        width, height = image.size
    page.locator("#page-file").set_input_files(tmp_path / "photo.png")
    expect(page.locator("#photo")).to_be_visible()
    wanted = [[4, 6], [width - 8, 3], [width - 2, height - 5], [3, height - 7]]
    for corner in (0, 1):
        page.evaluate(TOUCHED, [corner, *wanted[corner]])
    for corner in (2, 3):
        to = page.evaluate(
            "([x, y]) => (({x: a, y: b}) => [a, b])(new DOMPoint(x, y).matrixTransform("
            "document.getElementById('photo').getScreenCTM()))",
            wanted[corner],
        )
        page.mouse.move(*middle(page.locator(f'[data-id="corner-{corner}"]')))
        page.mouse.down()
        page.mouse.move(*to, steps=3)
        page.mouse.up()
    edge = page.locator(".paper-edge").get_attribute("points") or ""
    seen = [float(value) for point in edge.split() for value in point.split(",")]
    assert seen == pytest.approx([value for point in wanted for value in point], abs=1.5)
    page.locator("#reading").fill("then we see")
    page.get_by_role("button", name="Gather its letters").click()
    until(lambda: "photo-flat.png" in {t.source.page for t in on_disk(served).takes["t"] if t.source}, page)

    with Image.open(served.path.parent / "pages" / "photo-flat.png") as flat:
        assert flat.width / flat.height == pytest.approx(width / height, rel=0.05)
