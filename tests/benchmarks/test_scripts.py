"""The benchmarks are plain scripts that anyone can start."""

import subprocess
import sys
from pathlib import Path

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"


def test_every_benchmark_can_be_started_as_a_script(tmp_path: Path) -> None:
    """From any folder each script finds what it imports, the tests' pages and spreads among it."""
    scripts = sorted(BENCHMARKS.glob("*.py"))
    load = "import runpy, sys\nfor script in sys.argv[1:]: runpy.run_path(script)"
    run = subprocess.run(
        [sys.executable, "-c", load, *map(str, scripts)],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )

    assert scripts
    assert run.returncode == 0, run.stderr
