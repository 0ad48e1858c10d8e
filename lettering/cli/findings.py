"""Findings as a table for people, and the exit status they lead to."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lettering.steps.place import Finding


def report(findings: Sequence["Finding"], *, quiet: bool = False) -> int:
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
