"""Processes that share out work."""

import os

import pytest

from lettering.steps.workers import THREADS, workers


def test_each_worker_has_one_thread_and_the_setting_goes_with_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """A worker reads one thread in its environment; afterwards this process has its own again."""
    monkeypatch.setenv(THREADS[0], "3")
    monkeypatch.delenv(THREADS[1], raising=False)

    with workers() as pool:
        told = list(pool.map(os.getenv, THREADS))

    assert told == ["1"] * len(THREADS)
    assert os.environ[THREADS[0]] == "3"
    assert THREADS[1] not in os.environ
