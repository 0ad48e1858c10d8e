"""The slips beside the spread: figures, book, hand, checks, proof and hand-off."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.table.conftest import Served
from tests.table.page import (
    Opener,
    at_rest,
    drag,
    kept,
    middle,
    px_per_mm,
    spreads,
    until,
)


def test_figures_are_drawn_moved_resized_and_given_a_mouth(served: Served, opened: Opener) -> None:
    """A box drawn on the art, its face and mouth, and what is moved of it, are in the file to 0.1 mm."""
    page = opened(served)
    page.locator("#strip button").nth(1).click()
    page.locator("#tab-figures").click()
    page.locator('[data-id="draw-toad"]').click()
    scale = px_per_mm(page)
    corner = page.evaluate("(({e, f}) => [e, f])(document.getElementById('sheet').getScreenCTM())")

    def at(x: float, y: float) -> tuple[float, float]:
        return corner[0] + x * scale, corner[1] + y * scale

    drag(page, at(300, 120), (60, 70))
    until(lambda: "toad" in spreads(served)[1]["figures"], page)
    assert spreads(served)[1]["figures"]["toad"]["box"] == pytest.approx([300, 120, 60, 70], abs=0.8)
    page.locator('[data-id="draw-face"]').click()
    drag(page, at(310, 125), (25, 20))
    until(lambda: "face" in spreads(served)[1]["figures"]["toad"], page)
    page.locator('[data-id="draw-mouth"]').click()
    page.mouse.click(*at(320, 140))
    until(lambda: "mouth" in spreads(served)[1]["figures"]["toad"], page)
    drag(page, middle(page.locator('[data-id="figure-toad-0-box-se"]')), (10, 5))
    until(lambda: spreads(served)[1]["figures"]["toad"]["box"][2] > 68, page)
    at_rest(served, page)
    before = spreads(served)[1]["figures"]["toad"]
    page.locator('[data-id="figure-toad-0"]').focus()
    for key in ("ArrowLeft", "ArrowLeft", "Shift+ArrowUp"):
        page.keyboard.press(key)
    x, y, *size = before["box"]
    there = pytest.approx([x - 2, y - 0.1, *size], abs=1e-6)
    until(lambda: spreads(served)[1]["figures"]["toad"]["box"] == there, page)
    after = spreads(served)[1]["figures"]["toad"]
    assert after["mouth"] == pytest.approx([before["mouth"][0] - 2, before["mouth"][1] - 0.1], abs=1e-6)
    page.locator('[data-id="draw-clear"]').click()
    drag(page, at(20, 20), (40, 30))

    until(lambda: "keep_clear" in spreads(served)[1], page)


def test_figures_are_copied_from_another_spread(served: Served, opened: Opener) -> None:
    """Those that this spread has not yet come over with face and mouth."""
    page = opened(served)
    page.locator("#strip button").nth(1).click()
    page.locator("#tab-figures").click()
    page.locator("#copy-from").select_option("0")
    until(lambda: "toad" in spreads(served)[1]["figures"], page)

    assert spreads(served)[1]["figures"]["toad"] == spreads(served)[0]["figures"]["toad"]
    assert spreads(served)[1]["figures"]["wren"]["box"] == [60, 150, 60, 70]


def test_a_finding_leads_to_its_line(served: Served, opened: Opener) -> None:
    """A bubble left where it breaks a rule is listed; a click on it chooses the line on its spread."""
    page = opened(served)
    drag(page, middle(page.locator('[data-id="line-1"]')), (-60, 0))
    until(lambda: kept(served, 0, 1)["held"], page)
    page.locator("#strip button").nth(1).click()
    page.locator("#tab-checks").click()
    expect(page.locator(".findings .error").first).to_contain_text("too near to the trim")
    page.locator(".findings .error .go").first.click()

    expect(page.locator("#strip [aria-current]")).to_contain_text("pages 4-5")
    expect(page.locator(".measured text")).to_contain_text("wanted 8 mm")
    expect(page.locator('[data-id="line-1"]')).to_have_class(re.compile("chosen"))
    expect(page.locator("#strip button").first).to_contain_text("!")


def test_proof_and_hand_off_are_taken_home(served: Served, opened: Opener) -> None:
    """Both are written and downloaded; the proof is a PDF (ISO 32000-1, 7.5.2), the hand-off a ZIP."""
    page = opened(served)
    page.locator("#tab-handoff").click()
    page.get_by_role("button", name="Draw the proof").click()
    with page.expect_download() as proof:
        page.get_by_role("link", name="book-proof.pdf").click()
    page.get_by_role("button", name="Write the hand-off").click()
    with page.expect_download() as packed:
        page.get_by_role("link", name="hand-off.zip").click()

    assert Path(proof.value.path()).read_bytes().startswith(b"%PDF-")
    assert Path(packed.value.path()).read_bytes().startswith(b"PK\x03\x04")
    assert (served.path.parent / "hand-off" / "svg" / "pages-04-05.svg").is_file()


def test_a_former_round_is_seen_beside_the_spread(served: Served, opened: Opener) -> None:
    """Kept as a round, then changed: below the spread stands what was sent, outline for outline."""
    page = opened(served)
    page.locator("#tab-handoff").click()
    sent = page.locator("#bubbles-2 path").get_attribute("d")
    page.locator("#round-name").fill("first")
    page.get_by_role("button", name="Keep as a round").click()
    page.locator('[data-id="round-first"]').click(timeout=90_000)
    expect(page.locator("#former-bubbles-2 path")).to_be_visible()  # it makes the spread above it smaller
    drag(page, middle(page.locator('[data-id="line-2"]')), (-12, 6))
    until(lambda: kept(served, 0, 2)["held"], page)

    outline = page.locator("#former-bubbles-2 path").get_attribute("d")
    assert outline != page.locator("#bubbles-2 path").get_attribute("d")
    assert outline
    assert sent
    ends = [[float(v) for v in re.findall(r"-?[\d.]+", d)] for d in (outline, sent)]
    assert abs(min(ends[0][::2]) - min(ends[1][::2])) < 1.0
