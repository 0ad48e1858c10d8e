"""The format of one page, and the frame that a page or a spread offers to lettering."""

from dataclasses import dataclass

from lettering.geometry.rect import Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class PageFormat:
    """One page after trimming, and the margins that protect what must be read; all in mm."""

    width_mm: float
    height_mm: float
    bleed_mm: float = 3.0
    """Art printed past the trim."""
    safe_mm: float = 8.0
    """Lettering and bubbles keep this far from the trim."""
    gutter_mm: float = 10.0
    """Lettering and bubbles keep this far from the fold, on each side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A page or a spread as lettering sees it: mm from its trimmed top left corner, y down."""

    trim: Rect
    fold_x: float | None
    """Where the two pages meet; none on a single page."""
    safe: Rect
    """Lettering and bubbles stay inside."""
    gutter: Rect | None
    """The strip on both sides of the fold that stays clear."""

    @property
    def pages(self) -> tuple[Rect, ...]:
        """The trimmed pages, left before right."""
        if self.fold_x is None:
            return (self.trim,)
        t = self.trim
        return (Rect(t.x0, t.y0, self.fold_x, t.y1), Rect(self.fold_x, t.y0, t.x1, t.y1))


def frame(page: PageFormat, pages: int) -> Frame:
    """Return the frame of one page, or of two facing pages."""
    trim = Rect(0.0, 0.0, page.width_mm * pages, page.height_mm)
    safe = trim.inset(page.safe_mm)
    if pages == 1:
        return Frame(trim=trim, fold_x=None, safe=safe, gutter=None)
    fold = page.width_mm
    gutter = Rect(fold - page.gutter_mm, trim.y0, fold + page.gutter_mm, trim.y1)
    return Frame(trim=trim, fold_x=fold, safe=safe, gutter=gutter)
