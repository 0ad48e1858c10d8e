"""The spreads of a book laid out one after another, or in several processes: the outcome is the same."""

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context

import numpy as np
from numpy.typing import NDArray

from lettering.book.book import Spread
from lettering.checks.finished import FinishedSpread
from lettering.errors import stop_point
from lettering.placing.former import FormerLine
from lettering.steps.bench import Bench
from lettering.steps.laid_out import lay_out

EACH = 20
"""Spreads that are worth a process: to start one takes about as long as to lay out so many."""

LOOK_SECONDS = 0.2
"""How often it is asked whether the work is still wanted, while other processes do it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Wanted:
    """A spread to lay out."""

    spread: Spread
    former: Sequence[FormerLine | None]
    """For each line where it was before."""
    detail: NDArray[np.float64] | None
    """How busy its art is."""
    stay: bool
    """Whether its lines stay even where they break a rule."""


def processes_for(spreads: int) -> int:
    """Return how many processes so many spreads are worth on this computer."""
    return max(1, min(os.cpu_count() or 1, spreads // EACH))


def laid_spreads(
    bench: Bench, wanted: Sequence[Wanted], processes: int | None = None
) -> Iterator[FinishedSpread]:
    """Yield each wanted spread laid out, in order, by `processes`: as many as are worth it if none."""
    count = processes_for(len(wanted)) if processes is None else processes
    if count <= 1:
        yield from (laid_spread(bench, one) for one in wanted)
        return
    # Spawned, for a fork would copy the threads and locks of numerical libraries.
    workers = ProcessPoolExecutor(count, get_context("spawn"), _begin, (bench,))
    done = False
    try:
        for future in [workers.submit(_laid, one) for one in wanted]:
            yield _result(future)
        done = True
    finally:
        workers.shutdown(wait=done, cancel_futures=not done)


def _result(future: Future[FinishedSpread]) -> FinishedSpread:
    """Return what a process laid out, unless it is no longer wanted."""
    while True:
        try:
            return future.result(LOOK_SECONDS)
        except TimeoutError:
            stop_point()


def laid_spread(bench: Bench, wanted: Wanted) -> FinishedSpread:
    """Return one spread laid out: its lines stay, and where that breaks a rule it is placed again."""
    kept = lay_out(bench, wanted.spread, wanted.former, wanted.detail)
    if wanted.stay or not kept.placed.broken or not any(wanted.former):
        return kept
    return lay_out(replace(bench, stay=False), wanted.spread, wanted.former, wanted.detail)


_bench: list[Bench] = []
"""What lies ready in a worker process; sent once, for a hand is large."""


def _begin(bench: Bench) -> None:
    _bench[:] = [bench]


def _laid(wanted: Wanted) -> FinishedSpread:
    return laid_spread(_bench[0], wanted)
