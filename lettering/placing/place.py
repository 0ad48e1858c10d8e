"""Where the bubbles of a spread go: candidates, hard rules, a choice, and a finer look round it."""

from dataclasses import replace

import numpy as np

from lettering.geometry.point import Point
from lettering.placing.broken import broken
from lettering.placing.candidates import Candidates
from lettering.placing.choose import Choice, choose
from lettering.placing.finer import finer
from lettering.placing.look import MOST, STEP_MM, Look, look_at
from lettering.placing.pairs import pairs_of
from lettering.placing.placement import PlacedSpread, Placement, SpreadToPlace
from lettering.placing.shortage import shortages
from lettering.placing.springing import EVERY, with_tails
from lettering.placing.weights import HOUSE, Weights

SECONDS = 1.0
"""About how long a spread may take on a slow computer; the limit counts work, not the clock."""

FIRST, FINER = 0.2, 0.5
"""Shares of that for the choice of a first look, and for that of a finer one."""

MOST_HARD = 200
"""Candidates kept for each line of a spread that the first look could not solve."""

HOPELESS = 3
"""Pairs of lines that still exclude each other in the first look, beyond which a finer look is no help."""


def place(spread: SpreadToPlace, *, seconds: float = SECONDS, weights: Weights = HOUSE) -> PlacedSpread:
    """Return the best layout of `spread`: every hard rule kept, or named in `broken`.

    The same spread always gives the same layout. `score` and `bound` concern the candidates considered.
    """
    if not spread.lines:
        return PlacedSpread(placements=(), score=0.0, bound=0.0)
    for step, most in ((STEP_MM, MOST), (STEP_MM / 2, MOST_HARD)):
        look = look_at(spread, weights, step, most)
        choice = _choose(spread, look, weights, FIRST * seconds)
        if choice is not None and all(line.held is not None for line in spread.lines):
            return _result(spread, look, choice)
        if choice is not None and not choice.clashes:
            return _settled(spread, look, choice, weights, FINER * seconds)
        if choice is not None and choice.clashes > HOPELESS:
            break
    look = look_at(spread, weights, STEP_MM, MOST, lenient=True)
    choice = _choose(spread, look, weights, FIRST * seconds, lenient=True)
    if choice is None:
        raise AssertionError("every rule has a price, so a layout is always found")
    return _result(spread, look, choice)


def _choose(
    spread: SpreadToPlace, look: Look, weights: Weights, effort: float, lenient: bool = False
) -> Choice | None:
    if any(len(found) == 0 for found in look.found):
        return None
    tables = pairs_of(spread, look.found, weights, lenient)
    return choose(look.cost, tables, [found.middle for found in look.found], effort=effort)


def _settled(
    spread: SpreadToPlace, look: Look, choice: Choice, weights: Weights, effort: float
) -> PlacedSpread:
    """Return the choice bettered among places all round the chosen ones, at a fine step."""
    fine = finer(spread, look, _chosen(look, choice), weights)
    better = _choose(spread, fine, weights, effort)
    if better is None or better.clashes or better.score > choice.score:
        return _result(spread, look, choice)
    return _result(spread, fine, better)


def _chosen(look: Look, choice: Choice) -> tuple[Candidates, ...]:
    """Return for each line its chosen candidate alone."""
    return tuple(found.only(np.array([p])) for found, p in zip(look.found, choice.picks, strict=True))


def _result(spread: SpreadToPlace, look: Look, choice: Choice) -> PlacedSpread:
    chosen = _chosen(look, choice)
    wrong = broken(spread, chosen)
    short = shortages(spread, chosen, wrong)
    return PlacedSpread(
        placements=tuple(_placement(_drawn(spread, one)) for one in chosen),
        score=choice.score,
        bound=choice.bound,
        free=sum(line.held is None for line in spread.lines),
        broken=wrong,
        missing=tuple(map(str, short)),
        advice=tuple(one.advice for one in short),
    )


def _drawn(spread: SpreadToPlace, one: Candidates) -> Candidates:
    """Return a chosen candidate with its tails as they are drawn, from every corner of its body."""
    held = one.line.held
    if held is not None and len(held.tips) == len(one.tails):
        return one
    return with_tails(spread, one, EVERY)


def _placement(one: Candidates) -> Placement:
    tips = tuple(Point(*map(float, tail.tip[0].round(3))) for tail in one.tails)
    if (held := one.line.held) is not None:
        return held if len(held.tips) == len(tips) else replace(held, tips=tips)
    return Placement(
        line=one.line.line,
        shape=int(one.shape[0]),
        centre=Point(*map(float, one.centre[0].round(3))),
        tips=tips,
    )
