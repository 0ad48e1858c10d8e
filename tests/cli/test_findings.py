"""Findings as people read them."""

import pytest

from lettering.checks.finding import Finding
from lettering.cli.findings import report


def test_names_of_checks_are_never_broken(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """However narrow the terminal, a code can be copied whole into the book file."""
    codes = ["no-clean-layout", "manuscript-speaker"]
    for columns in range(80, 130):
        monkeypatch.setenv("COLUMNS", str(columns))
        found = [
            Finding(
                code=code,
                severity="error",
                where="pages 4-5",
                message="A sentence that says at length what is wrong on this spread and what would mend it.",
                source="house default",
            )
            for code in codes
        ]

        assert report(found) == 1
        told = capsys.readouterr().out
        assert all(code in told for code in codes)
