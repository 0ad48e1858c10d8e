"""One person's lettering: all takes, its measures and its spacing."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from lettering.hand.take import Take


@dataclass(frozen=True, slots=True, kw_only=True)
class Metrics:
    """Measures of the hand, font units, up from the baseline."""

    x_height: float
    cap_height: float
    ascender: float
    descender: float
    """Negative: below the baseline."""
    stem: float
    """Usual thickness of a stroke."""
    word_space: float
    """Advance of the space between words."""
    row_pitch: float
    """Usual distance between baselines."""
    baseline_drift: float = 0.0
    """Standard deviation of letters about their row's baseline."""
    slant: float = 0.0
    """Radians that upright strokes lean to the right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """A word, or a pair of letters, as it was lettered once, by the names of its takes."""

    takes: tuple[str, ...]
    """Glyph names, one for each character."""
    starts: tuple[float, ...]
    """Where each take's own x = 0 stands, font units from that of the first."""
    page: str
    """File name of the lettered page."""
    row: int
    """Row of the reading, from 0."""
    place: int
    """Place of its first character in the row, from 0."""
    joined: bool = False
    """Whether it is a pair that she always draws together: one drawing wherever the two meet."""


@dataclass(frozen=True, slots=True)
class GatheredPage:
    """A lettered page that a hand was gathered from."""

    name: str
    """Its file name."""
    mm_per_unit: float | None
    """Size on that paper; none when unknown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """One person's lettering, kept as a glyph set."""

    name: str
    metrics: Metrics
    takes: Mapping[str, tuple[Take, ...]]
    """By character or cluster (NFC); the first take is the usual one."""
    kerning: Mapping[tuple[str, str], float] = field(default_factory=dict)
    """Font units added between two characters (not takes), by pair; most often negative."""
    words: Mapping[str, tuple[Word, ...]] = field(default_factory=dict)
    """Words lettered as a whole, and pairs always drawn together, by text (see `hand.word`)."""
    aside: Mapping[str, tuple[Take, ...]] = field(default_factory=dict)
    """Drawings that were set aside, by character: kept, and never set (see `hand.aside`)."""
    mm_per_unit: float | None = None
    """Size on the paper it was gathered from; none when unknown."""
    pages: tuple[tuple[GatheredPage, ...], ...] = ()
    """The pages it was gathered from in their order, those that were gathered at once together."""

    def lacks(self, text: str) -> tuple[str, ...]:
        """Return the characters of `text` (white space aside) without a take, each once, sorted."""
        return tuple(sorted({c for c in text if not c.isspace() and c not in self.takes}))
