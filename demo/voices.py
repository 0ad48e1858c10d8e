"""A picture sheet: every voice, every way of a sound, emphasis and accents, in two hands.

Run from the project's root: python -m demo.voices [--out voices.png] [--ppi 110]

The hands are the demo's and one made of an open typeface. What is drawn is what a book would print.
"""

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from lettering.book.line import Line
from lettering.bubbles.air import air_mm, line_mm
from lettering.bubbles.body import CALM, body
from lettering.bubbles.bubble import Bubble
from lettering.bubbles.join import bubble, lined
from lettering.bubbles.joined import LAP_X_HEIGHTS, NECK_X_HEIGHTS, beside, necked
from lettering.bubbles.tail import tail
from lettering.drawing import BLACK, WHITE, Drawing, Group, Layer, Painted
from lettering.export.png import png
from lettering.geometry.path import Path as Outlines
from lettering.geometry.point import Point, Vector
from lettering.geometry.rect import Rect
from lettering.hand.hand import Hand
from lettering.setting.forms import forms_of
from lettering.setting.reading_age import band_for
from lettering.setting.stack import Stack
from lettering.setting.stacks import flat_height, stacks
from lettering.setting.stand_ins import missing
from lettering.storage.ufo import read_hand
from tests.typeface_hand import typeface_hand

X_HEIGHT = 4.2
BAND = band_for((5, 5))
COLUMN, ROW = 112.0, 66.0
"""Room of one picture on the sheet, mm."""
COLUMNS = 5
SOUND_WAY = (Point(-34, 6), Point(-12, -10), Point(12, 8), Point(34, -6))

LINES = (
    Line(who=("a",), says="Who left a cello in the compost?"),
    Line(who=("a",), says="Please let it be cheese.", voice="thought"),
    Line(who=("a",), says="Shh. I think it's shy.", voice="whisper"),
    Line(who=("a",), says="It's the moon! And it's *not* cake!", voice="shout"),
    Line(who=("a", "b"), says="One, two, three, *up*!"),
    Line(who=(), says="So they fetched the biggest blanket.", voice="caption"),
    Line(who=(), says="Meanwhile, next door", voice="caption", frame="straight"),
    Line(who=(), says="Nobody answered.", voice="caption", frame="none"),
    Line(who=("a",), says="I never ordered anything *round*, and *never* a moon."),
    Line(who=("a",), says='"No," he said. "Not me?!" Gr-r-r… illegible fluff.'),
    Line(who=(), says="KERSPLASH!", voice="sound", along="arc"),
    Line(who=(), says="wobble wobble", voice="sound", along="wave"),
    Line(who=(), says="WHOOOSH", voice="sound", along="rising", outline_mm=0.8),
    Line(who=(), says="plip plop plip", voice="sound", along="shrinking"),
    Line(who=(), says="CRASH!", voice="sound", along=SOUND_WAY, outline_mm=1.0),
    Line(who=("a",), says="Où ça? Même Zoë dîne à Noël."),
    Line(who=("a",), says="No."),
)


@dataclass(frozen=True, slots=True)
class Pen:
    """A hand at the sheet's size."""

    hand: Hand

    @property
    def line_mm(self) -> float:
        """Width of its bubbles' line."""
        return line_mm(self.hand.metrics.stem * X_HEIGHT / flat_height(self.hand))

    def stack(self, line: Line) -> Stack:
        """Return the best stack of a line."""
        return stacks(line, self.hand, x_height_mm=X_HEIGHT, language="en", band=BAND)[0]

    def bubble(self, line: Line, stack: Stack, calm: float = CALM) -> Bubble | None:
        """Return the bubble of a stack, its speakers below."""
        if line.voice == "sound" or line.frame == "none":
            return None
        boxes = [glyph.ink for glyph in stack.glyphs]
        seed = line.says
        around = body(
            boxes, air_mm=air_mm(X_HEIGHT), voice=line.voice, frame=line.frame, seed=seed, calm=calm
        )
        tails = [
            tail(around, target=mouth, x_height_mm=X_HEIGHT, line_mm=self.line_mm, voice=line.voice)
            for mouth in mouths(len(line.who), around.bounds)
        ]
        life = forms_of(self.hand).life
        return bubble(around, tails, line_mm=self.line_mm, voice=line.voice, life=life, seed=seed)


def mouths(speakers: int, box: Rect) -> list[Point]:
    """Return where the mouths of so many speakers are, below a body and to the left, or on both sides."""
    xs = [box.centre.x - 14 + 28 * i for i in range(speakers)]
    return [Point(x, box.y1 + 25) for x in xs]


def painted(stack: Stack, around: Bubble | None) -> Iterator[Painted]:
    """Yield a line's bubble and letters."""
    if around is not None:
        yield Painted(
            path=Outlines(around.inked) if around.inked else around.outline,
            fill=WHITE,
            stroke=BLACK,
            stroke_mm=around.pen_mm or around.line_mm,
            stroke_dash_mm=around.dash_mm,
        )
    open_ = stack.outline_mm
    for glyph in stack.glyphs:
        yield Painted(
            path=glyph.path,
            fill=WHITE if open_ else BLACK,
            stroke=BLACK if open_ else None,
            stroke_mm=open_,
        )


def pictures(pen: Pen) -> Iterator[tuple[Painted, ...]]:
    """Yield every picture of the sheet about its own middle."""
    for line in LINES:
        if not missing(line.says.replace("*", ""), pen.hand):
            stack = pen.stack(line)
            yield tuple(painted(stack, pen.bubble(line, stack)))
    yield meeting(pen, "Wait. I know.", "It was somebody small.", neck=True)
    yield meeting(pen, "Not me!", "I never said it was you.", neck=False)
    says = Line(who=("a",), says="We looked in the big shed, but the trombone was not there.")
    for calm in (0.0, 1.0):
        stack = pen.stack(says)
        yield tuple(painted(stack, pen.bubble(says, stack, calm)))


def meeting(pen: Pen, first: str, second: str, *, neck: bool) -> tuple[Painted, ...]:
    """Return two bubbles that meet."""
    lines = (Line(who=(), says=first), Line(who=("a",), says=second))
    sets = [pen.stack(line) for line in lines]
    one, two = (pen.bubble(line, stack) for line, stack in zip(lines, sets, strict=True))
    assert one is not None
    assert two is not None
    gap = (NECK_X_HEIGHTS if neck else -LAP_X_HEIGHTS) * X_HEIGHT
    step = beside(one.body, two.body, Vector(0.5, 1.0), gap_mm=gap)
    stack = sets[1].moved(step)
    low = pen.bubble(lines[1], stack)
    assert low is not None
    if neck:
        outline = necked([one.body, low.body], low.tails, x_height_mm=X_HEIGHT)
        life = forms_of(pen.hand).life
        low = lined(low.body, low.tails, outline, line_mm=pen.line_mm, voice="plain", life=life, seed=first)
    shown = (*painted(sets[0], one), *painted(stack, low), *painted(sets[0], None))
    return tuple(item.moved(step * -0.5) for item in shown)


def sheet(hands: list[Hand]) -> Drawing:
    """Return the sheet: a block of pictures for each hand."""
    items: list[Painted] = []
    top = 0.0
    for hand in hands:
        every = list(pictures(Pen(hand)))
        for i, picture in enumerate(every):
            at = Vector(COLUMN * (i % COLUMNS + 0.5), top + ROW * (i // COLUMNS + 0.45))
            items += [item.moved(at) for item in picture]
        top += ROW * -(-len(every) // COLUMNS)
    group = Group(id="voices-1", title="Voices", items=tuple(items))
    return Drawing(
        title="Voices",
        description="Every voice and every way of a sound.",
        language="en",
        trim=Rect(0.0, 0.0, COLUMN * COLUMNS, top),
        bleed_mm=0.0,
        layers=(Layer(id="voices", title="Voices", groups=(group,)),),
    )


def main() -> None:
    """Write the sheet as the command line asks."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--out", type=Path, default=Path("voices.png"))
    parser.add_argument("--ppi", type=int, default=110)
    given = parser.parse_args()
    hands = [read_hand(Path("glyph_sets/demo.ufo")), typeface_hand("patrick-hand")]
    given.out.write_bytes(png(sheet(hands), given.ppi))


if __name__ == "__main__":
    main()
