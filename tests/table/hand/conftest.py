"""A book whose hand was gathered, and the slip of that hand."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.table.conftest import Served, serving
from tests.table.hand_book import book_with_gathered_hand
from tests.table.page import Opener
from tests.table.slow_line import Wait


@pytest.fixture(scope="session")
def gathered_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a book whose hand was gathered; tests take copies."""
    path = book_with_gathered_hand(tmp_path_factory.mktemp("gathered"))
    return path.parent


@pytest.fixture
def served(gathered_book: Path, tmp_path: Path, wait: Wait | None) -> Iterator[Served]:
    """Serve a copy of that book."""
    shutil.copytree(gathered_book, tmp_path / "book")
    yield from serving(tmp_path / "book" / "book.yaml", wait)


@pytest.fixture
def page(served: Served, opened: Opener) -> Page:
    """The slip of the hand."""
    page: Page = opened(served)
    page.locator("#tab-hand").click()
    expect(page.locator(".letters button").first).to_be_visible()
    return page
