"""The book on its slip: page, age, cast and their hands, art, the strip of spreads, the manuscript again."""

from pathlib import Path

import pytest
import yaml
from playwright.sync_api import Page, expect

from lettering.export.svg import svg
from lettering.steps.lettering_layers import lettering_layers
from lettering.steps.place import book_as_placed
from lettering.storage.placements import placements_path
from lettering.storage.ufo import write_hand
from lettering.table.events import Events
from lettering.table.work import Work
from tests.table.conftest import BOOK, Served
from tests.table.page import Opener, drag, kept, middle, png, spreads, until
from tests.typeface_hand import typeface_hand

AGAIN = """\
Pages 4-5

WREN: Who left a cello in the compost?
TOAD: Not me!
WREN: It was somebody.
TOAD: Ssh.

Pages 6-7

WREN: Then who?
"""
"""The small book's manuscript, in which words changed, a caption went and a line is new."""


@pytest.fixture
def page(served: Served, opened: Opener) -> Page:
    """The slip of the book."""
    page = opened(served)
    page.locator("#tab-book").click()
    return page


def test_a_book_that_is_still_read_is_said_to_be_opened(served: Served, opened: Opener) -> None:
    """Until its spreads are there nothing asks for a manuscript; then they come by themselves."""
    served.table.watch.stop()  # it would read the book at once
    served.table.work.state = None
    page = opened(served, waits_for=".opening")

    expect(page.locator(".opening")).to_have_text("Opening book.yaml …")
    expect(page.locator(".beginning")).to_have_count(0)
    served.table.work.read()
    expect(page.locator("#lettering-1")).to_be_attached()


def both(served: Served) -> list[bytes]:
    """Return the bytes of the book file and its placements."""
    return [served.path.read_bytes(), placements_path(served.path).read_bytes()]


def drawings(page: Page) -> list[str]:
    """Return the letters of every line as they are drawn, its outlines one after the other."""
    read: list[str] = page.eval_on_selector_all(
        "#lettering > g",
        "all => all.map(g => [...g.querySelectorAll('path')].map(p => p.getAttribute('d')).join())",
    )
    return read


def test_every_spread_is_seen_in_the_strip_and_opened(page: Page, served: Served) -> None:
    """Each has its thumbnail, decoded, and its pages; pressed, it lies on the table with its own words."""
    buttons = page.locator("#strip button")
    assert buttons.count() == len(spreads(served))
    for number, pages in enumerate(("pages 4-5", "pages 6-7")):
        expect(buttons.nth(number)).to_contain_text(pages)
        image = buttons.nth(number).locator("img")
        until(lambda image=image: image.evaluate("one => one.naturalWidth") > 100, page)  # type: ignore[misc]
    buttons.nth(1).click()

    expect(page.locator("#lettering-1 title")).to_have_text("Then who?")
    expect(page.locator("#sheet")).to_have_attribute("aria-label", "pages 6-7")


def test_page_size_cast_and_art_are_set(page: Page, served: Served, tmp_path: Path) -> None:
    """In the units that were typed; what is noted beside the names stays; art lies under the lettering."""
    page.locator("#page-bleed").fill("4")
    page.locator("#page-bleed").blur()
    until(lambda: "bleed: 4 mm" in served.text, page)
    page.locator("#page-safe").fill("0.9 cm")
    page.locator("#page-safe").blur()
    until(lambda: "safe: 0.9 cm" in served.text, page)
    page.get_by_label("safe area", exact=True).check()
    expect(page.locator("#sheet .safe")).to_have_attribute("x", "9")
    page.locator("#height-wren").fill("10")
    page.locator("#height-wren").blur()
    until(lambda: "height: 10 cm" in served.text, page)
    page.locator('[data-id="earlier-toad"]').click()
    until(lambda: list(yaml.safe_load(served.text)["cast"]) == ["toad", "wren"], page)
    assert "# small and sure" in served.text
    (tmp_path / "garden.png").write_bytes(png((506, 256)))
    page.locator("#art-file").set_input_files(tmp_path / "garden.png")
    until(lambda: spreads(served)[0].get("art") == "art/garden.png", page)

    expect(page.locator("#sheet image").first).to_be_visible()
    assert (served.path.parent / "art" / "garden.png").is_file()


def test_a_character_is_given_a_hand(page: Page, served: Served) -> None:
    """Its lines alone are set again, as the commands set them; one byte range changes, and is undone."""
    write_hand(typeface_hand("delius"), served.path.parent / "old.ufo")
    page.reload()
    page.locator("#tab-book").click()
    first, before = both(served), drawings(page)
    page.locator("#hand-toad").select_option("old.ufo")
    until(lambda: "old.ufo" in served.text, page)
    until(lambda: drawings(page)[1] != before[1], page)
    now = drawings(page)
    assert served.text == first[0].decode().replace("{name: Toad}", "{name: Toad, hand: old.ufo}")
    assert [now[0], now[2], now[3]] == [before[0], before[2], before[3]]
    opened = book_as_placed(served.path)
    command = svg(lettering_layers(opened.spreads[0], opened.book))
    assert all(d in command for d in now[1].split(","))
    last = both(served)
    page.locator("#hand-toad").select_option("")
    until(lambda: served.path.read_bytes() == first[0], page)
    page.reload()
    page.wait_for_selector("#lettering-2", state="attached")
    for then in (last, first):
        expect(page.locator("#undo")).to_be_enabled()
        page.locator("#undo").click()
        until(lambda then=then: both(served) == then, page)  # type: ignore[misc]
    until(lambda: drawings(page) == before, page)
    page.locator("#redo").click()

    until(lambda: both(served) == last, page)
    until(lambda: drawings(page) == now, page)


def test_a_new_hand_waits_for_its_letters(page: Page, served: Served) -> None:
    """Its spread is bare and says what for; from there it is a step to the page that is lettered for it."""
    page.locator("#hand-toad").select_option("toad.ufo")
    expect(page.locator("#lacks")).to_contain_text("gather a lettered page into toad.ufo")
    page.locator('[data-id="letter-toad"]').click()
    expect(page.locator("#whose")).to_have_value("toad")
    expect(page.locator("#lacking")).to_contain_text("! N e m o t")
    page.locator("#undo").click()

    expect(page.locator("#lettering-2")).to_be_attached()
    assert "toad.ufo" not in served.text


def test_the_manuscript_brought_again_is_undone_in_one_step(
    page: Page, served: Served, tmp_path: Path
) -> None:
    """What it changed is told; file and placements go back and forth as one, after a reload and an end."""
    drag(page, middle(page.locator('[data-id="line-4"]')), (6, -4))
    until(lambda: kept(served, 0, 4)["held"], page)
    first = both(served)
    (tmp_path / "band.txt").write_text(AGAIN, "utf-8")
    page.locator("#manuscript-file").set_input_files(tmp_path / "band.txt")
    expect(page.locator(".told li")).to_have_text(
        [
            "pages 4-5: gone caption: Nobody answered.",
            "pages 4-5: changed: wren: It was somebody small. → wren: It was somebody.",
            "pages 4-5: new toad: Ssh.",
        ]
    )
    last = both(served)
    assert len(spreads(served)[0]["lines"]) == 4
    assert "# small and sure" in served.text
    page.reload()
    page.wait_for_selector("#lettering-1", state="attached")
    page.keyboard.press("Control+z")
    until(lambda: both(served) == first, page)
    expect(page.locator("#lettering-4 title")).to_have_text("Nobody answered.")
    page.locator("#redo").click()
    until(lambda: both(served) == last, page)
    again = Work(served.path, Events())
    again.read()
    again.step_back()

    assert both(served) == first


def test_the_first_manuscript_is_undone_and_brought_back(
    served_empty: Served, opened: Opener, tmp_path: Path
) -> None:
    """The table is empty again; done again, also by the next server, it is the same book; her file stays."""
    path = served_empty.path
    hers = path.parent / "band.txt"
    hers.write_text(AGAIN, "utf-8")
    page = opened(served_empty, waits_for=".beginning")
    page.locator("#first-manuscript").set_input_files(hers)
    expect(page.locator("#strip button")).to_have_count(2)
    first = path.read_bytes()
    page.locator("#undo").click()
    expect(page.locator(".beginning")).to_be_visible()
    expect(page.locator("#undo")).to_be_hidden()
    assert not path.exists()
    page.locator("#redo").click()
    expect(page.locator("#strip button")).to_have_count(2)

    assert path.read_bytes() == first
    page.locator("#undo").click()
    expect(page.locator(".beginning")).to_be_visible()
    again = Work(path, Events())
    again.read()
    again.step_forth()
    assert path.read_bytes() == first
    assert hers.read_text("utf-8") == AGAIN


def test_a_first_manuscript_that_was_cut_off_is_done_again(served_empty: Served) -> None:
    """Written down but not written when all ended: the table is empty, and doing it again brings the book."""
    path, began = served_empty.path, Work(served_empty.path, Events())
    began.begin("the first manuscript", BOOK)
    path.unlink()
    work = Work(path, Events())
    work.read()
    assert (work.state, work.history.undoable) == (None, None)
    work.step_forth()

    assert path.read_text("utf-8") == BOOK
    assert work.state is not None
