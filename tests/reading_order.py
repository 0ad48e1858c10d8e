"""In what order the bubbles of a written layout would be read, by a published rule alone.

The recursive X-Y cut (Nagy and Seth 1984, Hierarchical Representation of Optically Scanned Documents, 7th
International Conference on Pattern Recognition; from memory, as it is commonly told): a page is cut at its
empty rows into bands, read from the top; each band at its empty columns, read from the left; each part again.
Left pages are read before right ones. It is a rule for text in rows and columns, so it knows no order for
bubbles that interlock; those it takes from the top.
"""

from collections.abc import Mapping, Sequence
from typing import Any

Box = tuple[float, float, float, float]


def reading_order(spread: Mapping[str, Any]) -> list[int]:
    """Return the numbers of a spread's lines in the order in which their bubbles are read."""
    boxes = {line["line"]: _box(line["body"]) for line in spread["lines"]}
    fold = spread["fold"]
    right = {n for n, (x0, _, x1, _) in boxes.items() if fold is not None and (x0 + x1) / 2 > fold}
    pages = ([n for n in boxes if n not in right], [n for n in boxes if n in right])
    return [n for page in pages for n in _cut(page, boxes, axis=1)]


def _box(body: Sequence[Sequence[float]]) -> Box:
    xs, ys = [x for x, _ in body], [y for _, y in body]
    return min(xs), min(ys), max(xs), max(ys)


def _cut(part: list[int], boxes: Mapping[int, Box], axis: int, uncut: int = 0) -> list[int]:
    """Return the boxes of `part` in order, cut first across `axis`: 1 into bands, 0 into columns."""
    if len(part) < 2:
        return part
    if uncut == 2:
        return sorted(part, key=lambda n: (boxes[n][1], boxes[n][0]))
    ordered = sorted(part, key=lambda n: boxes[n][axis])
    pieces, end = [[ordered[0]]], boxes[ordered[0]][axis + 2]
    for n in ordered[1:]:
        if boxes[n][axis] > end:
            pieces.append([])
        pieces[-1].append(n)
        end = max(end, boxes[n][axis + 2])
    if len(pieces) == 1:
        return _cut(part, boxes, 1 - axis, uncut + 1)
    return [n for piece in pieces for n in _cut(piece, boxes, 1 - axis)]
