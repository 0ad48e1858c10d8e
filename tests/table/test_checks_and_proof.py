"""Findings that lead to their place, and what is written from the page: the proof and the hand-off."""

import re
from pathlib import Path

from playwright.sync_api import expect

from tests.table.conftest import Served
from tests.table.page import (
    Opener,
    drag,
    holds,
    kept,
    middle,
    turn_to,
    until,
)


def test_a_finding_leads_to_its_line(served: Served, opened: Opener) -> None:
    """A bubble left where it breaks a rule is listed; a click on it chooses the line on its spread."""
    page = opened(served)
    drag(page, middle(page.locator('[data-id="line-1"]')), (-60, 0))
    until(lambda: kept(served, 0, 1)["held"], page)
    turn_to(page, 1)
    page.locator("#tab-checks").click()
    expect(page.locator(".findings .error").first).to_contain_text("too near to the trim")
    page.locator(".findings .error .go").first.click()

    expect(page.locator("#strip [aria-current]")).to_contain_text("pages 4-5")
    expect(page.locator(".measured text")).to_contain_text("wanted 8 mm")
    for width, height in ((1440, 900), (720, 450)):
        page.set_viewport_size({"width": width, "height": height})
        until(lambda: holds(page.locator(".measured .label"), page.locator(".measured text")), page)
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
