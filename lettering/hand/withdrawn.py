"""A page taken out of a hand: it is gathered again from its other pages, as if that one had never been."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from lettering.hand.gathered import gathering
from lettering.hand.hand import GatheredPage, Hand
from lettering.hand.incoming import drawn_of
from lettering.hand.take import Drawn

Batch = tuple[GatheredPage, ...]


def without_page(hand: Hand, page: str) -> Hand:
    """Return the hand without what came from a page, of which it has some and others have more.

    A hand that is what gathering made of its pages is gathered anew from those that are left, in their order,
    and equals one that never knew the page. Where she changed it since, by calling drawings back or by hand,
    what is left keeps its names and outlines, and only spacing and measures are learnt anew.
    """
    letters = _as_drawn(drawn_of(hand))
    if _gathered(letters, hand.pages, hand.name) == hand:
        left = (tuple(p for p in batch if p.name != page) for batch in hand.pages)
        if again := _gathered(letters, [batch for batch in left if batch], hand.name):
            return again
    takes, aside = (_without(group, page) for group in (hand.takes, hand.aside))
    return gathering(
        [], name=hand.name, mm_per_unit=hand.mm_per_unit, previous=replace(hand, takes=takes, aside=aside)
    ).hand


def with_pages(hand: Hand, pages: Iterable[GatheredPage]) -> Hand:
    """Return the hand with pages gathered at once as the last of its pages; those it knows stay in place."""
    known = {page.name for batch in hand.pages for page in batch}
    fresh = tuple(page for page in pages if page.name not in known)
    return replace(hand, pages=(*hand.pages, fresh)) if fresh else hand


def size_on_paper(pages: Iterable[GatheredPage]) -> float | None:
    """Return the mean size, mm to a font unit, over the pages that know theirs; none when none does."""
    known = [page.mm_per_unit for page in pages if page.mm_per_unit]
    return sum(known) / len(known) if known else None


def _gathered(letters: Mapping[str, Sequence[Drawn]], pages: Iterable[Batch], name: str) -> Hand | None:
    """Return the hand that letters of pages give, gathered in their order; none when there are no letters."""
    made: Hand | None = None
    for batch in pages:
        drawn = [letter for page in batch for letter in letters.get(page.name, ())]
        if drawn:
            made = gathering(drawn, name=name, mm_per_unit=size_on_paper(batch), previous=made).hand
            made = with_pages(made, batch)
    return made


def _as_drawn(drawn: Iterable[Drawn]) -> dict[str, list[Drawn]]:
    """Return letters by their page, just as they were traced."""
    pages: dict[str, list[Drawn]] = defaultdict(list)
    for letter in drawn:
        before, source = letter.as_drawn, replace(letter.source, start=None)
        if before is not None:
            source = replace(source, units_per_px=before.units_per_px)
            letter = replace(letter, outline=before.outline, as_drawn=None)  # noqa: PLW2901
        pages[source.page].append(replace(letter, source=source))
    return pages


def _without(group: Mapping[str, tuple], page: str) -> dict[str, tuple]:  # type: ignore[type-arg]
    kept = {
        char: tuple(take for take in takes if not take.source or take.source.page != page)
        for char, takes in group.items()
    }
    return {char: takes for char, takes in kept.items() if takes}
