"""The page for everybody: assistive technology, keyboard alone, 200 %, a tablet, no motion, no colour."""

import re

import pytest
from playwright.sync_api import expect

from tests.table.conftest import Served
from tests.table.page import NAMED, Opener, drag, faults, kept, middle, until

MOVING = """[...document.querySelectorAll("*")].filter((one) => {
    const { transitionDuration: by, animationDuration: also } = getComputedStyle(one);
    return `${by}, ${also}`.split(", ").some((time) => parseFloat(time) > 0);
}).length"""
"""How many elements move by themselves."""


LONG = """() => {
    const strip = document.querySelector("#strip ul");
    for (let more = 0; more < 14; more += 1) strip.append(strip.firstElementChild.cloneNode(true));
}"""
"""Gives the strip as many thumbnails as a book of 32 pages has."""
SIZES = ((1440, 900), (1024, 768), (720, 450))
"""A desk, a tablet, and 200 % of a desk, px of the style sheets."""


def test_axe_finds_nothing_at_any_size(served: Served, opened: Opener) -> None:
    """Every slip on a desk, a tablet and at 200 %: line and figure chosen, all unfolded, words refused."""
    page = opened(served)
    drag(page, middle(page.locator('[data-id="line-1"]')), (-60, 0))
    page.locator("#tab-figures").click()
    page.locator('[data-id="list-wren-0"]').click()
    page.locator("#tab-handoff").click()
    page.get_by_role("button", name="Keep as a round").click()
    page.locator('[data-id="round-round 1"]').click()
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        for sheet, field in (("lines", "#words"), ("figures", '[data-id="Box-0"]'), ("book", "#book-title")):
            page.locator(f"#tab-{sheet}").click()
            page.locator(field).fill(" ")
            page.locator(field).blur()
            expect(page.locator(".refused:not(:empty)").first).to_be_visible()
            page.evaluate("document.querySelectorAll('#slip details').forEach((one) => (one.open = true))")
            assert not faults(page, "#slip"), (sheet, width)
        for sheet, shown in (("hand", ".letters"), ("checks", ".findings .error"), ("handoff", ".formats")):
            page.locator(f"#tab-{sheet}").click()
            expect(page.locator(shown).first).to_be_visible()
            assert not faults(page, "#slip"), (sheet, width)
        assert not faults(page), width


def test_axe_finds_nothing_on_an_empty_table(served_empty: Served, opened: Opener) -> None:
    """Where the first manuscript is dropped, at every size."""
    page = opened(served_empty, waits_for=".beginning")
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        assert not faults(page), width


def test_nothing_is_told_by_colour_alone(served: Served, opened: Opener) -> None:
    """What is red or blue says so in words or to assistive technology too (WCAG 2.2, 1.4.1)."""
    page = opened(served)
    drag(page, middle(page.locator('[data-id="line-1"]')), (-60, 0))
    expect(page.locator('[data-id="entry-1"]')).to_contain_text("held")
    expect(page.locator('[data-id="line-1"]')).to_have_attribute("aria-pressed", "true")
    expect(page.locator('[data-id="line-1"]')).to_have_attribute("aria-label", re.compile(", held$"))
    expect(page.locator("#strip button").first).to_contain_text("error")
    page.locator("#tab-checks").click()
    expect(page.locator("#tab-checks")).to_have_attribute("aria-selected", "true")
    for one in page.locator(".findings .error").all():
        expect(one).to_contain_text("Error")
    page.locator("#tab-figures").click()
    page.locator('[data-id="list-toad-0"]').click()

    expect(page.locator('[data-id="list-toad-0"]')).to_have_attribute("aria-pressed", "true")


def test_the_art_is_the_largest_thing_and_nothing_is_cut_off(served: Served, opened: Opener) -> None:
    """On a desk, a tablet and at 200 % the spread is the largest part, and nothing runs off sideways."""
    page = opened(served)
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(80)
        page.evaluate(LONG)
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
