"""What a check found."""

from dataclasses import dataclass
from typing import Literal

Severity = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A rule of the trade applied to one place of a book, and broken there."""

    code: str
    """Stable name of the check: `size`, `gutter`."""
    severity: Severity
    where: str
    """'pages 4-5, line 1'."""
    message: str
    """What is wrong and what to do, in a sentence."""
    measured: float | None = None
    wanted: float | None = None
    unit: str = ""
    """Unit of the two values: 'mm', 'ratio', 'degrees'."""
    source: str = "house default"
    """Published table or standard that the wanted value comes from, or 'house default'."""
    accepted: str | None = None
    """Why the illustrator lets it stand; none for a finding that is open."""

    @property
    def is_fault(self) -> bool:
        """Whether it is an error that nobody has accepted."""
        return self.severity == "error" and self.accepted is None
