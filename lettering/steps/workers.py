"""Processes that share a step's work out over the machine's cores."""

import os
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context

THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
"""Where numerical libraries look, as they are loaded, for how many threads they may use."""


@contextmanager
def workers() -> Iterator[Executor]:
    """Open a process for each core, each with one thread.

    Processes are spawned, for a fork would copy the threads and locks of numerical libraries. Threads of
    those libraries would wait for each other more than they work: letters are small problems.
    """
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
