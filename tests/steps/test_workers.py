"""Processes that share out work."""

import os
import time
from multiprocessing import parent_process
from pathlib import Path

import numpy  # noqa: F401  its threads are what is held
import pytest
from threadpoolctl import threadpool_info

from lettering.steps.workers import THREADS, workers

PATIENCE_SECONDS = 60


def met(folder: Path, number: int) -> tuple[int, bool, set[str | None]]:
    """Wait until two processes have work here; return the number, whether this is a worker, its settings."""
    (folder / str(os.getpid())).touch()
    latest = time.monotonic() + PATIENCE_SECONDS
    while len(list(folder.iterdir())) < 2 and time.monotonic() < latest:
        time.sleep(0.01)
    return number, parent_process() is not None, {os.getenv(name) for name in THREADS}


def inverse(number: int) -> float:
    """Return one over the number; nothing is that of 0."""
    return 1 / number


def test_work_is_shared_by_a_process_of_one_thread_and_the_setting_goes_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One part is done here and one there; afterwards this process has its own setting again."""
    monkeypatch.setenv(THREADS[0], "3")
    monkeypatch.delenv(THREADS[1], raising=False)

    with workers(1, "os") as shares:
        told = list(shares(met, [tmp_path] * 2, range(2)))

    assert told == [(0, False, {"1"}), (1, True, {"1"})]
    assert os.environ[THREADS[0]] == "3"
    assert THREADS[1] not in os.environ


def test_results_come_in_order_as_far_as_the_first_that_fails() -> None:
    """Whoever does a part, its result stands at its place, and what it raises is raised there."""
    with workers(1, "os") as shares:
        results = shares(inverse, range(-20, 20))
        told = [next(results) for _ in range(20)]
        with pytest.raises(ZeroDivisionError):
            next(results)

    assert told == [1 / number for number in range(-20, 0)]


def test_a_little_work_is_done_here_in_one_thread() -> None:
    """Without others this process does it, its libraries held to one thread (by threadpoolctl)."""
    with workers(0, "os") as here:
        (told,) = here(lambda _: (os.getpid(), {one["num_threads"] for one in threadpool_info()}), [0])

    assert told == (os.getpid(), {1})
