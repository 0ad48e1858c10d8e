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
