"""A reading is plain UTF-8 text, a row for each row of lettering."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lettering.errors import ReadingError
from lettering.storage.reading import read_reading


def test_rows_are_kept_and_blank_ones_left_out(tmp_path: Path) -> None:
    """Windows line ends, a byte order mark, blank rows and stray spaces do not matter."""
    path = tmp_path / "r.txt"
    path.write_bytes("\ufeffa b\u0020 c\r\n\r\n  de\u0301 \r\n".encode())

    assert read_reading(path).rows == ("a b c", "d\u00e9")


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "the reading is empty"),
        (b" \n\n", "the reading is empty"),
        (b"a\nb\xff", r"r\.txt:2: byte 0xff is not UTF-8 text"),
        (b"a\x00b", "this is no text"),
        (b"a" * 200_001, "larger than 200,000 bytes"),
    ],
    ids=["empty", "blank", "latin1", "nul", "large"],
)
def test_what_is_no_reading_is_refused(tmp_path: Path, data: bytes, message: str) -> None:
    """Empty, binary and oversized files each get a sentence."""
    path = tmp_path / "r.txt"
    path.write_bytes(data)

    with pytest.raises(ReadingError, match=message):
        read_reading(path)


def test_a_reading_that_is_not_there_is_told(tmp_path: Path) -> None:
    """A missing file and a folder are refused with their path."""
    for path in (tmp_path / "nowhere.txt", tmp_path):
        with pytest.raises(ReadingError, match="cannot be read"):
            read_reading(path)


@given(st.binary(max_size=60))
def test_any_bytes_give_a_reading_or_its_error(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    """No bytes whatever bring another exception."""
    path = tmp_path_factory.getbasetemp() / "reading.txt"
    path.write_bytes(data)
    try:
        rows = read_reading(path).rows
    except ReadingError:
        return

    assert all(row.strip() for row in rows)
