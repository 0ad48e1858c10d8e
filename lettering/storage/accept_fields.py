"""The findings that a book file accepts, each with its reason."""

from lettering.book.accepted import Accepted
from lettering.storage.fields import Problems, Record
from lettering.storage.spread_fields import pages_of
from lettering.storage.yaml_text import Items, Value


def read_accepted(value: Value, problems: Problems) -> tuple[Accepted, ...]:
    """Return the acceptances written in `value`, noting what is wrong with them."""
    if not isinstance(value, Items):
        hint = "Write '- {code: tangent, pages: 4-5, line: 2, reason: The wing may touch.}'."
        problems.add(value.where, "accept wants a list.", hint)
        return ()
    read = (_one(each, problems) for each in value.values)
    return tuple(accepted for accepted in read if accepted is not None)


def _one(value: Value, problems: Problems) -> Accepted | None:
    record = Record.of(
        value, "an accepted finding", problems, needs=("code", "reason"), allows=("pages", "line")
    )
    if record is None:
        return None
    code, reason, line = record.text("code"), record.text("reason"), record.whole("line")
    pages = pages_of(record) if record.get("pages") else None
    if line is not None and record.get("pages") is None:
        problems.add(record.where("line"), "a line is on a spread: give its pages too.")
    if code is None or reason is None:
        return None
    return Accepted(code=code, reason=reason, pages=pages, line=line, place=str(record.fields.where))
