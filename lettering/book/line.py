"""A line of dialogue: one thing that one character says."""

from dataclasses import dataclass
from typing import Literal

from lettering.geometry.point import Point

Voice = Literal["plain", "thought", "whisper", "shout", "caption", "sound"]
"""How a line is said. A caption is narration, a sound is a noise; neither has a speaker."""

VOICES: tuple[Voice, ...] = ("plain", "thought", "whisper", "shout")
"""The voices a speaker may have."""

Side = Literal["left", "right", "top", "bottom"]
"""A side of the spread that an unseen speaker stands beyond."""

SIDES: tuple[Side, ...] = ("left", "right", "top", "bottom")

Course = Literal["arc", "wave", "rising", "shrinking"]
"""How the row of a sound runs, when it does not run straight."""

COURSES: tuple[Course, ...] = ("arc", "wave", "rising", "shrinking")

CaptionFrame = Literal["soft", "straight", "none"]
"""What stands round a caption: a box with soft corners, one with straight ones, nothing."""

CAPTION_FRAMES: tuple[CaptionFrame, ...] = ("soft", "straight", "none")

Joint = Literal["neck", "touching"]
"""How a bubble meets the one before: by a neck, as one speaker's second; or lying against it, as a reply."""

JOINTS: tuple[Joint, ...] = ("neck", "touching")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of dialogue, caption or sound."""

    who: tuple[str, ...]
    """Keys of those who speak, together when several; empty for a caption or a sound."""
    says: str
    """The words as typed, emphasis between asterisks."""
    voice: Voice = "plain"
    off: Side | None = None
    """Where the speaker is, when outside the picture."""
    figure: int = 1
    """Which figure of the character speaks, counted from 1 in the order of the book file."""

    along: Course | tuple[Point, ...] | None = None
    """For a sound, how its row runs: by name, or through points, mm from the trimmed top left corner, y down;
    none for straight rows."""
    outline_mm: float = 0.0
    """For a sound, the weight of the line round its letters, which are then white inside, mm; 0 for none."""
    frame: CaptionFrame = "soft"
    """For a caption, what stands round it."""
    joint: Joint | None = None
    """How its bubble meets the bubble of the line before; none where they are apart."""

    @property
    def has_bubble(self) -> bool:
        """Whether the words stand in a bubble with a tail."""
        return bool(self.who)
