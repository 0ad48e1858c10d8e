"""The page of the light table used as an illustrator uses it, in Debian's Chromium."""

import json
import re
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from playwright.sync_api import Locator, Page, expect

from lettering.hand.hand import Hand
from lettering.steps.export import export_book
from lettering.steps.place import book_as_placed
from lettering.storage.placements import placements_path
from tests.table.conftest import Served
from tests.table.test_guard import png

ROOT = Path(__file__).parents[2]
AXE = ROOT / ".venv" / "web" / "node_modules" / "axe-core" / "axe.min.js"

Opener = Callable[..., Page]


NAMED = "(({dataset, id, textContent: t}) => dataset.id || id || t.trim())(document.activeElement)"
"""What has the focus, by its own name."""
SLID = "(slide, to) => { slide.value = to; slide.dispatchEvent(new Event('input')); }"
"""Slides a slider, as far as the page can tell."""


def spreads(served: Served) -> list[dict[str, Any]]:
    """Return the spreads of the book file as PyYAML reads them."""
    read: list[dict[str, Any]] = yaml.safe_load(served.text)["spreads"]
    return read


def kept(served: Served, spread: int, line: int) -> dict[str, Any]:
    """Return what is kept on disk of where a line is."""
    whole = json.loads(placements_path(served.path).read_text("utf-8"))
    found: dict[str, Any] = whole["spreads"][spread]["lines"][line - 1]
    return found


def until(holds: Callable[[], bool], page: Page, seconds: float = 90.0) -> None:
    """See that something comes to hold in time, while the page goes on."""
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, "it did not come to hold"
        page.wait_for_timeout(25)


def at_rest(served: Served, page: Page) -> None:
    """Wait until the book file has stood still for a second."""
    last, since = served.text, time.monotonic()
    while time.monotonic() - since < 1:
        page.wait_for_timeout(100)
        if served.text != last:
            last, since = served.text, time.monotonic()


def middle(thing: Locator) -> tuple[float, float]:
    """Return the middle of something on the page, px."""
    for _ in range(40):  # the page may be drawing it anew
        if box := thing.bounding_box():
            return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        thing.page.wait_for_timeout(25)
    raise AssertionError(f"{thing} is not on the page")


def px_per_mm(page: Page) -> float:
    """Return how large a mm of the spread is on the screen."""
    return float(page.evaluate("document.getElementById('sheet').getScreenCTM().a"))


def drag(page: Page, start: tuple[float, float], by_mm: tuple[float, float], steps: int = 6) -> None:
    """Drag with the pointer from `start`, px, by so many mm, and let go."""
    scale = px_per_mm(page)
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(start[0] + by_mm[0] * scale, start[1] + by_mm[1] * scale, steps=steps)
    page.wait_for_timeout(60)
    page.mouse.up()


def serious(page: Page) -> list[str]:
    """Return what axe (Deque's rules for WCAG 2.2) finds serious or critical."""
    assert AXE.is_file(), "axe-core is not installed: scripts/setup .venv test"
    page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")["violations"]
    return [
        f"{one['id']}: {node['target']} {node.get('failureSummary', '')}"
        for one in found
        if one["impact"] in ("serious", "critical")
        for node in one["nodes"]
    ]


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


def test_a_tail_is_turned_by_its_tip(served: Served, opened: Opener) -> None:
    """The tip of the chosen line's tail goes where it is dragged, and the body stays."""
    page = opened(served)
    page.locator('[data-id="entry-1"]').click()
    was = kept(served, 0, 1)
    drag(page, middle(page.locator('[data-id="tip-0"]')), (6, -3))
    until(lambda: kept(served, 0, 1)["held"], page)
    now = kept(served, 0, 1)

    assert now["position"] == was["position"]
    assert now["tips"][0] == pytest.approx([was["tips"][0][0] + 6, was["tips"][0][1] - 3], abs=0.7)


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


def test_words_voice_and_place_of_a_line_are_changed_and_undone_across_reloads(
    served: Served, opened: Opener
) -> None:
    """Edited in place they are in the book file at once; after a reload undoing gives back the first file."""
    first = served.text
    page = opened(served)
    page.locator('[data-id="entry-3"]').click()
    page.locator("#words").fill("It was nobody: at all.")
    page.locator("#words").blur()
    until(lambda: "nobody: at all" in served.text, page)
    page.locator("#voice").select_option("thought")
    until(lambda: "voice: thought" in served.text, page)
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


def test_a_spread_and_a_book_are_placed_again(served: Served, opened: Opener) -> None:
    """The two buttons place again; what is held stays where it is."""
    page = opened(served)
    drag(page, middle(page.locator('[data-id="line-1"]')), (8, -10))
    until(lambda: kept(served, 0, 1)["held"], page)
    held = kept(served, 0, 1)["position"]
    for name in ("Place this spread again", "Place all"):
        page.get_by_role("button", name=name, exact=True).click()
        expect(page.locator("#said")).to_contain_text("Done: placing")

    assert kept(served, 0, 1)["position"] == held


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


def test_page_size_cast_and_art_are_set_on_the_page(served: Served, opened: Opener, tmp_path: Path) -> None:
    """Page, cast and a dropped picture go into the book file, and the picture is seen under the lettering."""
    page = opened(served)
    page.locator("#tab-book").click()
    page.locator("#page-bleed").fill("4")
    page.locator("#page-bleed").blur()
    until(lambda: "bleed: 4 mm" in served.text, page)
    page.locator("#height-wren").fill("10")
    page.locator("#height-wren").blur()
    until(lambda: "height: 10 cm" in served.text, page)
    page.locator('[data-id="earlier-toad"]').click()
    until(lambda: list(yaml.safe_load(served.text)["cast"]) == ["toad", "wren"], page)
    (tmp_path / "garden.png").write_bytes(png((506, 256)))
    page.locator("#art-file").set_input_files(tmp_path / "garden.png")
    until(lambda: spreads(served)[0].get("art") == "art/garden.png", page)

    expect(page.locator("#sheet image").first).to_be_visible()
    assert (served.path.parent / "art" / "garden.png").is_file()


def test_a_letter_is_seen_with_its_paper_renamed_dropped_and_preferred(
    served: Served, opened: Opener
) -> None:
    """Takes stand beside each other; what is done to one is in the glyph set on disk."""
    page = opened(served)
    page.locator("#tab-hand").click()
    page.locator('[data-id="char-e"]').click()
    takes = page.locator(".takes > li")
    expect(takes.first).to_be_visible()
    count = takes.count()

    def hand() -> Hand:
        return served.table.work.book.bench.hand

    second = hand().takes["e"][1].outline
    takes.nth(1).get_by_role("button", name="Prefer take 2").click()
    until(lambda: hand().takes["e"][0].outline == second, page)
    takes.nth(1).get_by_role("button", name="Drop take 2").click()
    until(lambda: len(hand().takes["e"]) == count - 1, page)
    page.locator("#sentence").fill("We see")
    expect(page.locator(".tried path")).to_have_count(5)
    expect(takes).to_have_count(count - 1)
    rename = takes.nth(1).locator("input")
    rename.fill("o")
    rename.blur()

    until(lambda: len(hand().takes.get("e", ())) == count - 2, page)
    assert json.dumps(sorted(t.name for t in hand().takes["o"]))


def test_the_sides_of_a_letter_are_dragged_between_its_neighbours(served: Served, opened: Opener) -> None:
    """The right side pulled outward gives the take so much more advance, and its outline stays as it is."""
    page = opened(served)
    page.locator("#tab-hand").click()
    page.locator('[data-id="char-e"]').click()
    page.get_by_role("button", name="Sides of take 1").click()
    was = served.table.work.book.bench.hand.takes["e"][0]
    handle = page.locator('[data-id="side-1"]')
    x, y = middle(handle)
    scale = page.evaluate("document.querySelector('svg.sides').getScreenCTM().a")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + scale, y, steps=3)
    page.mouse.up()
    until(lambda: served.table.work.book.bench.hand.takes["e"][0].advance > was.advance, page)
    now = served.table.work.book.bench.hand.takes["e"][0]

    assert now.advance - was.advance == pytest.approx(100, abs=12)
    assert now.outline == was.outline


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
    expect(page.locator(".measured text")).to_contain_text("for 8 mm")
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
