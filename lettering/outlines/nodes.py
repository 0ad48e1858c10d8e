"""The unknowns of an outline: nodes with headings and handle lengths, smooth by construction."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour, Points
from lettering.outlines.pieces import Division


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Nodes:
    """All nodes of a letter's outlines; piece i runs from node i to node after[i]."""

    places: Points
    """Shape (n, 2), px."""
    leave: NDArray[np.float64]
    """Shape (n,): heading of the outline leaving each node, radians from x toward y."""
    arrive: NDArray[np.float64]
    """Shape (n,): heading of the outline arriving; equal to `leave` where the node is smooth."""
    first: NDArray[np.float64]
    """Shape (n,): length of the handle at the start of piece i, px."""
    second: NDArray[np.float64]
    """Shape (n,): length of the handle at the end of piece i, px."""
    corner: NDArray[np.bool_]
    """Shape (n,): where the two headings are free of each other."""
    after: NDArray[np.intp]
    """Shape (n,): the node that follows."""

    @classmethod
    def of(cls, divisions: list[Division]) -> "Nodes":
        """Return the nodes of some divided edges; at smooth ones the heading is a mean."""
        pieces = np.concatenate([division.pieces for division in divisions])
        corner = np.concatenate([division.corner for division in divisions])
        after = following([len(division.starts) for division in divisions])
        out, back = pieces[:, 1] - pieces[:, 0], pieces[:, 3] - pieces[:, 2]
        leave = np.arctan2(out[:, 1], out[:, 0])
        arrive = np.empty(len(pieces))
        arrive[after] = np.arctan2(back[:, 1], back[:, 0])
        # Noise leaves the heading of a line a variance that falls with the cube of its length.
        sure = np.linalg.norm(pieces[:, 3] - pieces[:, 0], axis=1) ** 3
        surer = np.empty(len(pieces))
        surer[after] = sure
        middle = leave + ((arrive - leave + np.pi) % (2 * np.pi) - np.pi) * surer / (sure + surer)
        return cls(
            places=pieces[:, 0],
            leave=np.where(corner, leave, middle),
            arrive=np.where(corner, arrive, middle),
            first=np.hypot(out[:, 0], out[:, 1]),
            second=np.hypot(back[:, 0], back[:, 1]),
            corner=corner,
            after=after,
        )

    def __len__(self) -> int:
        return len(self.places)

    @property
    def pieces(self) -> NDArray[np.float64]:
        """The cubics, shape (n, 4, 2)."""
        ends = self.places[self.after]
        out = self.first[:, None] * _unit(self.leave)
        back = self.second[:, None] * _unit(self.arrive[self.after])
        return np.stack([self.places, self.places + out, ends - back, ends], axis=1)

    @property
    def columns(self) -> NDArray[np.intp]:
        """Shape (n, 8): the unknowns of piece i: x, y, heading, handle at its start, the same at its end."""
        n, here = len(self), np.arange(len(self))
        arrive = np.where(self.corner, 5 * n + np.cumsum(self.corner) - 1, 2 * n + here)
        start = [here, n + here, 2 * n + here, 3 * n + here]
        end = [self.after, n + self.after, arrive[self.after], 4 * n + here]
        return np.stack(start + end, axis=1)

    @property
    def unknowns(self) -> int:
        """How many numbers describe the outline."""
        return 5 * len(self) + int(self.corner.sum())

    @property
    def usual(self) -> NDArray[np.float64]:
        """Shape (unknowns,): standard deviation, px or radians, of a change that is no news."""
        chord = np.linalg.norm(self.places[self.after] - self.places, axis=1)
        place = np.where(self.corner, 0.6, 1.5)
        before = np.empty(len(self))
        before[self.after] = chord
        # A short piece says little of its heading: without this tie a round end is drawn out to a spike.
        heading = np.clip(0.1 * np.minimum(chord, before), 0.08, 0.5)
        handles = 0.35 * np.maximum(chord / 3, 0.5)
        return np.concatenate([place, place, heading, handles, handles, heading[self.corner]])

    def moved(self, step: NDArray[np.float64]) -> "Nodes":
        """Return the nodes after a change of all unknowns, shape (unknowns,)."""
        n = len(self)
        leave = self.leave + step[2 * n : 3 * n]
        arrive = np.where(self.corner, self.arrive, leave)
        arrive[self.corner] += step[5 * n :]
        return replace(
            self,
            places=self.places + step[: 2 * n].reshape(2, n).T,
            leave=leave,
            arrive=arrive,
            first=np.maximum(self.first + step[3 * n : 4 * n], 1e-3),
            second=np.maximum(self.second + step[4 * n : 5 * n], 1e-3),
        )

    @property
    def turns(self) -> NDArray[np.float64]:
        """Shape (n,): turn from the heading that arrives to the one that leaves, radians, -pi..pi."""
        return np.asarray((self.leave - self.arrive + np.pi) % (2 * np.pi) - np.pi)

    def smoothed(self, which: NDArray[np.bool_]) -> "Nodes":
        """Return the nodes with those of `which`, shape (n,), made smooth at their middle heading."""
        middle = self.arrive + self.turns / 2
        return replace(
            self,
            leave=np.where(which, middle, self.leave),
            arrive=np.where(which, middle, self.arrive),
            corner=self.corner & ~which,
        )

    def contours(self) -> tuple[Contour, ...]:
        """Return the closed outlines."""
        knots = self.pieces[:, :3]
        ends = np.flatnonzero(self.after <= np.arange(len(self))) + 1
        return tuple(Contour(np.ascontiguousarray(part)) for part in np.split(knots, ends[:-1]))


def following(counts: list[int]) -> NDArray[np.intp]:
    """Return for each node of consecutive rings of `counts` nodes the one that follows."""
    offsets = np.cumsum([0, *counts[:-1]])
    rings = [np.roll(np.arange(n), -1) + start for n, start in zip(counts, offsets, strict=True)]
    return np.concatenate(rings).astype(np.intp)


def _unit(heading: NDArray[np.float64]) -> Points:
    return np.stack([np.cos(heading), np.sin(heading)], axis=1)
