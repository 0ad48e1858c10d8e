"""Processes that share out work."""

import os

import numpy  # noqa: F401  its threads are what is held
import pytest
from threadpoolctl import threadpool_info

from lettering.steps.workers import THREADS, workers


def test_each_worker_has_one_thread_and_the_setting_goes_with_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """A worker reads one thread in its environment; afterwards this process has its own again."""
    monkeypatch.setenv(THREADS[0], "3")
    monkeypatch.delenv(THREADS[1], raising=False)

    with workers(2) as pool:
        told = list(pool.map(os.getenv, THREADS))

    assert told == ["1"] * len(THREADS)
    assert os.environ[THREADS[0]] == "3"
    assert THREADS[1] not in os.environ


def test_a_single_part_is_done_here_in_one_thread() -> None:
    """One page is worked on in this process, its libraries held to one thread (by threadpoolctl)."""
    with workers(1) as here:
        (told,) = here.map(lambda _: (os.getpid(), {one["num_threads"] for one in threadpool_info()}), [0])

    assert told == (os.getpid(), {1})
