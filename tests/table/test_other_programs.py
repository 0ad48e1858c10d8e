"""What other tabs and other programs change is seen on the page, and what they break is said."""

from playwright.sync_api import expect

from tests.table.conftest import Served
from tests.table.page import Opener, drag, middle


def test_a_second_tab_follows_the_first(served: Served, opened: Opener) -> None:
    """What is moved and edited on one page is seen on the other, and a change on disk on both."""
    first, second = opened(served), opened(served)
    before = second.locator("#bubbles-2 path").get_attribute("d")
    drag(first, middle(first.locator('[data-id="line-2"]')), (-12, 6))
    expect(second.locator('[data-id="line-2"] .pin')).to_be_visible()
    assert second.locator("#bubbles-2 path").get_attribute("d") != before
    served.path.write_text(served.text.replace("Nobody answered.", "Nobody said a word."), "utf-8")

    for page in (first, second):
        expect(page.locator("#said")).to_contain_text("another program")
    for page in (first, second):
        expect(page.locator("#lettering-4 title")).to_have_text("Nobody said a word.")


def test_a_book_file_that_is_broken_is_told_until_it_is_mended(served: Served, opened: Opener) -> None:
    """The page says where it cannot be read, shows the book as it was, and goes on once it is mended."""
    page = opened(served)
    good = served.text
    served.path.write_text(good.replace("reader_age: 5", "reader_age: old"), "utf-8")
    told = page.locator("#trouble")
    expect(told).to_contain_text("book.yaml cannot be read")
    expect(told).to_contain_text("'old' is no age of a reader")
    expect(page.locator("#said")).not_to_contain_text("on the table")
    expect(page.locator("#lettering-4 title")).to_have_text("Nobody answered.")
    page.locator("#tab-book").click()
    page.locator("#book-title").fill("Mine")
    page.locator("#book-title").blur()
    expect(page.locator('[data-refused="book-title"]')).to_contain_text("cannot be read")
    served.path.write_text(good.replace("Nobody answered.", "Nobody spoke."), "utf-8")

    expect(told).to_be_empty()
    expect(page.locator("#lettering-4 title")).to_have_text("Nobody spoke.")
    expect(page.locator("#book-title")).to_have_value("Mine")
