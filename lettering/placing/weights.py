"""What good means: the price of everything a layout may do less than well. A book file may change each."""

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """Prices, all >= 0 (house defaults); 1 is what ten needless millimetres to the speaker cost."""

    reach: float = 0.8
    """For each 10 mm from body to mouth beyond a comfortable way, the more so the longer: bubbles stand near
    their speakers."""
    stub: float = 0.4
    """For each mm that a tail is too short to be seen."""
    short: float = 0.2
    """For each mm that a tail lacks to half of its way, or to a length that points."""
    below: float = 0.8
    """For each 10 mm that a bubble lies lower than a little above its speaker's mouth: speech rises."""
    bend: float = 1.5
    """For each radian that a tail turns."""
    across: float = 0.6
    """For each 10 mm of tail drawn over its own speaker."""
    fold: float = 8.0
    """For a tail that crosses the fold."""
    misread: float = 6.0
    """For a tail that ends on another character, fading to nothing as far away as its own speaker is."""
    hides: float = 8.0
    """For a tail that crosses a place to keep clear."""
    high: float = 7.0
    """For a bubble at the foot of the page instead of its head; not for a caption that ends the spread."""
    busy: float = 9.0
    """For a bubble on the busiest art instead of quiet art."""
    edge: float = 1.0
    """For a bubble hard against the safe margin."""
    tangent: float = 3.0
    """For an outline that nearly touches a figure, a place to keep clear or another outline."""
    crowded: float = 1.5
    """For two bubbles with barely air between them, fading to nothing at a comfortable distance."""
    step: float = 0.25
    """For each 10 mm the eye travels from a bubble to the next on the page."""
    backward: float = 0.35
    """For each 10 mm the eye travels back to the left, and for each 10 mm it climbs."""
    doubtful: float = 5.0
    """For a bubble lower than one spoken before, but level with part of it and mostly to its left."""
    askew: float = 0.3
    """For two neighbours almost in line but not quite."""
    enter: float = 1.5
    """For a first bubble that is not at the head and left of its page."""
    leave: float = 0.6
    """For a last bubble on a right-hand page that is not at the foot and right, where the page is turned."""
    stack: float = 0.3
    """For each unit of what the stack costs by its breaking and shape."""
    moved: float = 1.0
    """For each 10 mm from the former place, up to 60 mm."""
    restacked: float = 0.2
    """For other rows than before."""


HOUSE = Weights()

NAMES = tuple(field.name for field in fields(Weights))
"""What the weights are called."""

MOST = 1000.0
"""No weight is greater: breaking a hard rule must stay dearer than anything that is merely less than well."""


def weighted(given: Iterable[tuple[str, float]]) -> Weights:
    """Return the house's weights but for those `given`, each a name of `NAMES` with its price."""
    return replace(HOUSE, **dict(given))
