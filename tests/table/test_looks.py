"""How the page looks and is reached: guides, sizes, tabs, keyboard, pen and assistive technology."""

import pytest
from playwright.sync_api import expect

from tests.table.conftest import Served
from tests.table.page import NAMED, SLID, Opener, drag, kept, middle, px_per_mm, serious, until


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


def test_words_being_written_are_not_lost_to_a_change_on_disk(served: Served, opened: Opener) -> None:
    """While a line is edited its words change on disk: the page refuses to overwrite them and says so."""
    page = opened(served)
    page.locator('[data-id="entry-4"]').click()
    page.locator("#words").fill("Nobody at all answered.")
    served.path.write_text(served.text.replace("Nobody answered.", "Nobody said a word."), "utf-8")
    expect(page.locator("#lettering-4 title")).to_have_text("Nobody said a word.")
    page.locator("#words").blur()
    expect(page.locator("#said")).to_contain_text("changed meanwhile")

    assert "Nobody said a word." in served.text
    assert "Nobody at all" not in served.text


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


def test_a_pen_or_finger_drags_as_the_mouse_does(served: Served, opened: Opener) -> None:
    """Pointer events of a pen move a bubble, and the spread does not scroll away under it."""
    page = opened(served)
    was = kept(served, 0, 2)["position"]
    x, y = middle(page.locator('[data-id="line-2"]'))
    page.evaluate(
        """([x, y, by]) => {
            const line = document.querySelector('[data-id="line-2"]');
            line.setPointerCapture = () => {};
            const send = (kind, dx) => line.dispatchEvent(new PointerEvent(kind,
                {pointerId: 7, pointerType: "pen", button: 0, clientX: x + dx, clientY: y, bubbles: true}));
            send("pointerdown", 0);
            for (const part of [0.5, 1]) send("pointermove", -by * part);
            send("pointerup", -by);
        }""",
        [x, y, 10 * px_per_mm(page)],
    )
    until(lambda: kept(served, 0, 2)["held"], page)

    assert kept(served, 0, 2)["position"][0] == pytest.approx(was[0] - 10, abs=0.1)
    assert page.evaluate("getComputedStyle(document.getElementById('sheet')).touchAction") == "none"
