"""Findings that the illustrator accepts: they are marked with the reason, never taken away."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lettering.book.accepted import Accepted
from lettering.book.book import pages_label
from lettering.checks.catalogue import CATALOGUE, WHOLE_BOOK, finding
from lettering.checks.finding import Finding
from lettering.errors import BookError, LetteringError, did_you_mean


def accept(findings: Sequence[Finding], accepted: Sequence[Accepted]) -> tuple[Finding, ...]:
    """Return the findings, those that are accepted marked with the reason.

    Raises BookError when an acceptance names no check.
    """
    if unknown := [one for one in accepted if one.code not in CATALOGUE]:
        raise BookError(
            LetteringError(f"no check is called '{one.code}'.", one.place, did_you_mean(one.code, CATALOGUE))
            for one in unknown
        )
    return tuple(_marked(found, accepted) for found in findings)


def check_accepted(findings: Sequence[Finding], accepted: Sequence[Accepted]) -> Iterator[Finding]:
    """Yield acceptances of what is not among the findings of the book."""
    for one in accepted:
        if not any(_covers(one, found) for found in findings):
            yield _unused(one)


def _marked(found: Finding, accepted: Sequence[Accepted]) -> Finding:
    of = next((one for one in accepted if _covers(one, found)), None)
    return replace(found, accepted=of.reason) if of else found


def _covers(accepted: Accepted, found: Finding) -> bool:
    if accepted.code != found.code:
        return False
    if accepted.pages is None:
        return True
    label = pages_label(accepted.pages)
    if accepted.line is None:
        return found.where == label or found.where.startswith(f"{label}, ")
    return found.where == f"{label}, line {accepted.line}"


def _unused(accepted: Accepted) -> Finding:
    where = WHOLE_BOOK
    if accepted.pages is not None:
        where = pages_label(accepted.pages) + (f", line {accepted.line}" if accepted.line else "")
    message = f"'{accepted.code}' is accepted ({accepted.reason}) and not found. Take it out."
    return finding("accept-unused", where, message, 0, 1)
