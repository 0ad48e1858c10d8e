"""What is shown over and beside the art: guides, the quiet map, its real size, a former round."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.table.conftest import Served
from tests.table.page import (
    SLID,
    Opener,
    drag,
    kept,
    middle,
    png,
    px_per_mm,
    until,
)


def test_guides_are_shown_and_hidden(served: Served, opened: Opener) -> None:
    """Each guide appears where the book says, and goes again; what is shown is remembered."""
    page = opened(served)
    guides = {"trim": ".trim", "safe area": ".safe", "gutter": ".gutter", "reading path": ".way"}
    for name, selector in {**guides, "figures": ".figure"}.items():
        box = page.get_by_label(name, exact=True)
        assert not page.locator(f"#sheet {selector}").count()
        box.check()
        expect(page.locator(f"#sheet {selector}").first).to_be_attached()
    safe = page.locator("#sheet .safe")
    assert [safe.get_attribute(n) for n in ("x", "y", "width", "height")] == ["8", "8", "484", "234"]
    page.get_by_label("bleed", exact=True).check()
    expect(page.locator("#sheet")).to_have_attribute("viewBox", "-4 -4 508 258")
    page.reload()
    page.wait_for_selector("#sheet .safe", state="attached")


def test_the_spread_is_shown_as_large_as_it_prints(served: Served, opened: Opener) -> None:
    """Measured once with a card of ISO/IEC 7810 (85.60 mm) or 10 cm of a ruler, a mm is a mm on it."""
    page = opened(served)
    page.get_by_text("Real size").click()
    page.locator("#real").check()
    for held, length_mm in (("ruler", 100.0), ("card", 85.6)):
        page.locator("#held").select_option(held)
        page.locator("#card").evaluate(SLID, "342")
        drawn = page.locator(f".{held}")
        until(lambda drawn=drawn: (drawn.bounding_box() or {}).get("width") == 342, page)  # type: ignore[misc]
        large = pytest.approx(342 / length_mm, rel=0.005)
        until(lambda large=large: px_per_mm(page) == large, page)  # type: ignore[misc]
    page.reload()
    page.wait_for_selector("#lettering-1", state="attached")

    until(lambda: px_per_mm(page) == large, page)


def test_the_quiet_map_is_seen_over_the_art(served: Served, opened: Opener, tmp_path: Path) -> None:
    """Shown, it lies over the whole page as a picture that can be decoded; hidden, it is gone."""
    (tmp_path / "garden.png").write_bytes(png((506, 256)))
    page = opened(served)
    page.locator("#tab-book").click()
    page.locator("#art-file").set_input_files(tmp_path / "garden.png")
    expect(page.locator("#sheet .art image")).to_be_attached()
    page.get_by_label("quiet map", exact=True).check()
    quiet = page.locator("#sheet .quiet image")
    expect(quiet).to_have_attribute("width", "500")
    size = page.evaluate(
        """async (href) => { const image = new Image(); image.src = href; await image.decode();
        return [image.naturalWidth, image.naturalHeight]; }""",
        quiet.get_attribute("href"),
    )
    assert size[0] == pytest.approx(2 * size[1], rel=0.02)
    page.get_by_label("quiet map", exact=True).uncheck()

    expect(quiet).to_have_count(0)


def test_the_art_can_have_the_whole_table(served: Served, opened: Opener) -> None:
    """Alone it is wider by the slip; choosing what to do brings the slip back."""
    page = opened(served)
    before = px_per_mm(page)
    page.locator("#alone").click()
    expect(page.locator("#slip")).to_be_hidden()
    until(lambda: px_per_mm(page) > 1.1 * before, page)
    page.locator("#tab-checks").click()

    expect(page.locator("#slip")).to_be_visible()


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
    large = "one => one.getScreenCTM().a"
    sizes = [page.locator(name).evaluate(large) for name in ("#former svg", "#sheet")]
    assert sizes[0] == pytest.approx(sizes[1], rel=0.03)
    ends = [[float(v) for v in re.findall(r"-?[\d.]+", d)] for d in (outline, sent)]
    assert abs(min(ends[0][::2]) - min(ends[1][::2])) < 1.0
