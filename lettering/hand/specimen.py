"""One page that shows a hand: its letters with their takes, and words at the sizes that readers need."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from lettering.drawing import Colour, Drawing, Group, Layer, Painted
from lettering.geometry.contour import Contour
from lettering.geometry.outline import on_page
from lettering.geometry.path import Path
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.hand.alternation import choose_takes
from lettering.hand.hand import Hand
from lettering.hand.take import Take

WIDTH = 210.0
"""A4, mm; the page is as long as the hand needs, at least A4."""
LEAST_HEIGHT = 297.0
MARGIN = 18.0
INK = Colour(32, 30, 28)
FURTHER = Colour(158, 150, 140)
"""Takes after the first, and guides."""
ACCENT = Colour(196, 84, 48)
"""The measure beside each size."""
TITLE_MM, LETTER_MM = 9.0, 5.0
"""x-heights of the title and of the alphabet, mm."""
BESIDE_MM = 0.8
"""Added between takes of one character, so that they do not join."""
MOST_SHOWN = 6
"""Takes of one character on the page; the contact sheet has all."""
OFTEN = ("To", "We", "Yo", "Te", "Av", "Wa", "Ty", "Fo", "Pa", "Va", "Ve", "Ta", "Tr", "Wo", "Ya", "LT")
"""Pairs that are kerned in most typefaces, shown first (common practice, no source)."""
SENTENCES = (
    "The moon came up over the garden like a quiet yellow button.",
    "Just before bedtime Mole dug six more tunnels, and lost the key.",
    "“Who left a cello in the compost?” Wren asked. Nobody answered!",
    "A very kind snail hums a fizzing jig with the queen.",
)
"""Our own words, with every letter of the English alphabet among them."""


def specimen(hand: Hand, sizes_mm: Sequence[float]) -> Drawing:
    """Return one page with all characters, up to six takes each, and sentences at `sizes_mm` (x-heights).

    Nothing on it is live text: labels are lettered in the hand, sizes shown by a bar as high as the x-height.
    """
    page = _Page(hand, MARGIN)
    page.add_row("title", hand.name, TITLE_MM, MARGIN)
    for number, chars in enumerate(_kinds(hand)):
        page.add_takes(f"letters-{number + 1}", chars)
    page.add_kerning()
    for number, size in enumerate(sorted(sizes_mm, reverse=True)):
        page.add_size(f"size-{number + 1}", SENTENCES[number % len(SENTENCES)], size)
    return Drawing(
        title=f"The hand {hand.name}",
        description=f"Every character of the hand {hand.name} with its takes, and words at reading sizes.",
        language="en",
        trim=Rect(0, 0, WIDTH, max(LEAST_HEIGHT, page.y + MARGIN)),
        bleed_mm=0.0,
        layers=(Layer(id="specimen", title="Specimen", groups=tuple(page.groups)),),
    )


def lettered_row(text: str, hand: Hand, origin: Point, x_height_mm: float) -> Iterator[Painted]:
    """Yield the letters of `text` in the hand from `origin` on its baseline; what it lacks is left out."""
    unit = x_height_mm / hand.metrics.x_height
    for take, x in _set(text, hand):
        path = on_page(take.outline, origin=Point(origin.x + x * unit, origin.y), mm_per_unit=unit)
        yield Painted(path=path, fill=INK, char=take.char)


def _set(text: str, hand: Hand) -> Iterator[tuple[Take, float]]:
    """Yield each take with where it begins, font units."""
    pen, before = 0.0, ""
    for char, take in zip(text, choose_takes(text, hand), strict=True):
        if char.isspace():
            pen += hand.metrics.word_space
        elif take is not None:
            pen += hand.kerning.get((before, char), 0.0)
            yield take, pen
            pen += take.advance
        before = char


def _kinds(hand: Hand) -> Iterator[list[str]]:
    """Yield lower case, capitals, figures and marks, as far as the hand has them."""
    kinds = (str.islower, str.isupper, str.isdigit, lambda char: not char.isalnum())
    for kind in kinds:
        if chars := [char for char in sorted(hand.takes) if kind(char)]:
            yield chars


@dataclass(slots=True)
class _Page:
    """The page as it fills from the top."""

    hand: Hand
    y: float
    """How far it is filled, mm from the top."""
    groups: list[Group] = field(default_factory=list)

    def add_row(self, name: str, text: str, x_height_mm: float, x: float) -> None:
        """Letter one row."""
        unit = x_height_mm / self.hand.metrics.x_height
        baseline = self.y + self.hand.metrics.ascender * unit
        self._add(name, text, list(lettered_row(text, self.hand, Point(x, baseline), x_height_mm)))
        self.y = baseline - self.hand.metrics.descender * unit + 0.6 * x_height_mm

    def add_takes(self, name: str, chars: Sequence[str]) -> None:
        """Show characters side by side, each with its takes, in as many rows as they need."""
        metrics, unit = self.hand.metrics, LETTER_MM / self.hand.metrics.x_height
        x, pitch = MARGIN, (metrics.ascender - metrics.descender) * unit + 2.0
        baseline, items = self.y + metrics.ascender * unit, []
        for char in chars:
            takes = self.hand.takes[char][:MOST_SHOWN]
            width = sum(take.advance * unit + BESIDE_MM for take in takes)
            if x + width > WIDTH - MARGIN:
                x, baseline = MARGIN, baseline + pitch
            for number, take in enumerate(takes):
                path = on_page(take.outline, origin=Point(x, baseline), mm_per_unit=unit)
                items.append(Painted(path=path, fill=FURTHER if number else INK, char=char))
                x += take.advance * unit + BESIDE_MM
            x += LETTER_MM
        self._add(name, " ".join(chars), items)
        self.y = baseline - metrics.descender * unit + LETTER_MM

    def add_kerning(self) -> None:
        """Show the pairs that are kerned most: pale without kerning, dark with it."""
        hand, unit = self.hand, LETTER_MM / self.hand.metrics.x_height
        by_most = sorted(
            hand.kerning.items(), key=lambda item: ("".join(item[0]) not in OFTEN, -abs(item[1]), item[0])
        )
        shown = [
            (pair, by) for pair, by in by_most if "".join(pair).isalnum() and not hand.lacks("".join(pair))
        ]
        baseline, x, items = self.y + hand.metrics.ascender * unit, MARGIN, []
        for (first, second), by in shown:
            a, b = hand.takes[first][0], hand.takes[second][0]
            width = (a.advance + b.advance) * unit
            if x + 2 * width + 2.5 * LETTER_MM > WIDTH - MARGIN:
                break
            for colour, apart in ((FURTHER, 0.0), (INK, by)):
                for take, start in ((a, 0.0), (b, a.advance + apart)):
                    path = on_page(take.outline, origin=Point(x + start * unit, baseline), mm_per_unit=unit)
                    items.append(Painted(path=path, fill=colour, char=take.char))
                x += width + BESIDE_MM
            x += LETTER_MM
        if items:
            self._add("kerning", "Kerned pairs, without and with kerning", items)
            self.y = baseline - hand.metrics.descender * unit + LETTER_MM

    def add_size(self, name: str, text: str, size_mm: float) -> None:
        """Letter a sentence at one size, with a bar as high as the x-height and the size beside it."""
        unit = size_mm / self.hand.metrics.x_height
        baseline = self.y + self.hand.metrics.ascender * unit
        bar = Contour.rectangle(Rect(MARGIN, baseline - size_mm, MARGIN + 0.8, baseline))
        label = lettered_row(f"{size_mm:g} mm", self.hand, Point(MARGIN + 2.2, baseline), 1.6)
        start = MARGIN + 16.0
        words = _fitting(text, self.hand, (WIDTH - MARGIN - start) / unit)
        items = [Painted(path=Path((bar,)), fill=ACCENT), *(replace(item, fill=ACCENT) for item in label)]
        self._add(name, words, [*items, *lettered_row(words, self.hand, Point(start, baseline), size_mm)])
        self.y = baseline - self.hand.metrics.descender * unit + 0.5 * size_mm

    def _add(self, name: str, title: str, items: Sequence[Painted]) -> None:
        self.groups.append(Group(id=name, title=title, items=tuple(items)))


def _fitting(text: str, hand: Hand, width: float) -> str:
    """Return as many words of `text` as fit into `width` font units, without those the hand cannot letter."""
    words = [word for word in text.split(" ") if not hand.lacks(word)]
    while len(words) > 1 and max((x + t.advance for t, x in _set(" ".join(words), hand)), default=0) > width:
        words.pop()
    return " ".join(words)
