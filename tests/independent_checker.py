"""The hard rules of placing, asked of a written layout by plain shapely and nothing of the project.

It reads the layout format (`lettering-layout`, version 1) and the book file as YAML, and shares no code with
the rooms that place and check. House rules: body inside the safe area, off the gutter, clear of every
figure's box and every place to keep clear; bodies clear of each other; tails cross no other body, no other
tail and no other character's box; reading order plain.
"""

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Any

from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

SLACK = 0.06
"""mm: the format promises polygons within 0.05 mm of the drawn curve."""

SLACK_AREA = 0.05
"""mm²: what two polygons may share by that slack alone."""

_UNITS = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72}


def violations(layout: Mapping[str, Any], book: Mapping[str, Any]) -> list[str]:
    """Return a sentence for every hard rule that a layout breaks; `book` is the book file as plain YAML."""
    page = {key: _mm(value) for key, value in book["page"].items()}
    spreads = zip(layout["spreads"], book["spreads"], strict=True)
    return [broken for placed, written in spreads for broken in _spread(placed, written, page)]


def _mm(value: object) -> float:
    text = str(value)
    unit = text.lstrip("0123456789. ")
    return float(text.removesuffix(unit)) * _UNITS[unit or "mm"]


def _spread(
    placed: Mapping[str, Any], written: Mapping[str, Any], page: Mapping[str, float]
) -> Iterator[str]:
    lines = placed["lines"]
    for line in lines:
        for rule in (*_margins(line, placed, page), *_picture(line, written), *_own_tails(line, written)):
            yield f"pages {placed['pages']}, line {line['line']}: {rule}"
    for first, second in combinations(lines, 2):
        for rule in (*_apart(first, second), *_order(first, second, placed["fold"])):
            yield f"pages {placed['pages']}, lines {first['line']} and {second['line']}: {rule}"


def _body(line: Mapping[str, Any]) -> BaseGeometry:
    if line["body"]:
        return Polygon(line["body"]).buffer(0)
    x0, y0, x1, y1 = zip(*line["ink"], strict=True)
    return box(min(x0), min(y0), max(x1), max(y1))


def _tails(line: Mapping[str, Any]) -> list[BaseGeometry]:
    body = _body(line)
    return [Polygon(tail).buffer(0).difference(body) for tail in line["tails"]]


def _margins(line: Mapping[str, Any], placed: Mapping[str, Any], page: Mapping[str, float]) -> Iterator[str]:
    safe, gutter = page.get("safe", 8.0), page.get("gutter", 10.0)
    x0, y0, x1, y1 = placed["trim"]
    body = _body(line)
    if not box(x0 + safe, y0 + safe, x1 - safe, y1 - safe).buffer(SLACK).covers(body):
        yield "leaves the safe area"
    fold = placed["fold"]
    if fold is not None and body.intersects(box(fold - gutter + SLACK, y0, fold + gutter - SLACK, y1)):
        yield "in the gutter"


def _figures(written: Mapping[str, Any]) -> list[tuple[str, Mapping[str, Any]]]:
    found = written.get("figures", {}).items()
    return [(who, one) for who, own in found for one in (own if isinstance(own, list) else [own])]


def _rect(sized: list[float]) -> BaseGeometry:
    x, y, width, height = (_mm(value) for value in sized)
    return box(x, y, x + width, y + height)


def _picture(line: Mapping[str, Any], written: Mapping[str, Any]) -> Iterator[str]:
    body = _body(line)
    for who, figure in _figures(written):
        if body.intersection(_rect(figure["box"])).area > SLACK_AREA:
            yield f"covers {who}"
    for clear in written.get("keep_clear", ()):
        if body.intersection(_rect(clear)).area > SLACK_AREA:
            yield f"covers the place to keep clear {clear}"


def _own_tails(line: Mapping[str, Any], written: Mapping[str, Any]) -> Iterator[str]:
    for tail in _tails(line):
        for who, figure in _figures(written):
            if who not in line["who"] and tail.intersection(_rect(figure["box"])).area > SLACK_AREA:
                yield f"its tail crosses {who}"
            if "face" in figure and tail.intersection(_rect(figure["face"])).area > SLACK_AREA:
                yield f"its tail touches the face of {who}"
    if line["who"] and line["body"] and not line["tails"]:
        yield "has no tail"


def _apart(first: Mapping[str, Any], second: Mapping[str, Any]) -> Iterator[str]:
    one, other = _body(first), _body(second)
    if one.intersects(other):
        yield "bodies meet"
    for tail in _tails(first):
        if tail.intersection(other).area > SLACK_AREA:
            yield "a tail crosses the other body"
        if any(tail.intersection(t).area > SLACK_AREA for t in _tails(second)):
            yield "two tails cross"
    if any(tail.intersection(one).area > SLACK_AREA for tail in _tails(second)):
        yield "a tail crosses the other body"
    for a, b in ((a, b) for a in _axes(first) for b in _axes(second)):
        if a.crosses(b):
            yield "two tails cross"


def _axes(line: Mapping[str, Any]) -> list[LineString]:
    """Return the straight way of each tail, from the body's nearest point to its tip."""
    ring = _body(line).boundary
    return [
        LineString([ring.interpolate(ring.project(LineString([tip, tip]).centroid)), tip])
        for tip in line["tips"]
    ]


def _order(first: Mapping[str, Any], second: Mapping[str, Any], fold: float | None) -> Iterator[str]:
    ax0, ay0, ax1, ay1 = _body(first).bounds
    bx0, by0, bx1, by1 = _body(second).bounds
    ax, ay, bx, by = (ax0 + ax1) / 2, (ay0 + ay1) / 2, (bx0 + bx1) / 2, (by0 + by1) / 2
    if fold is not None and (ax < fold) != (bx < fold):
        if ax > fold:
            yield "the later is on the left page"
        return
    half = min(ay1 - ay0, by1 - by0) / 2
    lower = by - ay >= half - SLACK
    right = bx >= ax - SLACK and by - ay >= -half - SLACK
    if not (lower or right):
        yield "the order is not plain"
