"""The hard rules that a chosen layout breaks, by name."""

from collections.abc import Iterator, Sequence

from lettering.geometry.support import clearance, reach_of
from lettering.placing import rules
from lettering.placing.between import Between
from lettering.placing.candidates import Candidates
from lettering.placing.placement import Broken, SpreadToPlace


def broken(spread: SpreadToPlace, chosen: Sequence[Candidates]) -> tuple[Broken, ...]:
    """Return every rule that the layout breaks; `chosen` holds one candidate a line, in speaking order."""
    found = [
        Broken(rule, (one.line.line,), _what(rule, spread, one))
        for one in chosen
        for rule, depth in rules.alone(spread, one).items()
        if depth[0] > 0
    ]
    return tuple(found) + tuple(_between(spread, chosen))


def _between(spread: SpreadToPlace, chosen: Sequence[Candidates]) -> Iterator[Broken]:
    for i, first in enumerate(chosen):
        for second in chosen[i + 1 :]:
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
        boxes = [f"the place to keep clear at {r.x0:g}, {r.y0:g} mm" for r in spread.keep_clear
                 if clearance(one.body, reach_of(r))[0] < rules.LINE_MM]  # fmt: skip
        return " and ".join(boxes)
    shapes = [one.body] if rule == "figure" else list(one.tail_hulls)
    speaking = {speaker.who for speaker in one.line.speakers} if rule == "tail" else set()
    return " and ".join(
        f"{who}'s box"
        for who, rect in spread.figures
        if who not in speaking and any(clearance(s, reach_of(rect))[0] < rules.LINE_MM for s in shapes)
    )
