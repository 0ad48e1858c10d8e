"""Who says a line and how, on its slip: together, joined, framed, along a way; refused beside the field."""

from playwright.sync_api import Page, expect

from tests.table.conftest import Served
from tests.table.page import NAMED, Opener, faults, kept, spreads, until


def lines(served: Served) -> list[dict[str, object]]:
    """Return the lines of the first spread as PyYAML reads them."""
    read: list[dict[str, object]] = spreads(served)[0]["lines"]
    return read


def undone(page: Page, served: Served, times: int, first: str) -> None:
    """Undo so many changes, one once the one before is seen, until the book file is the first again."""
    for _ in range(times):
        was = served.text
        expect(page.locator("#undo")).to_be_enabled()
        page.locator("#undo").click()
        until(lambda was=was: served.text != was, page)  # type: ignore[misc]
    assert served.text == first


def test_a_line_is_said_by_two_together(served: Served, opened: Opener) -> None:
    """Ticked with the keyboard a second speaker joins, with a tail; unticked and undone it goes."""
    page, first = opened(served), served.text
    page.locator('[data-id="entry-1"]').click()
    box = page.locator('[data-id="with-toad"]')
    box.focus()
    page.keyboard.press("Space")
    expect(page.locator('[data-id="entry-1"]')).to_contain_text("Wren and Toad")
    expect(page.locator('[data-id="tip-1"]')).to_be_visible()
    assert list(lines(served)[0]) == ["wren + toad"]
    assert page.evaluate(NAMED) == "with-toad"
    assert not faults(page, "#slip")
    page.keyboard.press("Space")
    until(lambda: served.text == first, page)
    expect(page.locator('[data-id="tip-1"]')).to_have_count(0)
    page.locator("#undo").click()

    expect(page.locator('[data-id="entry-1"]')).to_contain_text("Wren and Toad")
    undone(page, served, 1, first)


def test_a_new_line_is_said_by_two_together(served: Served, opened: Opener) -> None:
    """Its speakers are chosen before it is in the book; it is written as one line of both."""
    page = opened(served)
    page.locator("summary", has_text="Another line").click()
    page.locator("#new-who").select_option("toad")
    page.locator('[data-id="new-with-wren"]').check()
    page.locator("#new-says").fill("One, two!")
    page.get_by_role("button", name="Add it").click()

    expect(page.locator('[data-id="entry-5"]')).to_contain_text("Toad and Wren")
    assert lines(served)[4] == {"toad + wren": "One, two!"}


def test_two_lines_of_one_speaker_are_joined(served: Served, opened: Opener) -> None:
    """A neck is offered between lines of one speaker alone; it takes the second tail, and comes off again."""
    page, first = opened(served), served.text
    page.locator('[data-id="entry-1"]').click()
    expect(page.locator("#voice")).to_be_visible()
    expect(page.locator("#joint")).to_have_count(0)
    page.locator('[data-id="entry-2"]').click()
    expect(page.locator("#joint option")).to_have_text(["apart", "touching it"])
    page.locator("#speaker").select_option("wren")
    expect(page.locator("#joint option")).to_have_text(["apart", "joined by a neck", "touching it"])
    expect(page.locator('[data-id="tip-0"]')).to_be_visible()
    apart = served.text
    page.locator("#joint").select_option("neck")
    expect(page.locator('[data-id="tip-0"]')).to_have_count(0)
    assert lines(served)[1]["wren"] == {"says": "Not *me*!", "voice": "shout", "joint": "neck"}
    page.locator("#speaker").select_option("toad")
    expect(page.locator(".refused:not(:empty)")).to_contain_text(
        "A neck joins two bubbles of the same speaker"
    )
    expect(page.locator("#speaker")).to_have_value("wren")
    assert not faults(page, "#slip")
    page.locator("#joint").select_option("")
    expect(page.locator('[data-id="tip-0"]')).to_be_visible()
    assert served.text == apart

    undone(page, served, 3, first)


def test_a_caption_has_a_frame_and_a_sound_a_way(served: Served, opened: Opener) -> None:
    """A caption's frame, a sound's way and outline are chosen; what is no measure stays in its field."""
    page, first = opened(served), served.text
    page.locator('[data-id="entry-4"]').click()
    shape = page.locator("#bubbles-4 path")
    soft = shape.first.get_attribute("d") or ""
    page.locator("#frame").select_option("straight")
    expect(shape.first).not_to_have_attribute("d", soft)
    page.locator("#frame").select_option("")
    expect(shape.first).to_have_attribute("d", soft)
    page.locator("#speaker").select_option("sound")
    page.locator("#along").select_option("arc")
    until(lambda: lines(served)[3] == {"sound": {"says": "Nobody answered.", "along": "arc"}}, page)
    page.locator("#outline").fill("thick")
    page.locator("#outline").blur()
    expect(page.locator(".written .refused:not(:empty)")).to_contain_text("outline")
    expect(page.locator("#outline")).to_have_value("thick")
    assert not faults(page, "#slip")
    page.locator("#outline").fill("0.8")
    page.locator("#outline").blur()
    expect(page.locator(".refused:not(:empty)")).to_have_count(0)
    until(lambda: "outline: 0.8" in served.text, page)

    undone(page, served, 5, first)


def test_the_figure_that_speaks_is_chosen(served: Served, opened: Opener) -> None:
    """Where a character is drawn twice its words come from the one or the other; the tail follows."""
    page = opened(served)
    page.locator('[data-id="entry-1"]').click()
    expect(page.locator("#voice")).to_be_visible()
    expect(page.locator("#from")).to_have_count(0)
    with served.client() as client:
        figure = {"kind": "figure", "spread": 0, "who": "wren", "number": 1, "box": [150, 150, 60, 70]}
        client.post("/api/edit", json=figure).raise_for_status()
    expect(page.locator("#from option")).to_have_text(["Wren 1", "Wren 2"])
    page.locator("#from").select_option("2")
    until(lambda: kept(served, 0, 1)["tips"][0][0] > 140, page)

    assert lines(served)[0]["wren"] == {"says": "Who left a cello in the compost?", "from": 2}
