"""What lettering owes a reader of some age: least sizes, room between rows, how much at once.

The table stands in reading_sizes.json, each figure beside its source: R read in the named source, R2 read
second-hand, M from memory, P house default, P* derived from the named figures.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.resources import files
from typing import Any

from lettering.errors import LetteringError

ALOUD_BELOW = 5
"""Age under which a child is read to, years: the table's first band reaches up to its next one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingBand:
    """The wants of readers of one age."""

    id: str
    """Name of the band in the table."""
    ages: tuple[int, int]
    """Youngest and oldest reader it is for, years."""
    x_min: float
    """Least height of a printed flat x, mm."""
    x_target: float
    """Height of x to set in when the illustrator names none, mm."""
    pitch_min_x: float
    """Least distance between baselines, x-heights."""
    words_row: int
    """Most words a row."""
    chars_row: int
    """Most characters a row, spaces counted."""
    words_bubble: int
    """Most words a bubble."""
    rows_bubble: int
    """Most rows a bubble."""
    contrast: float
    """Least contrast of lettering to its ground, the ratio of WCAG 2.2."""
    viewing_mm: float
    """Distance from eye to page, mm."""
    sources: Mapping[str, str] = field(default_factory=dict)
    """Where each figure comes from, by the name of its field."""


_FIELDS = {
    "x_min": "x_min",
    "x_target": "x_target",
    "pitch_min_x": "pitch_min_x",
    "words_row": "words_line",
    "chars_row": "chars_line",
    "words_bubble": "words_bubble",
    "rows_bubble": "lines_bubble",
    "contrast": "contrast",
}
"""Field of a band, and what the table calls it."""


@cache
def all_bands() -> tuple[ReadingBand, ...]:
    """Return the bands of the table, youngest first."""
    table = json.loads(files(__package__).joinpath("reading_sizes.json").read_text("utf-8"))
    return tuple(_band(entry, table["default_viewing_mm"]) for entry in table["bands"])


def band_for(reader_age: tuple[int, int]) -> ReadingBand:
    """Return the band of a book's youngest and oldest reader, years: the younger decides.

    Two different ages mean that the book is read aloud, which sets the page farther from the eye. Raises
    LetteringError for ages that are not in order or negative.
    """
    younger, older = reader_age
    if not 0 <= younger <= older:
        raise LetteringError(
            f"{younger}-{older} is no span of reader's ages", hint="Write the younger first."
        )
    aloud, *reading = all_bands()
    if younger < ALOUD_BELOW:
        return aloud
    band = next((b for b in reading if b.ages[0] <= younger <= b.ages[1]), reading[-1])
    return band if younger == older else _read_aloud(band, aloud)


def _read_aloud(band: ReadingBand, aloud: ReadingBand) -> ReadingBand:
    return replace(band, viewing_mm=aloud.viewing_mm)


def _band(entry: Mapping[str, Any], viewing: Mapping[str, float]) -> ReadingBand:
    figures = {name: entry[key] for name, key in _FIELDS.items()}
    return ReadingBand(
        id=entry["id"],
        ages=(entry["ages"][0], entry["ages"][1]),
        viewing_mm=viewing[_eye(entry)],
        sources={name: source for name, (_, source) in figures.items()} | {"viewing_mm": "house default"},
        **{name: value for name, (value, _) in figures.items()},
    )


def _eye(entry: Mapping[str, Any]) -> str:
    """Return what the table calls the distance between a reader of this band and the page."""
    if entry["id"].startswith("read_aloud"):
        return "read_aloud"
    return "under_9" if entry["ages"][1] < 9 else "older"
