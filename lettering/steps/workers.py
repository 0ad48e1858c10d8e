"""What shares a step's work out over the machine's cores, when there is enough of it."""

import os
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import contextmanager
from functools import partial
from importlib import import_module
from multiprocessing import get_context
from typing import Any

from threadpoolctl import threadpool_limits

from lettering.errors import stop_point

THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
"""Where numerical libraries look, as they are loaded, for how many threads they may use."""

Shares = Callable[..., Iterator[Any]]
"""Does what `map` does: the results of a function of one or more iterables, in order."""


@contextmanager
def workers(others: int, loading: str) -> Iterator[Shares]:
    """Open so many processes beside this one, each with one thread, and yield what shares work among all.

    They begin at once to load the module `loading`, so that this process can begin its part meanwhile.
    Processes are spawned, for a fork would copy the threads and locks of numerical libraries. Threads of
    those libraries would wait for each other more than they work: letters are small problems.
    """
    with threadpool_limits(1):
        if not others:
            yield map
            return
        former = {name: os.environ.get(name) for name in THREADS}
        # Workers are spawned with the first work they are given, so the setting stands as long as they do.
        os.environ.update(dict.fromkeys(THREADS, "1"))
        pool = ProcessPoolExecutor(others, get_context("spawn"), import_module, (loading,))
        try:
            pool.submit(_nothing)
            yield partial(_shared, pool)
        finally:
            pool.shutdown(cancel_futures=True)
            for name, value in former.items():
                if value is None:
                    os.environ.pop(name, None)
                else:
                    os.environ[name] = value


def _nothing() -> None:
    """Do nothing, so that the processes are there."""


def _shared(pool: Executor, fn: Callable[..., Any], *iterables: Iterable[Any]) -> Iterator[Any]:
    """Yield the results in order; what no other process has begun is done here while this one waits."""
    parts = list(zip(*iterables, strict=True))
    # The first part is not given away: a process that still loads its libraries holds what it was given.
    futures = [pool.submit(fn, *part) for part in parts[1:]]
    futures[:0] = [_done(fn, part) for part in parts[:1]]
    ahead = iter(range(len(parts)))
    for number in range(len(parts)):
        while not futures[number].done():
            stop_point()
            ours = next((k for k in ahead if futures[k].cancel()), None)
            if ours is None:
                break
            futures[ours] = _done(fn, parts[ours])
        yield futures[number].result()


def _done(fn: Callable[..., Any], part: tuple[Any, ...]) -> Future[Any]:
    """Return what came of one part, done here: a result, or an error that is raised in its turn."""
    future: Future[Any] = Future()
    try:
        future.set_result(fn(*part))
    except Exception as error:
        future.set_exception(error)
    return future
