"""Plain loops over points and pixels, compiled on first use and kept on disk for the next run."""

from collections.abc import Callable
from typing import TypeVar, cast

from numba import njit

Loop = TypeVar("Loop", bound=Callable[..., object])


def compiled(loop: Loop) -> Loop:
    """Return the loop as machine code that runs beside other threads."""
    return cast("Loop", njit(cache=True, nogil=True)(loop))
