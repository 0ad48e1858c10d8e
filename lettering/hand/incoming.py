"""Letters on their way into a hand: those of new pages, and those that the hand had before."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from unicodedata import normalize

from lettering.geometry.outline import Outline
from lettering.geometry.rect import Rect
from lettering.hand.grid import gridded_all
from lettering.hand.hand import Hand
from lettering.hand.pages import at_one_size
from lettering.hand.take import Drawn, Source, Take


@dataclass(frozen=True, slots=True, eq=False)
class Letter:
    """A drawn letter on its way into the hand."""

    drawn: Drawn
    source: Source | None
    """Where it comes from, none when that is not known."""
    name: str | None
    """The name it had in the previous hand as a take that was used."""
    former: Take | None = None
    """What it was in the previous hand, if its page was not gathered anew."""
    called_back: bool = False
    """Whether she wants it however odd it looks."""

    @property
    def doubtful(self) -> bool:
        """Whether the reading was not sure of it and she did not say that it is right."""
        return self.drawn.doubt is not None and not self.called_back


def all_letters(drawn: Sequence[Drawn], previous: Hand | None) -> list[Letter]:
    """Return letters of the new pages, and of pages that only the previous hand knows, in a stable order."""
    takes = _every_take(previous) if previous else []
    known = {_origin(take.char, take.source): take for take in takes if take.source}
    pages = {letter.source.page for letter in drawn}
    old = [take for take in takes if take.source is None or take.source.page not in pages]
    letters = [
        Letter(letter, take.source, _used(take), take, take.called_back)
        for take, letter in zip(old, stood(old), strict=True)
    ]
    # On the grid before and after, so that what a page was before can be kept and gathered again just so.
    fresh = _gridded(at_one_size(_gridded(drawn), [letter.drawn for letter in letters]))
    for letter in fresh:
        clean = replace(letter, char=normalize("NFC", letter.char))
        if clean.outline.contours:
            was = known.get(_origin(clean.char, clean.source))
            wanted = clean.called_back or (was is not None and was.called_back)
            letters.append(Letter(clean, clean.source, _used(was) if was else None, called_back=wanted))
    return sorted(letters, key=_order)


def _gridded(drawn: Sequence[Drawn]) -> list[Drawn]:
    outlines = gridded_all([letter.outline for letter in drawn], [0.0] * len(drawn))
    return [replace(letter, outline=outline) for letter, outline in zip(drawn, outlines, strict=True)]


def drawn_of(hand: Hand) -> list[Drawn]:
    """Return all drawings of a hand as they stood in their rows, those that were set aside too."""
    return stood(_every_take(hand))


def _every_take(hand: Hand) -> list[Take]:
    return [take for group in (*hand.takes.values(), *hand.aside.values()) for take in group]


def stood(takes: Sequence[Take]) -> list[Drawn]:
    """Return takes as they stood in their rows."""
    outlines = gridded_all([take.outline for take in takes], [start_of(take.source) for take in takes])
    return [
        _drawn_again(take, outline, i) for i, (take, outline) in enumerate(zip(takes, outlines, strict=True))
    ]


def _used(take: Take) -> str | None:
    return None if take.aside else take.name


def start_of(source: Source | None) -> float:
    """Return where a letter's own x = 0 stood in its row, font units; 0 when that is not known."""
    return source.start or 0.0 if source else 0.0


def _drawn_again(take: Take, outline: Outline, index: int) -> Drawn:
    """Return a take as it stood in its row; alone in a row of its own when that is not known."""
    source = take.source
    if source is None or source.start is None:
        source = Source(page="", row=index, place=0, box=Rect(0, 0, 0, 0), confidence=1.0, start=0.0)
    return Drawn(
        char=take.char,
        outline=outline,
        row=source.row,
        place=source.place,
        source=source,
        picture=take.picture or b"",
        as_drawn=take.as_drawn,
        called_back=take.called_back,
        doubt=take.aside if take.doubtful else None,
    )


def _origin(char: str, source: Source) -> tuple[str, str, int, int]:
    return char, source.page, source.row, source.place


def _order(letter: Letter) -> tuple[str, str, int, int]:
    return _origin(letter.drawn.char, letter.drawn.source)


def by_char(letters: Sequence[Letter]) -> dict[str, list[Letter]]:
    """Return letters by the character that they draw, in their order."""
    groups: dict[str, list[Letter]] = defaultdict(list)
    for letter in letters:
        groups[letter.drawn.char].append(letter)
    return groups
