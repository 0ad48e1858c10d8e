"""Where lines were before, and which of them answer to the lines that the book has now."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from lettering.book.book import Spread
from lettering.book.line import Line
from lettering.geometry.point import Point

LIKE = 0.5
"""Share of their letters that two wordings have in common, in order, to be one line edited."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormerLine:
    """Where one line was, and what it said then."""

    who: tuple[str, ...]
    """Keys of those who spoke; empty for a caption or a sound."""
    says: str
    """The words as they were typed."""
    rows: tuple[str, ...]
    """The words as they were broken."""
    position: Point
    """Where the stack's origin lay, mm."""
    tips: tuple[Point, ...] = ()
    """Where the tails ended, one for each speaker, mm."""
    x_height_mm: float
    held: bool = False
    """Whether the illustrator fixed it."""


@dataclass(frozen=True, slots=True)
class FormerSpread:
    """Where the lines of one spread were."""

    pages: tuple[int, ...]
    lines: tuple[FormerLine, ...]
    """In the order in which they were spoken."""


def match(lines: Sequence[Line], former: Sequence[FormerLine]) -> tuple[FormerLine | None, ...]:
    """Return for each of `lines` where it was before, or none when it is new.

    Lines are matched by speaker and words, never by number: first those that are the same, then those
    whose words were edited, most alike first, then what is left of each speaker in speaking order.
    Every former line answers to one line at most.
    """
    found: dict[int, int] = {}
    for alike in (_same, _edited, _same_speaker):
        found |= _pairs(lines, former, found, alike)
    return tuple(former[found[i]] if i in found else None for i in range(len(lines)))


def match_spreads(
    spreads: Sequence[Spread], former: Sequence[FormerSpread]
) -> tuple[FormerSpread | None, ...]:
    """Return for each of `spreads` the former spread that it was, or none when it is new.

    The one with most lines unchanged, wherever it stands in the book now; else the one on the same pages.
    """
    found = _best_first(_likeness(spreads, former))
    return tuple(former[found[i]] if i in found else None for i in range(len(spreads)))


def _pairs(
    lines: Sequence[Line],
    former: Sequence[FormerLine],
    found: dict[int, int],
    alike: Callable[[str, str], float],
) -> dict[int, int]:
    """Return the best pairs among the lines and former lines that are not in `found`."""
    taken = set(found.values())
    return _best_first(
        (alike(line.says, old.says), i, j)
        for i, line in enumerate(lines)
        for j, old in enumerate(former)
        if i not in found and j not in taken and line.who == old.who
    )


def _same(now: str, then: str) -> float:
    return float(now == then)


def _edited(now: str, then: str) -> float:
    alike = SequenceMatcher(None, now.casefold(), then.casefold(), autojunk=False).ratio()
    return alike if alike >= LIKE else 0.0


def _same_speaker(now: str, then: str) -> float:
    return 1.0


def _likeness(spreads: Sequence[Spread], former: Sequence[FormerSpread]) -> Iterable[tuple[float, int, int]]:
    """Yield for each pair of spreads that have something in common how much it is."""
    users = defaultdict(list)
    for j, old in enumerate(former):
        for line, count in Counter((line.who, line.says) for line in old.lines).items():
            users[line].append((j, count))
    pages = {old.pages: j for j, old in enumerate(former)}
    for i, spread in enumerate(spreads):
        common: dict[int, float] = defaultdict(float)
        for line, count in Counter((line.who, line.says) for line in spread.lines).items():
            for j, had in users[line]:
                common[j] += min(count, had)
        if spread.pages in pages:
            common[pages[spread.pages]] += 0.5
        yield from ((score, i, j) for j, score in common.items() if len(former[j].pages) == len(spread.pages))


def _best_first(scored: Iterable[tuple[float, int, int]]) -> dict[int, int]:
    """Return pairs (i, j), each used once, the highest score first and then in order; 0 is no pair."""
    found: dict[int, int] = {}
    taken: set[int] = set()
    for score, i, j in sorted(scored, key=lambda pair: (-pair[0], pair[1], pair[2])):
        if score > 0 and i not in found and j not in taken:
            found[i] = j
            taken.add(j)
    return found
