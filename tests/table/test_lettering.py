"""The lettering as an illustrator works on it: bubbles, tails, rows, words, voices, ages; placing again."""

import re
import threading
import time
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from lettering.steps import on_table
from lettering.steps.export import export_book
from lettering.steps.on_table import OnTable
from lettering.steps.place import book_as_placed
from lettering.steps.progress import Progress
from lettering.storage.placements import placements_path
from tests.table.conftest import Served
from tests.table.page import (
    SLID,
    Opener,
    drag,
    kept,
    middle,
    px_per_mm,
    stroke,
    touch,
    until,
)


def test_the_spread_is_drawn_as_it_is_exported(served: Served, opened: Opener, tmp_path: Path) -> None:
    """Every path of bubbles and lettering on the page is that of the exported SVG, in the same order."""
    page = opened(served)
    export_book(served.path, tmp_path / "out", ["svg"])
    exported = (tmp_path / "out" / "svg" / "pages-04-05.svg").read_text("utf-8")
    seen = page.eval_on_selector_all(
        "#bubbles path, #lettering path", "all => all.map(p => p.getAttribute('d'))"
    )

    assert seen == re.findall(r'<path [^>]*\bd="([^"]+)"', exported)


def test_a_bubble_is_dragged_and_its_tail_and_findings_follow(served: Served, opened: Opener) -> None:
    """While it is dragged its outline is drawn anew and a broken rule is said; let go, it is held there."""
    page = opened(served)
    line, was = page.locator('[data-id="line-2"]'), kept(served, 0, 2)
    outline = page.locator("#bubbles-2 path")
    before = outline.get_attribute("d")
    start = middle(line)
    scale = px_per_mm(page)
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(start[0], start[1] - 130 * scale, steps=4)
    expect(page.locator("#lacks")).to_contain_text("safe area")
    assert outline.get_attribute("d") != before
    page.mouse.move(start[0] - 12 * scale, start[1] + 6 * scale, steps=4)
    expect(page.locator("#lacks")).not_to_contain_text("safe area")
    page.mouse.up()
    until(lambda: kept(served, 0, 2)["held"], page)
    now = kept(served, 0, 2)

    assert now["position"] == pytest.approx([was["position"][0] - 12, was["position"][1] + 6], abs=0.7)
    expect(page.locator('[data-id="line-2"] .pin')).to_be_visible()
    again = book_as_placed(served.path).spreads[0].lines[1]
    assert again.placement.centre.x == now["position"][0]


def test_the_arrow_keys_move_a_bubble_one_mm_or_a_tenth(served: Served, opened: Opener) -> None:
    """Three keys right and two small ones down move it 3 mm and 0.2 mm, and H lets it loose."""
    page = opened(served)
    was = kept(served, 0, 1)["position"]
    page.locator('[data-id="line-1"]').focus()
    for key in ["ArrowRight"] * 3 + ["Shift+ArrowDown"] * 2:
        page.keyboard.press(key)
    there = pytest.approx([was[0] + 3, was[1] + 0.2], abs=0.011)
    until(lambda: kept(served, 0, 1)["position"] == there, page)
    assert kept(served, 0, 1)["held"]
    expect(page.locator('[data-id="line-1"] .pin')).to_be_visible()
    page.wait_for_timeout(100)
    page.locator('[data-id="line-1"]').press("h")

    until(lambda: not kept(served, 0, 1)["held"], page)


def by_keys(page: Page, _start: tuple[float, float], by_mm: tuple[float, float]) -> None:
    """Move the tip with the arrow keys by so many whole mm to the right and up."""
    page.locator('[data-id="tip-0"]').focus()
    for key, count in (("ArrowRight", by_mm[0]), ("ArrowUp", -by_mm[1])):
        for _ in range(int(count)):
            page.keyboard.press(key)


def test_a_tail_is_turned_by_its_tip(served: Served, opened: Opener) -> None:
    """By mouse, finger, pen and keys its tip goes where it is pulled, and the body stays."""
    page = opened(served)
    page.locator('[data-id="entry-1"]').click()
    for pull, by_mm in ((drag, (6, -3)), (touch, (-3, 1)), (stroke, (2, 2)), (by_keys, (2, -1))):
        was = kept(served, 0, 1)
        there = pytest.approx([was["tips"][0][0] + by_mm[0], was["tips"][0][1] + by_mm[1]], abs=0.7)
        pull(page, middle(page.locator('[data-id="tip-0"]')), by_mm)
        until(lambda there=there: kept(served, 0, 1)["tips"][0] == there, page)  # type: ignore[misc]
        expect(page.locator('[data-id="line-1"] .pin')).to_be_visible()

        assert kept(served, 0, 1)["position"] == was["position"]


def test_a_bubble_is_held_and_let_loose(served: Served, opened: Opener) -> None:
    """By the buttons of its slip: it stays where it is, says so in words, and the files have it."""
    page = opened(served)
    page.locator('[data-id="entry-2"]').click()
    was = kept(served, 0, 2)["position"]
    page.locator('[data-id="hold"]').click()
    until(lambda: kept(served, 0, 2)["held"], page)
    expect(page.locator('[data-id="entry-2"]')).to_contain_text("held")
    expect(page.locator('[data-id="hold"]')).to_have_text("Let it loose")
    page.locator('[data-id="hold"]').click()
    until(lambda: not kept(served, 0, 2)["held"], page)

    assert kept(served, 0, 2)["position"] == was


def test_another_stack_is_chosen_among_the_near_best(served: Served, opened: Opener) -> None:
    """The rows that are offered are those of the program; the chosen ones are kept."""
    page = opened(served)
    page.locator('[data-id="entry-1"]').click()
    stacks = page.locator(".stack input")
    expect(stacks.nth(1)).to_be_visible()
    offered = served.table.work.rows(0, 1)
    other = next(i for i, rows in enumerate(offered) if list(rows) != kept(served, 0, 1)["rows"])
    stacks.nth(other).check()

    until(lambda: kept(served, 0, 1)["rows"] == list(offered[other]), page)
    assert stacks.count() == len(offered)


def test_words_and_voice_are_changed_in_place_and_undone_across_reloads(
    served: Served, opened: Opener
) -> None:
    """Edited in place they are in the book file at once; after a reload undoing gives back the first file."""
    first = served.text
    page = opened(served)
    page.locator('[data-id="entry-3"]').click()
    page.locator("#words").fill("It was nobody: at all.")
    page.locator("#words").blur()
    until(lambda: "nobody: at all" in served.text, page)
    shapes = page.locator("#bubbles-3 path")
    closed = "all => all.map(p => p.getAttribute('d')).join('').match(/z/gi).length"
    body = shapes.evaluate_all(closed)
    page.locator("#voice").select_option("thought")
    until(lambda: "voice: thought" in served.text, page)
    until(lambda: shapes.evaluate_all(closed) >= body + 2, page)  # the drops that lead to who thinks
    expect(page.locator("#lettering-3 title")).to_have_text("It was nobody: at all.")
    page.reload()
    page.wait_for_selector("#lettering-3", state="attached")
    for undone in (lambda: "voice: thought" not in served.text, lambda: served.text == first):
        expect(page.locator("#undo")).to_be_enabled()
        page.keyboard.press("Control+z")
        until(undone, page)
        page.wait_for_timeout(150)
    page.locator("#redo").click()

    until(lambda: "nobody: at all" in served.text, page)


def test_the_readers_age_shows_what_it_does_at_once(served: Served, opened: Opener) -> None:
    """While the age is slid the spread is shown at that age's size; let go, it is in the file and placed."""
    page = opened(served)
    page.locator("#tab-book").click()
    slide = page.locator("#age")
    was = page.locator("#lettering-1").bounding_box()
    slide.evaluate(SLID, "9")
    expect(page.locator("output")).to_contain_text("9 years: x-height")
    expect(page.locator("output")).to_contain_text("words a row")
    now = page.locator("#lettering-1").bounding_box()
    assert was
    assert now
    assert now["height"] < 0.8 * was["height"]
    assert "reader_age: 5" in served.text
    slide.evaluate("(age) => age.dispatchEvent(new Event('change'))")
    until(lambda: "reader_age: 9" in served.text, page)

    until(lambda: kept(served, 0, 1)["x_height"] < 3.0, page)


def test_what_is_free_is_placed_again(served: Served, opened: Opener) -> None:
    """What is held stays where it was left; what was let loose far away comes back to a faultless place."""
    page = opened(served)
    drag(page, middle(page.locator('[data-id="line-1"]')), (8, -10))
    until(lambda: kept(served, 0, 1)["held"], page)
    held = kept(served, 0, 1)["position"]
    for name in ("Place this spread again", "Place all"):
        with served.client() as client:
            client.post("/api/drop", json={"spread": 0, "line": 4, "to": [480, 240]}).raise_for_status()
            client.post("/api/release", json={"spread": 0, "line": 4}).raise_for_status()
        left = kept(served, 0, 4)["position"]
        page.get_by_role("button", name=name, exact=True).click()
        until(lambda left=left: kept(served, 0, 4)["position"] != left, page)  # type: ignore[misc]
        until(lambda: not served.table.tasks.running, page)

        assert kept(served, 0, 1)["position"] == held
        assert not served.table.work.book.spreads[0].placed.broken  # type: ignore[union-attr]


def test_placing_all_shows_how_far_it_is_and_is_stopped(
    served: Served, opened: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While it lasts a bar fills; Stop ends it, says so, and everything is as it was."""
    page = opened(served)
    before = (served.path.read_bytes(), placements_path(served.path).read_bytes())
    laid_from, reached = on_table.laid_from, []

    def endless(*given: object, progress: Progress, **more: object) -> OnTable:
        for part in range(20_000):
            progress("placing spreads", part % 100, 100)
            reached.append(part)
            time.sleep(0.005)
        return laid_from(*given, progress=progress, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(on_table, "laid_from", endless)
    page.get_by_role("button", name="Place all", exact=True).click()
    expect(page.locator("#task")).to_contain_text("placing spreads")
    until(lambda: float(page.locator("#progress").evaluate("one => one.position")) > 0, page)
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("#said")).to_contain_text("everything is as it was")

    expect(page.locator("#task")).to_be_hidden()
    assert len(reached) < 20_000
    assert (served.path.read_bytes(), placements_path(served.path).read_bytes()) == before


def test_a_key_pressed_while_a_bubble_is_left_still_moves_it(
    served: Served, opened: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The arrow keys that come while the last place is being written are not lost."""
    page = opened(served)
    x, y = kept(served, 0, 1)["position"]
    drop, held, waits = served.table.work.drop, [], threading.Event()

    def slowly(*given: object, **more: object) -> None:
        held.append(given)
        if len(held) == 1:
            waits.wait(30)
        drop(*given, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(served.table.work, "drop", slowly)
    line = page.locator('[data-id="line-1"]')
    line.focus()
    page.keyboard.press("ArrowRight")
    until(lambda: len(held) == 1, page)
    page.keyboard.press("ArrowRight")
    waits.set()
    until(lambda: len(held) == 2, page)

    there = pytest.approx([x + 2, y], abs=0.011)
    until(lambda: kept(served, 0, 1)["position"] == there, page)
