"""Hands that are faster than the table: what is done next goes on from what is still being written."""

import pytest
from playwright.sync_api import Page, expect

from tests.table.conftest import Served
from tests.table.page import Opener, drag, kept, middle, px_per_mm, spreads, until
from tests.table.slow_line import Wait

MM = 0.7
"""How near to where it is left a bubble must lie, mm: the pointer goes by whole px."""


@pytest.fixture(scope="session")
def wait() -> Wait:
    """What is left somewhere takes its time to be written, and to be told back; all else is told at once."""
    return lambda path: 0.15 if path == "/api/drop" else 0.0


def drag_and_see(page: Page, thing: str, by_mm: tuple[float, float]) -> None:
    """Drag something and wait only until it is seen where it was left, not until that is written."""
    found = page.locator(f'[data-id="{thing}"]')
    (x, y), scale = middle(found), px_per_mm(page)
    drag(page, (x, y), by_mm)
    there = pytest.approx((x + by_mm[0] * scale, y + by_mm[1] * scale), abs=MM * scale)
    until(lambda: middle(found) == there, page)


def test_a_tip_is_pulled_on_at_once(served: Served, opened: Opener) -> None:
    """Pulled twice and nudged by keys without a pause, it ends where all of that leads."""
    page = opened(served)
    page.locator('[data-id="entry-1"]').click()
    x, y = kept(served, 0, 1)["tips"][0]
    drag_and_see(page, "tip-0", (6, -3))
    drag_and_see(page, "tip-0", (-3, 4))
    page.locator('[data-id="tip-0"]').focus()
    for key in ("ArrowRight", "ArrowRight", "ArrowUp"):
        page.keyboard.press(key)

    until(lambda: kept(served, 0, 1)["tips"][0] == pytest.approx([x + 5, y], abs=MM), page)


def test_bubbles_are_moved_one_right_after_the_other(served: Served, opened: Opener) -> None:
    """One that settled because another was moved is not taken for one that another program moved."""
    page = opened(served)
    first, second = (kept(served, 0, number)["position"] for number in (1, 2))
    drag_and_see(page, "line-1", (-8, 4))
    drag_and_see(page, "line-2", (6, 5))
    drag_and_see(page, "line-1", (-2, 2))

    until(
        lambda: kept(served, 0, 1)["position"] == pytest.approx([first[0] - 10, first[1] + 6], abs=MM), page
    )
    until(
        lambda: kept(served, 0, 2)["position"] == pytest.approx([second[0] + 6, second[1] + 5], abs=MM), page
    )
    assert kept(served, 0, 2)["held"]
    expect(page.locator("#said")).not_to_contain_text("another program")


def test_undoing_waits_for_what_is_being_written(served: Served, opened: Opener) -> None:
    """Ctrl-Z right after a bubble was dragged takes that back, not what was done before it."""
    page = opened(served)
    was = kept(served, 0, 1)
    drag_and_see(page, "line-1", (-8, 4))
    page.keyboard.press("Control+z")
    expect(page.locator("#redo")).to_be_enabled()

    assert kept(served, 0, 1) == was


def test_what_keys_move_is_written_before_anything_else(served: Served, opened: Opener) -> None:
    """One figure nudged, another right after it, a bubble too, and undone at once: nothing gets lost."""
    page = opened(served)
    first = served.text
    page.locator("#tab-figures").click()
    boxes = [spreads(served)[0]["figures"][who]["box"] for who in ("wren", "toad")]
    for who, key in (("wren", "ArrowRight"), ("toad", "ArrowUp")):
        page.locator(f'[data-id="figure-{who}-0"]').focus()
        page.keyboard.press(key)
    wanted = [[boxes[0][0] + 1, *boxes[0][1:]], [boxes[1][0], boxes[1][1] - 1, *boxes[1][2:]]]
    until(lambda: [spreads(served)[0]["figures"][who]["box"] for who in ("wren", "toad")] == wanted, page)
    page.locator('[data-id="figure-toad-0"]').focus()
    page.keyboard.press("ArrowUp")
    for _ in range(3):
        page.keyboard.press("Control+z")

    until(lambda: served.text == first, page)
    expect(page.locator("#undo")).to_be_disabled()


def test_a_press_that_is_never_lifted_holds_up_nothing(served: Served, opened: Opener) -> None:
    """The browser may keep it to itself that a button was let go; the next move of the pointer tells."""
    page = opened(served)
    page.evaluate("document.dispatchEvent(new PointerEvent('pointerdown', {buttons: 2, bubbles: true}))")
    with served.client() as client:
        fields = {"kind": "book", "name": "title", "value": "Other", "was": "The Allotment Band"}
        assert client.post("/api/edit", json=fields).status_code == 200
    page.wait_for_timeout(100)
    expect(page.locator("#title")).not_to_have_text("Other")
    page.mouse.move(300, 300)

    expect(page.locator("#title")).to_have_text("Other")


def test_nothing_is_drawn_anew_under_a_file_that_is_held_over_it(served: Served, opened: Opener) -> None:
    """What changes meanwhile is seen once the file is gone."""
    page = opened(served)
    thumbnail = page.locator("#strip li").nth(1).element_handle()
    over = "() => document.dispatchEvent(new DragEvent('dragover', {bubbles: true, cancelable: true}))"
    page.evaluate(f"({over})(); window.over = setInterval({over}, 50)")
    with served.client() as client:
        fields = {"kind": "book", "name": "title", "value": "Other", "was": "The Allotment Band"}
        assert client.post("/api/edit", json=fields).status_code == 200
    page.wait_for_timeout(500)
    assert page.evaluate("(one) => one.isConnected", thumbnail)
    page.evaluate("clearInterval(window.over)")

    expect(page.locator("#title")).to_have_text("Other")
    assert not page.evaluate("(one) => one.isConnected", thumbnail)
