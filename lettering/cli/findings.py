"""Findings as a table for people, and the exit status they lead to."""

from collections.abc import Sequence
from typing import Protocol


class Finding(Protocol):
    """What is said of a finding."""

    @property
    def code(self) -> str:
        """Name of the check."""

    @property
    def severity(self) -> str:
        """error, warning or note."""

    @property
    def where(self) -> str:
        """Spread and line."""

    @property
    def message(self) -> str:
        """What is wrong, in a sentence."""

    @property
    def source(self) -> str:
        """Where the wanted value comes from."""


def report(findings: Sequence[Finding], *, quiet: bool = False) -> int:
    """Print the findings, worst first, and return 1 when one of them is an error, else 0."""
    errors = sum(finding.severity == "error" for finding in findings)
    if not quiet:
        order = {"error": 0, "warning": 1, "note": 2}
        for finding in sorted(findings, key=lambda f: order[f.severity]):
            print(
                f"{finding.severity:<8}{finding.where}: {finding.message} [{finding.code}; {finding.source}]"
            )
        print(_summary(len(findings), errors))
    return 1 if errors else 0


def _summary(findings: int, errors: int) -> str:
    if not findings:
        return "No findings."
    return f"{findings} finding{'s' * (findings != 1)}, {errors or 'no'} error{'s' * (errors != 1)}."
