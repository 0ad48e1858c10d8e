"""The demo's scripts stand beside each other and import one another by name."""

from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "demo"


@pytest.fixture
def demo(monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the demo's folder, its scripts importable."""
    monkeypatch.syspath_prepend(str(DEMO))
    return DEMO
