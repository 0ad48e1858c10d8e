"""The weights of placing that a book file gives, by name."""

from lettering.placing.weights import MOST, NAMES
from lettering.storage.fields import Problems, Record
from lettering.storage.yaml_text import Value


def read_weights(value: Value, problems: Problems) -> tuple[tuple[str, float], ...]:
    """Return names and prices written in `value`, noting what is wrong with them."""
    record = Record.of(value, "placing", problems, allows=NAMES)
    if record is None:
        return ()
    given = ((name, record.number(name, most=MOST)) for name in record.fields.values if name in NAMES)
    return tuple((name, price) for name, price in given if price is not None)
