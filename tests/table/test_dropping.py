"""Files dropped on the page from elsewhere: a manuscript, art, a lettered page and its reading."""

from pathlib import Path

from playwright.sync_api import expect

from tests.table.conftest import Served
from tests.table.page import Opener, drop, png, spreads, turn_to, until
from tests.table.test_whole_job import MANUSCRIPT

HILL = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="506mm" height="256mm" viewBox="0 0 506 256">'
    '<script>document.title = "acted"</script><rect width="506" height="256" fill="#6b8f4e"/></svg>'
)


def test_a_manuscript_dropped_anywhere_begins_the_book(
    served_empty: Served, opened: Opener, tmp_path: Path
) -> None:
    """On an empty table it need not be dropped on the sheet that asks for it."""
    (tmp_path / "well.txt").write_text(MANUSCRIPT, "utf-8")
    page = opened(served_empty, waits_for=".beginning")
    drop(page, page.locator("h1"), tmp_path / "well.txt")
    expect(page.locator("#title")).to_have_text("The Well")

    assert "MOLE" not in served_empty.text
    assert spreads(served_empty)[0]["lines"] == [{"mole": "Hello?"}, {"echo": "Hello!"}]


def test_art_is_dropped_on_the_spread_and_on_a_thumbnail(
    served: Served, opened: Opener, tmp_path: Path
) -> None:
    """A picture becomes the art of where it was let go; one drawn as SVG is kept as pixels, and is inert."""
    (tmp_path / "garden.png").write_bytes(png((506, 256)))
    (tmp_path / "hill.svg").write_text(HILL, "utf-8")
    page = opened(served)
    drop(page, page.locator("#sheet"), tmp_path / "garden.png")
    until(lambda: spreads(served)[0].get("art") == "art/garden.png", page)
    expect(page.locator("#said")).to_contain_text("garden.png is the art of")
    drop(page, page.locator("#strip li").nth(1), tmp_path / "hill.svg")
    until(lambda: spreads(served)[1].get("art") == "art/hill.png", page)
    turn_to(page, 1)
    shown = page.locator("#sheet .art image")
    expect(shown).to_be_visible()

    assert page.title() != "acted"
    assert not list(served.path.parent.rglob("*.svg"))


def test_a_lettered_page_and_its_reading_are_dropped(served: Served, opened: Opener, tmp_path: Path) -> None:
    """A page dropped while the hand is looked at is shown large, and a text dropped then is its reading."""
    (tmp_path / "page.png").write_bytes(png((400, 300)))
    (tmp_path / "page.txt").write_text("Who left\na cello?", "utf-8")
    page = opened(served)
    page.locator("#tab-hand").click()
    expect(page.locator("#page-file")).to_be_attached()
    drop(page, page.locator("#paper"), tmp_path / "page.png")
    expect(page.locator("#reading")).to_be_visible()
    expect(page.locator("#photo")).to_be_visible()
    drop(page, page.locator("#slip"), tmp_path / "page.txt")

    expect(page.locator("#reading")).to_have_value("Who left\na cello?")
    assert (served.path.parent / "pages" / "page.png").is_file()
