"""Chance that is the same every time: the small ways in which one drawing differs from the next."""

import hashlib
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Chance:
    """Numbers drawn from a seed; the empty seed draws none, as a ruled drawing would."""

    seed: str

    def spread(self, purpose: str, count: int) -> NDArray[np.float64]:
        """Return `count` values of mean 0 and spread 1, none beyond 2, always the same."""
        if not self.seed:
            return np.zeros(count)
        digest = hashlib.sha256(f"{purpose}\n{self.seed}".encode()).digest()
        bits = np.frombuffer((digest * (count // 8 + 1))[: 4 * count], dtype=">u4")
        # The sum of two even throws is a hill from -2 to 2; a golden-ratio step parts repeated digests.
        first = (bits / 2**32 + np.arange(count) * 0.6180339887) % 1
        second = (bits % 65536 / 65536 + np.arange(count) * 0.7548776662) % 1
        hill: NDArray[np.float64] = (first + second - 1) * np.sqrt(6.0)
        return np.clip(hill, -2.0, 2.0)
