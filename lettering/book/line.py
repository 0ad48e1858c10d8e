"""A line of dialogue: one thing that one character says."""

from dataclasses import dataclass
from typing import Literal

Voice = Literal["plain", "thought", "whisper", "shout", "caption", "sound"]
"""How a line is said. A caption is narration, a sound is a noise; neither has a speaker."""

VOICES: tuple[Voice, ...] = ("plain", "thought", "whisper", "shout")
"""The voices a speaker may have."""

Side = Literal["left", "right", "top", "bottom"]
"""A side of the spread that an unseen speaker stands beyond."""

SIDES: tuple[Side, ...] = ("left", "right", "top", "bottom")


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

    @property
    def has_bubble(self) -> bool:
        """Whether the words stand in a bubble with a tail."""
        return bool(self.who)
