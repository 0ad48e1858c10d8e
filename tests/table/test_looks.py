"""How the page looks and is reached: guides, sizes, tabs, keyboard, pen and assistive technology."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.table.conftest import Served
from tests.table.page import NAMED, SLID, Opener, drag, kept, middle, png, px_per_mm, serious, until

MOVING = """[...document.querySelectorAll("*")].filter((one) => {
    const { transitionDuration: by, animationDuration: also } = getComputedStyle(one);
    return `${by}, ${also}`.split(", ").some((time) => parseFloat(time) > 0);
}).length"""
"""How many elements move by themselves."""


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
    """Measured with a card of ISO/IEC 7810 (85.60 mm), a page of 250 mm is 250 mm of that screen wide."""
    page = opened(served)
    page.get_by_text("Real size").click()
    page.locator("#card").evaluate(SLID, "342")
    page.locator("#real").check()

    until(lambda: px_per_mm(page) == pytest.approx(342 / 85.6, rel=0.005), page)


def test_a_second_tab_follows_the_first(served: Served, opened: Opener) -> None:
    """What is moved and edited on one page is seen on the other, and a change on disk on both."""
    first, second = opened(served), opened(served)
    before = second.locator("#bubbles-2 path").get_attribute("d")
    drag(first, middle(first.locator('[data-id="line-2"]')), (-12, 6))
    expect(second.locator('[data-id="line-2"] .pin')).to_be_visible()
    assert second.locator("#bubbles-2 path").get_attribute("d") != before
    served.path.write_text(served.text.replace("Nobody answered.", "Nobody said a word."), "utf-8")

    for page in (first, second):
        expect(page.locator("#lettering-4 title")).to_have_text("Nobody said a word.")
        expect(page.locator("#said")).to_contain_text("another program")


def test_axe_finds_nothing_serious(served: Served, opened: Opener) -> None:
    """Names, roles, contrast and focus of every slip pass axe's rules, with a line and a figure chosen."""
    page = opened(served)
    page.locator('[data-id="entry-1"]').click()
    for sheet in ("lines", "figures", "book", "hand", "checks", "handoff"):
        page.locator(f"#tab-{sheet}").click()
        page.wait_for_timeout(150)
        assert not serious(page), sheet


def test_the_art_is_the_largest_thing_and_nothing_is_cut_off(served: Served, opened: Opener) -> None:
    """On a desk, a tablet and at 200 % the spread is the largest part, and nothing runs off sideways."""
    page = opened(served)
    for width, height in ((1440, 900), (1024, 768), (720, 450)):
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(80)
        areas = {}
        for name in ("#sheet", "#slip", "#strip", "header"):
            box = page.locator(name).bounding_box()
            assert box
            areas[name] = box["width"] * max(0, min(box["y"] + box["height"], height) - box["y"])
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert max(areas, key=lambda name: areas[name]) == "#sheet"


def test_everything_is_reached_with_the_keyboard(served: Served, opened: Opener) -> None:
    """Tab reaches every control of the page, each with a focus that can be seen, and none is a trap."""
    page = opened(served)
    seen: list[str] = []
    for _ in range(70):
        page.keyboard.press("Tab")
        name = page.evaluate(NAMED)
        if name in seen and name == seen[0]:
            break
        seen.append(name)
    wanted = {"tab-lines", "line-1", "line-4", "entry-1", "Place all", "Place this spread again"}

    assert wanted <= set(seen)


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


@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_nothing_moves_by_itself_for_who_wants_it_so(served: Served, opened: Opener, motion: str) -> None:
    """With prefers-reduced-motion (Media Queries 5, 12.1) no element of any slip is animated."""
    page = opened(served)
    page.emulate_media(reduced_motion=motion)
    moving = 0
    for sheet in ("lines", "figures", "book"):
        page.locator(f"#tab-{sheet}").click()
        moving += page.evaluate(MOVING)

    assert (moving == 0) == (motion == "reduce")


def test_art_and_slips_are_used_at_200_percent(served: Served, opened: Opener) -> None:
    """In a window of half the size (WCAG 2.2, 1.4.4) a bubble is dragged and its words are changed."""
    page = opened(served)
    page.set_viewport_size({"width": 720, "height": 450})
    drag(page, middle(page.locator('[data-id="line-2"]')), (-12, 6))
    until(lambda: kept(served, 0, 2)["held"], page)
    page.locator('[data-id="entry-4"]').click()
    page.locator("#words").fill("Nobody spoke.")
    page.locator("#words").blur()

    until(lambda: "Nobody spoke." in served.text, page)
