"""Letters on the table, by pointer and by keyboard: what is done to them is in the UFO on disk."""

import pytest
from playwright.sync_api import Page, expect

from lettering.hand.hand import Hand
from tests.steps.test_gather import files
from tests.table.conftest import Served
from tests.table.hand_book import at, on_disk, whole
from tests.table.page import drag, middle, press, px_per_mm, serious, touch, until


def look_at(page: Page, char: str) -> None:
    """Look at the only take of a character on its paper."""
    page.locator(f'[data-id="char-{char}"]').click()
    page.locator('.takes [data-id^="look-"]').first.click()
    expect(page.locator("#crop")).to_be_visible()


def is_split(hand: Hand) -> bool:
    """Tell whether the m is n and o again, each in its place of the row."""
    places = {(char, t.source.row, t.source.place) for char in "no" for t in hand.takes[char] if t.source}
    return "m" not in {t.char for t in hand.takes.get("m", ()) if t.source and t.source.row == 0} and {
        ("n", 0, 7), ("o", 0, 8)
    } <= places  # fmt: skip


def undo_and_redo(page: Page, served: Served, before: dict[str, bytes]) -> None:
    """See that undoing gives the hand back to the byte, and doing again what it became."""
    now = files(served.path.parent / "hand.ufo")
    assert now != before
    for button, wanted in (("#undo", before), ("#redo", now)):
        expect(page.locator(button)).to_be_enabled()
        page.locator(button).click()
        until(lambda wanted=wanted: whole(served) == wanted, page)  # type: ignore[misc]


def test_a_letter_that_is_two_is_split_by_a_stroke_of_the_pen(served: Served, page: Page) -> None:
    """A pen's stroke across the crop parts it; both parts are named, on disk, and undone as one."""
    before = files(served.path.parent / "hand.ufo")
    look_at(page, "m")
    page.evaluate(
        """() => {
            const crop = document.getElementById("crop");
            const image = crop.querySelector("image");
            const [width, height] = ["width", "height"].map((n) => image.getAttribute(n));
            crop.setPointerCapture = () => {};
            const send = (kind, x, y) => {
                const at = new DOMPoint(x * width, y * height).matrixTransform(crop.getScreenCTM());
                crop.dispatchEvent(new PointerEvent(kind, {pointerId: 7, pointerType: "pen", button: 0,
                    buttons: 1, clientX: at.x, clientY: at.y, bubbles: true}));
            };
            send("pointerdown", 0.49, -0.08);
            for (let k = 0; k <= 10; k++) send("pointermove", 0.5 + 0.01 * Math.sin(k), k / 10);
            send("pointerup", 0.5, 1.08);
        }"""
    )
    page.locator("#split-first").fill("n")
    page.locator("#split-second").fill("o")
    page.locator('[data-id="letter-split"]').click()
    expect(page.locator("#said")).to_contain_text("Split in two")

    assert is_split(on_disk(served))
    expect(page.locator("#sheet")).to_be_visible()
    undo_and_redo(page, served, before)


def test_a_letter_is_split_with_the_keyboard_alone(served: Served, page: Page) -> None:
    """The stroke's ends go by the arrow keys; names are typed and Enter splits."""
    look_at(page, "m")
    was = page.locator(".cut").get_attribute("points")
    for index, keys in ((0, ("ArrowRight", "ArrowLeft", "ArrowRight")), (1, ("ArrowUp", "Shift+ArrowRight"))):
        page.locator(f'[data-id="end-{index}"]').focus()
        for key in keys:
            page.keyboard.press(key)
    assert page.locator(".cut").get_attribute("points") != was
    for name, char in (("#split-first", "n"), ("#split-second", "o")):
        page.locator(name).focus()
        page.keyboard.type(char)
    page.locator('[data-id="letter-split"]').focus()
    page.keyboard.press("Enter")

    until(lambda: is_split(on_disk(served)), page)


def test_two_drawings_are_joined_into_one_letter(served: Served, page: Page) -> None:
    """The neighbour in the row is shown; joined, by a key, they are one take with the paper of both."""
    before = files(served.path.parent / "hand.ufo")
    look_at(page, "m")
    page.locator("#join-as").focus()
    page.keyboard.type("w")
    count = len(on_disk(served).takes["w"])
    page.locator('[data-id="join-before"], [data-id="join-after"]').first.focus()
    page.keyboard.press("Enter")
    until(lambda: len(on_disk(served).takes["w"]) == count + 1, page)

    assert "m" not in {t.char for t in on_disk(served).takes.get("m", ()) if t.source and t.source.row == 0}
    undo_and_redo(page, served, before)


def test_drawings_are_joined_by_mouse_by_finger_and_by_pen(served: Served, page: Page) -> None:
    """Pressed with each the neighbour joins; undone each time, the hand is what it was."""
    before = files(served.path.parent / "hand.ufo")
    count = len(on_disk(served).takes["w"])
    page.locator('[data-id="char-m"]').click()
    for how in ("mouse", "finger", "pen"):
        press(page, page.locator('.takes [data-id^="look-"]').first, how)
        page.locator("#join-as").fill("w")
        press(page, page.locator('[data-id="join-before"]'), how)
        until(lambda: len(on_disk(served).takes["w"]) == count + 1, page)
        expect(page.locator("#crop")).to_have_count(0)
        expect(page.locator("#undo")).to_be_enabled()
        page.locator("#undo").click()
        until(lambda: whole(served) == before, page)


@pytest.mark.parametrize("way", ["used", "named", "dropped"])
def test_a_doubtful_letter_is_seen_with_its_paper_and_settled(served: Served, page: Page, way: str) -> None:
    """What was set aside is shown with its crop and why; there it is used, named otherwise or dropped."""
    before = files(served.path.parent / "hand.ufo")
    hand = on_disk(served)
    doubt = page.get_by_role("button", name="h, page.png", exact=False)
    expect(doubt.locator("img")).to_be_visible()
    doubt.click()
    expect(page.locator("#letter")).to_contain_text("it leans 30 degrees farther")
    if way == "named":
        page.locator("#letter-is").fill("k")
    page.locator('[data-id="letter-drop"]' if way == "dropped" else '[data-id="letter-name"]').click()
    until(lambda: not on_disk(served).aside, page)
    now = on_disk(served)

    assert len(now.takes["h"]) == len(hand.takes["h"]) + (way == "used")
    assert ("k" in now.takes) == (way == "named")
    expect(page.get_by_text("Set aside as doubtful")).to_have_count(0)
    undo_and_redo(page, served, before)


def test_takes_are_preferred_dropped_and_named_by_pointer(served: Served, page: Page) -> None:
    """Each is seen with its crop, and in the UFO at once; all are undone in the order they were done.

    No crop is asked for again that is known.
    """
    before = files(served.path.parent / "hand.ufo")
    hand = on_disk(served)
    page.locator('[data-id="char-e"]').click()
    takes = page.locator(".takes > li")
    expect(takes).to_have_count(len(hand.takes["e"]))
    for take, shown in zip(hand.takes["e"], takes.all(), strict=True):
        shown.scroll_into_view_if_needed()
        size = shown.locator("img").evaluate(
            "(img) => img.decode().then(() => [img.naturalWidth, img.naturalHeight])"
        )
        assert take.source
        assert size == [take.source.box.width, take.source.box.height]
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if "/crop" in request.url else None)
    takes.nth(1).get_by_role("button", name="Prefer take 2").click()
    until(lambda: on_disk(served).takes["e"][0].outline == hand.takes["e"][1].outline, page)
    takes.nth(1).get_by_role("button", name="Drop take 2").click()
    until(lambda: len(on_disk(served).takes["e"]) == len(hand.takes["e"]) - 1, page)
    expect(takes).to_have_count(len(hand.takes["e"]) - 1)
    rename = takes.nth(1).locator("input")
    rename.fill("o")
    rename.blur()
    until(lambda: len(on_disk(served).takes["o"]) == len(hand.takes["o"]) + 1, page)
    assert len(asked) <= 2  # those that changed names
    for _ in range(3):
        expect(page.locator("#undo")).to_be_enabled()
        with page.expect_response("**/api/undo") as answer:
            page.locator("#undo").click()
        assert answer.value.ok

    assert files(served.path.parent / "hand.ufo") == before


def test_takes_are_preferred_dropped_and_named_with_the_keyboard(served: Served, page: Page) -> None:
    """The same with keys alone; the focus stays where it was."""
    hand = on_disk(served)
    page.locator('[data-id="char-e"]').focus()
    page.keyboard.press("Enter")
    second, third = (t.name for t in hand.takes["e"][1:3])
    page.locator(f'[data-id="prefer-{second}"]').focus()
    page.keyboard.press("Enter")
    until(lambda: on_disk(served).takes["e"][0].outline == hand.takes["e"][1].outline, page)
    page.locator(f'[data-id="drop-{third}"]').focus()
    page.keyboard.press("Space")
    until(lambda: len(on_disk(served).takes["e"]) == len(hand.takes["e"]) - 1, page)
    page.locator(f'[data-id="name-{second}"]').focus()
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("é")
    page.keyboard.press("Enter")

    until(lambda: "é" in on_disk(served).takes, page)


@pytest.mark.parametrize("how", ["mouse", "finger", "keys"])
def test_the_sides_of_a_letter_are_moved_between_its_neighbours(served: Served, page: Page, how: str) -> None:
    """The right side moved outward gives the take so much more advance, its outline stays; and undone."""
    before = files(served.path.parent / "hand.ufo")
    page.locator('[data-id="char-e"]').click()
    page.get_by_role("button", name="Sides of take 1").click()
    was = on_disk(served).takes["e"][0]
    handle = page.locator('[data-id="side-1"]')
    expect(page.locator("svg.sides > path")).to_have_count(3)
    if how == "keys":
        handle.focus()
        for _ in range(10):
            page.keyboard.press("ArrowRight")
        page.keyboard.press("Enter")
    else:
        x, y = middle(handle)
        scale = page.evaluate("document.querySelector('svg.sides').getScreenCTM().a")
        if how == "finger":
            touch(page, (x, y), (scale / px_per_mm(page), 0.0))
        else:
            drag(page, (x, y), (scale / px_per_mm(page), 0.0))
    until(lambda: on_disk(served).takes["e"][0].advance > was.advance, page)
    now = on_disk(served).takes["e"][0]

    assert now.advance - was.advance == pytest.approx(100, abs=12)
    assert now.outline == was.outline
    undo_and_redo(page, served, before)


def test_axe_finds_nothing_serious_about_a_letter_and_fingers_reach_all(served: Served, page: Page) -> None:
    """On a tablet every button and field of the letters is 44 px or more both ways (WCAG 2.2, 2.5.5)."""
    look_at(page, "m")
    page.get_by_role("button", name="Sides of take 1").click()
    page.set_viewport_size({"width": 1024, "height": 768})
    assert not serious(page)
    small = page.evaluate(
        """() => [...document.querySelectorAll(
            "#letter button, #letter input, .takes button, .takes input, .letters button, .doubts button")]
            .map((one) => [one.dataset.id || one.id, one.getBoundingClientRect()])
            .filter(([, box]) => box.width < 43.9 || box.height < 43.9).map(([name]) => name)"""
    )

    assert not small
    assert page.evaluate("document.documentElement.scrollWidth") <= 1024


def test_the_letters_at_twice_the_size_run_off_nowhere(served: Served, page: Page) -> None:
    """At 200 % the crop, its fields and the slip stand in one column."""
    look_at(page, "m")
    page.set_viewport_size({"width": 720, "height": 450})

    assert page.evaluate("document.documentElement.scrollWidth") <= 720
    assert at(on_disk(served), "m", 0, 7)
