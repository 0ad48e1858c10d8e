"""The stacks that a line may stand in: broken, set in the hand, centred; the best first."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from lettering.book.line import Line, Voice
from lettering.errors import HandError, LetteringError
from lettering.hand.hand import Hand
from lettering.setting.breaking import Breaking
from lettering.setting.broken import breakings
from lettering.setting.letters import SetPiece, set_pieces
from lettering.setting.opportunities import pieces
from lettering.setting.reading_age import ReadingBand
from lettering.setting.row import LooseRow, set_row
from lettering.setting.sound import set_sound
from lettering.setting.stack import Stack
from lettering.setting.stand_ins import capitals_only, completed, missing
from lettering.setting.words import Span, spans

SIZES = {"shout": 1.12, "whisper": 0.9, "sound": 1.3}
"""How large a voice is beside plain speech. House default."""
MOST_PITCH = 3.0
"""Greatest distance between baselines taken over from the hand's pages, x-heights. House default."""
LEAST_GAP = 0.15
"""Least distance between the ink of a row and that of the next, x-heights. House default."""
CAPITALS = 1.25
"""Height of capitals that stand alone, in x-heights of the lettering they replace. House default."""
WORSE_BY, MOST_STACKS = 30.0, 6
"""How much worse than the best a stack may be and still be offered, and how many are."""


def stacks(
    line: Line, hand: Hand, *, x_height_mm: float, language: str, band: ReadingBand
) -> tuple[Stack, ...]:
    """Return the stacks that `line` may stand in at a size of plain speech, mm: the cheapest first.

    They differ in their number of rows. The same line looks the same whatever else the book says. Raises
    HandError when the hand lacks characters, LetteringError when the line has no words or too many.
    """
    said = spans(line.says)
    words = "".join(span.text for span in said)
    if not words.strip("\u00a0\u200b"):
        raise LetteringError("a line says nothing", hint="Write what is said, or leave the line out.")
    if lacking := missing(words, hand):
        raise HandError(
            f"the hand {hand.name} has no {' '.join(lacking)}, needed for '{words}'",
            hint="Letter a page that has them and gather it, or change the words.",
        )
    size = voice_size(line.voice, x_height_mm, band)
    full = completed(hand, words)
    if line.along is not None or line.outline_mm:
        parts, space = _parts(_in_one_row(said), line.voice, full, size, language)
        return (set_sound(set_row(parts, space), line, size),)
    return _in_hand(said, line, full, size, language, band)


def voice_size(voice: Voice, x_height_mm: float, band: ReadingBand) -> float:
    """Return the x-height of a voice, mm, where plain speech has `x_height_mm`; a whisper stays readable."""
    size = x_height_mm * SIZES.get(voice, 1.0)
    return max(size, min(x_height_mm, band.x_min))


def flat_height(hand: Hand) -> float:
    """Return the height of an x in a hand, font units; for capitals alone, of an x that looks as large."""
    return hand.metrics.cap_height / CAPITALS if capitals_only(hand) else hand.metrics.x_height


def _in_one_row(said: Sequence[Span]) -> tuple[Span, ...]:
    return tuple(replace(span, text=span.text.replace("\n", " ")) for span in said)


def _parts(
    said: Sequence[Span], voice: Voice, hand: Hand, size: float, language: str
) -> tuple[tuple[SetPiece, ...], float]:
    """Return the pieces of a line in a hand that holds all of them, and the space between words, mm."""
    unit = size / flat_height(hand)
    words = "".join(span.text for span in said)
    strong = [span.strong for span in said for _ in span.text]
    parts = set_pieces(pieces(words), strong, hand, voice=voice, mm_per_unit=unit, language=language)
    return parts, hand.metrics.word_space * unit


def _in_hand(
    said: Sequence[Span], line: Line, hand: Hand, size: float, language: str, band: ReadingBand
) -> tuple[Stack, ...]:
    parts, space = _parts(said, line.voice, hand, size, language)
    pitch = size * max(band.pitch_min_x, min(hand.metrics.row_pitch / flat_height(hand), MOST_PITCH))
    found = breakings(
        [part.piece for part in parts],
        np.array([part.advance_mm for part in parts]),
        space=space,
        pitch=pitch,
        language=language,
        band=band,
    )
    near = [breaking for breaking in found if breaking.cost <= found[0].cost + WORSE_BY][:MOST_STACKS]
    return tuple(_stacked(breaking, parts, space, pitch, size) for breaking in near)


def _stacked(breaking: Breaking, parts: Sequence[SetPiece], space: float, pitch: float, size: float) -> Stack:
    """Return the rows of a breaking one under the other, the middle of their ink at the origin."""
    loose = [set_row(parts[first : last + 1], space) for first, last in breaking.rows]
    pitch = max(pitch, _least_pitch(loose) + LEAST_GAP * size)
    height = pitch * (len(loose) - 1)
    top = -(loose[0].ink.y0 + height + loose[-1].ink.y1) / 2
    rows = tuple(row.at(top + i * pitch) for i, row in enumerate(loose))
    return Stack(rows=rows, x_height_mm=size, cost=breaking.cost)


def _least_pitch(rows: Sequence[LooseRow]) -> float:
    """Return the distance between baselines at which no row's ink reaches down to the next one's."""
    return max((a.ink.y1 - b.ink.y0 for a, b in pairwise(rows)), default=0.0)
