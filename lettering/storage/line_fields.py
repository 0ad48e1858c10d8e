"""What one line of the book file says, and how: a line of dialogue, a caption or a sound."""

from lettering.book.line import (
    CAPTION_FRAMES,
    COURSES,
    JOINTS,
    SIDES,
    VOICES,
    CaptionFrame,
    Course,
    Line,
)
from lettering.geometry.point import Point
from lettering.storage.fields import Problems, Record, point, words
from lettering.storage.yaml_text import Fields, Items, Value

UNSPOKEN = ("caption", "sound")
"""What stands in the place of a speaker."""
MOST_POINTS = 64
"""Points of a sound's way; a hand needs a few."""


def spoken(who: tuple[str, ...], said: Value, problems: Problems) -> Line | None:
    """Return what `who` say, noting what is wrong; none when nothing is said."""
    name = " + ".join(who)
    if not isinstance(said, Fields):
        says = words(said, f"what {name} says", problems)
        return Line(who=who, says=says) if says else None
    record = Record.of(
        said, f"a line of {name}", problems, needs=("says",), allows=("voice", "off", "from", "joint")
    )
    if record is None:
        return None
    says, figure = record.text("says"), record.whole("from")
    voice, off = record.choice("voice", VOICES), record.choice("off", SIDES)
    joint = record.choice("joint", JOINTS)
    if figure is not None and len(who) > 1:
        problems.add(record.where("from"), "'from' chooses a figure of one speaker; here are several.")
    if figure is not None and off is not None:
        problems.add(record.where("from"), "a speaker who is off the picture has no figure to speak from.")
    if says is None:
        return None
    return Line(
        who=who,
        says=says,
        voice=next((known for known in VOICES if known == voice), "plain"),
        off=next((known for known in SIDES if known == off), None),
        figure=figure or 1,
        joint=next((known for known in JOINTS if known == joint), None),
    )


def unspoken(said: Value, kind: str, problems: Problems) -> Line | None:
    """Return a caption or a sound, noting what is wrong; none when it has no words."""
    if not isinstance(said, Fields):
        says = words(said, f"the {kind}", problems)
        return _plain(says, kind) if says else None
    allows = ("frame",) if kind == "caption" else ("along", "outline")
    record = Record.of(said, f"a {kind}", problems, needs=("says",), allows=allows)
    says = record.text("says") if record else None
    if record is None or says is None:
        return None
    if kind == "caption":
        frame = record.choice("frame", CAPTION_FRAMES)
        kept: CaptionFrame = next((known for known in CAPTION_FRAMES if known == frame), "soft")
        return Line(who=(), says=says, voice="caption", frame=kept)
    outline = record.length_mm("outline", positive=False)
    return Line(who=(), says=says, voice="sound", along=_along(record), outline_mm=outline or 0.0)


def _plain(says: str, kind: str) -> Line:
    return Line(who=(), says=says, voice="caption" if kind == "caption" else "sound")


def _along(record: Record) -> Course | tuple[Point, ...] | None:
    """Return how a sound's row runs: the name of a course, or the points it goes through."""
    value = record.get("along")
    if value is None:
        return None
    if not isinstance(value, Items):
        course = record.choice("along", COURSES)
        return next((known for known in COURSES if known == course), None)
    if not 2 <= len(value.values) <= MOST_POINTS:
        hint = "Write them like [[20, 60], [60, 40], [110, 55]]."
        record.problems.add(value.where, f"a sound's way wants 2 to {MOST_POINTS} points.", hint)
        return None
    points = [point(each, "a point of 'along'", record.problems) for each in value.values]
    known = tuple(p for p in points if p is not None)
    if len(known) < len(points):
        return None
    if len(set(known)) < len(known):
        record.problems.add(value.where, "a sound's way goes through one point twice.")
        return None
    return known
