"""Findings as a table for people, and the exit status they lead to."""

import shutil
import textwrap
from collections.abc import Iterator, Sequence
from typing import Protocol

from lettering.errors import counted

ORDER = {"error": 0, "warning": 1, "note": 2}
LEAST_WIDTH = 60
"""Columns for the sentence where the terminal is narrow."""


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

    @property
    def measured(self) -> float | None:
        """What was measured."""

    @property
    def wanted(self) -> float | None:
        """What should have been."""

    @property
    def unit(self) -> str:
        """Unit of both."""

    @property
    def accepted(self) -> str | None:
        """Why it stands, when the book file accepts it."""


def report(findings: Sequence[Finding], *, quiet: bool = False) -> int:
    """Print the findings, worst first and accepted ones last; return 1 when an open one is an error."""
    still = [finding for finding in findings if finding.accepted is None]
    accepted = [finding for finding in findings if finding.accepted is not None]
    errors = sum(finding.severity == "error" for finding in still)
    if not quiet:
        for row in _table(sorted(still, key=lambda f: ORDER[f.severity])):
            print(row)
        if accepted:
            print("accepted in the book file:")
            for row in _table(accepted):
                print(row)
        print(_summary(len(still), errors, len(accepted)))
    return 1 if errors else 0


def _table(findings: Sequence[Finding]) -> Iterator[str]:
    """Yield the rows of a table: severity, place, and the sentence with its figures, wrapped."""
    across = max((len(finding.where) for finding in findings), default=0)
    indent = len("warning ") + across + 2
    width = max(shutil.get_terminal_size((120, 24)).columns - indent, LEAST_WIDTH)
    for finding in findings:
        first, *rest = textwrap.wrap(_sentence(finding), width, break_on_hyphens=False)
        yield f"{finding.severity:<8}{finding.where:<{across}}  {first}"
        yield from (f"{'':{indent}}{row}" for row in rest)


def _sentence(finding: Finding) -> str:
    figures = ""
    if finding.measured is not None and finding.wanted is not None:
        unit = f" {finding.unit}" if finding.unit else ""
        figures = f"{finding.measured:g} for {finding.wanted:g}{unit}; "
    why = f" Accepted: {finding.accepted}" if finding.accepted else ""
    return f"{finding.message} [{finding.code}: {figures}{finding.source}]{why}"


def _summary(findings: int, errors: int, accepted: int) -> str:
    also = f" {accepted} accepted." if accepted else ""
    if not findings:
        return f"No findings.{also}"
    of_them = counted(errors, "error") if errors else "no errors"
    return f"{counted(findings, 'finding')}, {of_them}.{also}"
