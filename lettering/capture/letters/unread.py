"""Ink that stands among the letters of a row and that the reading does not name."""

from collections.abc import Iterator, Sequence

from lettering.capture.ink.pieces import Piece, Pieces
from lettering.capture.letters.dealing import Dealt
from lettering.capture.letters.found import Doubt, Found

LETTER_INK = 0.5
"""Strays with less ink than a stroke of this many x-heights are dust, blots and slips of the pen."""
LETTER_HEIGHT = 0.5
"""Strays lower than this many x-heights are no letters; a dash or a comma too many does no harm."""
NEAR = 3.0
"""Strays farther than this many x-heights from a row's own letters are sketches beside it."""


def unread(rows: Sequence[Dealt], unit: float, pieces: Pieces) -> Iterator[Doubt]:
    """Yield the strays of each row that look like letters, each with the place before which it stands."""
    for number, dealt in enumerate(rows):
        taken = {i for match in dealt.matches for i in match.pieces}
        if not taken:
            continue
        boxes = [dealt.row.pieces[i].box for i in taken]
        left, right = min(b.left for b in boxes) - NEAR * unit, max(b.right for b in boxes) + NEAR * unit
        for i, piece in enumerate(dealt.row.pieces):
            near = left < piece.box.left and piece.box.right < right
            if i not in taken and near and _like_a_letter(piece, unit, pieces.stroke_px):
                yield _unnamed(number, _place_after(dealt, i), piece, pieces)


def _unnamed(row: int, place: int, piece: Piece, pieces: Pieces) -> Doubt:
    found = Found(
        char="",
        row=row,
        place=place,
        box=piece.box,
        own=pieces.own([piece], piece.box),
        numbers=frozenset({piece.number}),
        probability=0.0,
    )
    reason = "ink that the reading does not name"
    return Doubt(char="", row=row, place=place, box=piece.box, reason=reason, found=found)


def _like_a_letter(piece: Piece, unit: float, stroke: float) -> bool:
    return piece.area > LETTER_INK * unit * stroke and piece.box.height > LETTER_HEIGHT * unit


def _place_after(dealt: Dealt, piece: int) -> int:
    """Return the place in the row of the first character that is dealt ink after a piece."""
    after = [match.chars[0] for match in dealt.matches if match.pieces and match.pieces[0] > piece]
    return dealt.text.places[after[0]] if after else dealt.text.places[-1] + 1
