"""A rectangle of whole pixels."""

from collections.abc import Iterable
from dataclasses import dataclass

from lettering.geometry.rect import Rect


@dataclass(frozen=True, slots=True)
class Box:
    """The pixels of rows top..bottom - 1 and columns left..right - 1."""

    top: int
    left: int
    bottom: int
    right: int

    @classmethod
    def around(cls, boxes: Iterable["Box"]) -> "Box":
        """Return the least box that holds all of `boxes`, of which there is at least one."""
        held = tuple(boxes)
        return cls(
            min(b.top for b in held),
            min(b.left for b in held),
            max(b.bottom for b in held),
            max(b.right for b in held),
        )

    @property
    def width(self) -> int:
        """Columns."""
        return self.right - self.left

    @property
    def height(self) -> int:
        """Rows."""
        return self.bottom - self.top

    @property
    def slices(self) -> tuple[slice, slice]:
        """The index of these pixels in the page."""
        return slice(self.top, self.bottom), slice(self.left, self.right)

    @property
    def rect(self) -> Rect:
        """The same rectangle in page px."""
        return Rect(self.left, self.top, self.right, self.bottom)

    def grown(self, margin: int, page: tuple[int, ...]) -> "Box":
        """Return the box with `margin` px more on every side, kept inside a page of that shape."""
        return Box(
            max(0, self.top - margin),
            max(0, self.left - margin),
            min(page[0], self.bottom + margin),
            min(page[1], self.right + margin),
        )
