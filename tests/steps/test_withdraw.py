"""A page is withdrawn: the hand is as if it had never been gathered."""

from pathlib import Path

import pytest

from lettering.cli.main import main
from lettering.errors import LetteringError
from lettering.steps.gather import gather
from lettering.steps.withdraw import withdraw
from lettering.storage.ufo import read_hand
from tests.steps.test_gather import files, page_on_disk

ROWS = ("the quick hen sat", "on a heron at noon")


@pytest.fixture(scope="module")
def one_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A hand of one page."""
    folder = tmp_path_factory.mktemp("withdrawn")
    page = page_on_disk(folder, "first", ROWS)
    gather([page], [page.with_suffix(".txt")], folder / "hand.ufo")
    return folder / "hand.ufo"


def test_a_page_withdrawn_leaves_the_hand_as_it_was(one_page: Path, tmp_path: Path) -> None:
    """A second page gathered and withdrawn gives the first page's hand back, byte for byte."""
    before = files(one_page)
    page = page_on_disk(tmp_path, "second", ("seven zebras at noon",))
    gather([page], [page.with_suffix(".txt")], one_page)
    added = read_hand(one_page)
    _, gone = withdraw("second.png", one_page)

    assert "z" in added.takes
    assert gone == len("sevenzebrasatnoon")
    assert files(one_page) == before


def test_the_first_page_withdrawn_leaves_the_hand_of_the_second(one_page: Path, tmp_path: Path) -> None:
    """A hand whose first page goes is byte for byte the one gathered from its second alone."""
    first, second = one_page.parent / "first.png", page_on_disk(tmp_path, "second", ("seven zebras at noon",))
    for page in (first, second):
        gather([page], [page.with_suffix(".txt")], tmp_path / "both" / "hand.ufo")
    gather([second], [second.with_suffix(".txt")], tmp_path / "alone" / "hand.ufo")
    withdraw("first.png", tmp_path / "both" / "hand.ufo")

    assert files(tmp_path / "both") == files(tmp_path / "alone")


@pytest.mark.parametrize(
    ("page", "said"), [("frist.png", "Did you mean"), ("first.png", "every letter of this hand came from")]
)
def test_what_cannot_be_withdrawn_is_refused(
    one_page: Path, page: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A page that the hand does not know, or its only one, is refused in words; the hand is untouched."""
    before = files(one_page)
    status = main(["gather", "--withdraw", page, "--into", str(one_page)])

    assert status == 2
    assert said in capsys.readouterr().err
    assert files(one_page) == before


def test_a_hand_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """Withdrawing from nothing is an error with the place."""
    with pytest.raises(LetteringError, match=r"hand\.ufo"):
        withdraw("first.png", tmp_path / "hand.ufo")
