"""Figures on the art, pulled by mouse, finger and pen, by keys, typed, copied; places to keep clear."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.table.conftest import Served
from tests.table.page import (
    Opener,
    at_rest,
    drag,
    kept,
    middle,
    px_per_mm,
    spreads,
    stroke,
    touch,
    turn_to,
    until,
)


def test_figures_are_drawn_moved_resized_and_given_a_mouth(served: Served, opened: Opener) -> None:
    """A box drawn on the art, its face and mouth, and what is moved of it, are in the file to 0.1 mm."""
    page = opened(served)
    turn_to(page, 1)
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
    turn_to(page, 1)
    page.locator("#tab-figures").click()
    page.locator("#copy-from").select_option("0")
    until(lambda: "toad" in spreads(served)[1]["figures"], page)

    assert spreads(served)[1]["figures"]["toad"] == spreads(served)[0]["figures"]["toad"]
    assert spreads(served)[1]["figures"]["wren"]["box"] == [60, 150, 60, 70]


MM = 0.8
"""How far what is drawn may lie from the pointer, mm: a px of the screen, rounded to a tenth of a mm."""


@pytest.fixture
def figures(served: Served, opened: Opener) -> Page:
    """Open the slip of the figures with Wren chosen."""
    page = opened(served)
    page.locator("#tab-figures").click()
    page.locator('[data-id="list-wren-0"]').click()
    return page


def wren(served: Served) -> dict[str, list[float]]:
    """Return where the book file says that Wren is."""
    found: dict[str, list[float]] = spreads(served)[0]["figures"]["wren"]
    return found


def test_a_box_follows_while_its_corner_is_pulled(served: Served, figures: Page) -> None:
    """The outline is the pulled one before it is let go, and is in the file after."""
    scale = px_per_mm(figures)
    x, y = middle(figures.locator('[data-id="figure-wren-0-box-se"]'))
    figures.mouse.move(x, y)
    figures.mouse.down()
    figures.mouse.move(x + 10 * scale, y + 6 * scale, steps=4)
    outline = figures.locator(".figure.chosen .box")
    assert float(outline.get_attribute("width") or 0) == pytest.approx(70, abs=MM)
    assert wren(served)["box"] == [38, 150, 60, 70]
    figures.mouse.up()

    until(lambda: wren(served)["box"] == pytest.approx([38, 150, 70, 76], abs=MM), figures)


def test_a_face_is_resized_and_stays_in_its_box(served: Served, figures: Page) -> None:
    """Its corner pulled in makes it smaller; pulled out of the box it stops at the box."""
    drag(figures, middle(figures.locator('[data-id="figure-wren-0-face-se"]')), (-8, -4))
    until(lambda: wren(served)["face"] == pytest.approx([50, 152, 22, 24], abs=MM), figures)
    drag(figures, middle(figures.locator('[data-id="figure-wren-0-face-nw"]')), (-40, 0))

    until(lambda: wren(served)["face"][0] == 38, figures)


def test_a_mouth_is_moved_by_pointer_and_by_keys(served: Served, figures: Page) -> None:
    """Dragged, and then 1 mm and 0.1 mm by the arrow keys."""
    mouth = figures.locator('[data-id="figure-wren-0-mouth"]')
    drag(figures, middle(mouth), (-6, 5))
    until(lambda: wren(served)["mouth"] == pytest.approx([64, 173], abs=MM), figures)
    x, y = wren(served)["mouth"]
    mouth.focus()
    for key in ("ArrowRight", "ArrowRight", "Shift+ArrowUp"):
        figures.keyboard.press(key)

    until(lambda: wren(served)["mouth"] == pytest.approx([x + 2, y - 0.1], abs=1e-6), figures)


def test_a_place_to_keep_clear_is_drawn_moved_resized_and_taken_out(served: Served, figures: Page) -> None:
    """All of it by the pointer, all of it in the file."""
    corner = figures.evaluate("(({e, f}) => [e, f])(document.getElementById('sheet').getScreenCTM())")
    scale = px_per_mm(figures)

    def clear() -> list[list[float]]:
        return list(spreads(served)[0].get("keep_clear", []))

    figures.locator('[data-id="draw-clear"]').click()
    drag(figures, (corner[0] + 200 * scale, corner[1] + 200 * scale), (40, 30))
    until(lambda: bool(clear()), figures)
    figures.locator('[data-id="list-clear-0"]').click()
    drag(figures, middle(figures.locator('[data-id="clear-0"]')), (10, -20))
    until(lambda: clear()[0] == pytest.approx([210, 180, 40, 30], abs=MM), figures)
    drag(figures, middle(figures.locator('[data-id="clear-0-nw"]')), (5, 5))
    until(lambda: clear()[0] == pytest.approx([215, 185, 35, 25], abs=MM), figures)
    figures.get_by_role("button", name="Take it out").click()

    until(lambda: not clear(), figures)


@pytest.mark.parametrize("pull", [touch, stroke], ids=["finger", "pen"])
def test_a_finger_and_a_pen_pull_as_the_mouse_does(
    served: Served, figures: Page, pull: Callable[..., None]
) -> None:
    """Both move a figure's corner and a bubble, and the page does not scroll away under them."""
    pull(figures, middle(figures.locator('[data-id="figure-wren-0-box-se"]')), (8, 4))
    until(lambda: wren(served)["box"] == pytest.approx([38, 150, 68, 74], abs=MM), figures)
    figures.locator("#tab-lines").click()
    was = kept(served, 0, 2)["position"]
    pull(figures, middle(figures.locator('[data-id="line-2"]')), (-10, 5))
    until(lambda: kept(served, 0, 2)["held"], figures)

    assert kept(served, 0, 2)["position"] == pytest.approx([was[0] - 10, was[1] + 5], abs=MM)
    assert figures.evaluate("[scrollX, scrollY]") == [0, 0]


def test_what_a_finger_takes_is_large_enough(figures: Page) -> None:
    """Corners answer over at least 24 by 24 px (WCAG 2.2, 2.5.8)."""
    for name in ("box-nw", "face-se"):
        reach = figures.locator(f'[data-id="figure-wren-0-{name}"] .reach').bounding_box()
        assert reach
        assert min(reach["width"], reach["height"]) >= 23.9


def test_a_name_keeps_its_size_on_the_screen(figures: Page) -> None:
    """However small the spread is shown, a figure's name is as large as small print: 13 px."""
    for width, height in ((1440, 900), (720, 450)):
        figures.set_viewport_size({"width": width, "height": height})
        name = figures.locator(".figure.chosen text")
        expect(name).to_be_visible()
        until(
            lambda: (
                figures.evaluate(
                    "parseFloat(getComputedStyle(document.querySelector('.figure.chosen text')).fontSize)"
                    " * document.getElementById('sheet').getScreenCTM().a"
                )
                == pytest.approx(13, abs=0.3)
            ),
            figures,
        )


def test_measures_are_typed_and_snap_to_nothing(served: Served, figures: Page) -> None:
    """A box typed to a tenth of a mm is in the file as it was typed, and nothing else of the figure moved."""
    mouth = wren(served)["mouth"]
    figures.locator('[data-id="Box-0"]').fill("38,3")
    figures.locator('[data-id="Box-0"]').blur()
    until(lambda: wren(served)["box"] == [38.3, 150, 60, 70], figures)

    assert wren(served)["mouth"] == mouth
