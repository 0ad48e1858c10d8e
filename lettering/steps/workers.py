"""What shares a step's work out over the machine's cores, when there is enough of it."""

import os
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from typing import Any

from threadpoolctl import threadpool_limits

THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
"""Where numerical libraries look, as they are loaded, for how many threads they may use."""


@contextmanager
def workers(parts: int) -> Iterator[Executor]:
    """Open a process for each core, each with one thread; for a single part of work, do it here.

    A process loads its libraries for longer than a page takes. Processes are spawned, for a fork would copy
    the threads and locks of numerical libraries. Threads of those libraries would wait for each other more
    than they work: letters are small problems.
    """
    if parts == 1:
        with threadpool_limits(1):
            yield _Here()
        return
    former = {name: os.environ.get(name) for name in THREADS}
    # A worker is spawned with the first work it is given, so the setting stands as long as they do.
    os.environ.update(dict.fromkeys(THREADS, "1"))
    try:
        with ProcessPoolExecutor(max_workers=os.cpu_count(), mp_context=get_context("spawn")) as pool:
            yield pool
    finally:
        for name, value in former.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value


class _Here(Executor):
    """Does what it is given at once, in this process."""

    def map(self, fn: Callable[..., Any], *iterables: Iterable[Any], **_: Any) -> Iterator[Any]:
        """Return the results one by one, each made when it is asked for."""
        return map(fn, *iterables)
