"""The hard rules that a chosen layout breaks, by name."""

from collections.abc import Iterator, Sequence
from itertools import combinations

from lettering.geometry.rect import Rect
from lettering.geometry.support import Reach, clearance, reach_of
from lettering.placing import rules
from lettering.placing.between import Between
from lettering.placing.candidates import Candidates
from lettering.placing.placement import Broken, SpreadToPlace


def broken(spread: SpreadToPlace, chosen: Sequence[Candidates]) -> tuple[Broken, ...]:
    """Return every rule that the layout breaks; `chosen` holds one candidate a line, in speaking order."""
    found = [rule for one in chosen for rule in alone(spread, one)]
    pairs = combinations(chosen, 2)
    return (*found, *(rule for first, second in pairs for rule in between(spread, first, second)))


def alone(spread: SpreadToPlace, one: Candidates) -> Iterator[Broken]:
    """Yield every rule that a line breaks by itself; `one` holds its one candidate."""
    for rule, depth in rules.alone(spread, one).items():
        if depth[0] > 0:
            yield Broken(rule, (one.line.line,), _what(rule, spread, one))


def between(spread: SpreadToPlace, first: Candidates, second: Candidates) -> Iterator[Broken]:
    """Yield every rule that two lines break together; each holds one, the first is spoken before."""
    clear = Between.of(first, second)
    for rule, clash in rules.together(clear, first, second, spread.frame).items():
        if clash[0, 0]:
            yield Broken(rule, (first.line.line, second.line.line), _BOTH[rule])


_BOTH = {
    "overlap": "the two bodies meet",
    "tail": "a tail runs into the other bubble",
    "order": "it is not plain which is read first",
}


def _what(rule: str, spread: SpreadToPlace, one: Candidates) -> str:
    """Return what is in the way, in the words of the book file."""
    if rule == "safe":
        return "the trim"
    if rule == "gutter":
        return "the fold"
    if rule == "keep-clear":
        return " and ".join(_places(spread, [one.body]))
    shapes = [one.body] if rule == "figure" else list(one.tail_hulls)
    speaking = {speaker.who for speaker in one.line.speakers} if rule == "tail" else set()
    boxes = [f"{who}'s box" for who, rect in spread.figures if who not in speaking and _meets(shapes, rect)]
    what = " and ".join(boxes + (_places(spread, shapes) if rule == "tail" else []))
    return what or "a bubble that meets its own"


def _places(spread: SpreadToPlace, shapes: Sequence[Reach]) -> list[str]:
    """Return the places to keep clear that any of `shapes` meets, by where they are."""
    return [
        f"the place to keep clear at {rect.x0:g}, {rect.y0:g} mm"
        for rect in spread.keep_clear
        if _meets(shapes, rect)
    ]


def _meets(shapes: Sequence[Reach], rect: Rect) -> bool:
    return any(bool(clearance(shape, reach_of(rect))[0] < rules.LINE_MM) for shape in shapes)
