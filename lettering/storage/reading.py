"""The text file that says what a lettered page carries."""

from pathlib import Path

from lettering.capture.page import Reading
from lettering.errors import ReadingError, Where

MOST_BYTES = 200_000
"""Largest reading that is read; a page of lettering has a few hundred characters."""


def read_reading(path: Path) -> Reading:
    """Return the reading typed in the UTF-8 file at `path`; raises ReadingError."""
    data = _bytes(path)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        message = f"byte {data[error.start]:#04x} is not UTF-8 text."
        raise ReadingError(message, Where(str(path), line), "Save the file as UTF-8 text.") from None
    if "\0" in text:
        raise ReadingError("this is no text.", str(path), "Save the reading as plain UTF-8 text.")
    return Reading.of_text(text, str(path))


def _bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise ReadingError(f"cannot be read: {error.strerror}.", str(path)) from None
    if len(data) > MOST_BYTES:
        raise ReadingError(f"the reading is larger than {MOST_BYTES:,} bytes.", str(path))
    return data
