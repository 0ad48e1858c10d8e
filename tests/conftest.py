"""Settings for every test: deterministic, one thread a process, no network.

Properties are also tried on other examples with `pytest -m hypothesis --hypothesis-profile wild`.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings

settings.register_profile("calm", derandomize=True, deadline=None, max_examples=40, database=None)
settings.register_profile("wild", derandomize=False, deadline=None, max_examples=800, database=None)
settings.load_profile("calm")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Tests of the page can be run over a slow line, which shows what they or the page do too soon."""
    parser.addoption("--slow-line", type=float, default=0.0, metavar="MS", help="let the table answer late")


LONGEST = (
    "tests/steps/test_demo.py",
    "tests/capture/test_read.py",
    "tests/table/test_whole_job.py",
    "tests/capture/test_any_paper.py",
    "tests/steps/test_place.py",
    "tests/capture/paper/",
    "tests/steps/",
    "tests/capture/",
)
"""What is begun first, so that no process is left alone with a long file at the end. The demo compiles
every loop, for whoever comes later, while the reading of pages beside it needs none of them."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Bring the tests of the longest files to the front; all others keep their order."""

    def turn(item: pytest.Item) -> int:
        return next((k for k, name in enumerate(LONGEST) if item.nodeid.startswith(name)), len(LONGEST))

    items.sort(key=turn)
