"""Takes of the page laid over ink in which letters run together: where each letter of a run stands.

A letter that touches its neighbour here stands alone somewhere else on the page. Such takes are slid along
the run's ink; a dynamic programme finds the places, left to right, at which they explain most of it. Letters
that stand alone nowhere take what the others leave.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt
from scipy.signal import fftconvolve

MOST_TAKES = 4
"""Takes of a letter that are tried: past these, one more seldom fits better."""
ROOM = 0.25
"""Paper kept round a run's ink, x-heights: letters may reach past it where their takes are larger."""
RISE = 0.14
"""How far a letter may stand above or below its take's height on the baseline, x-heights."""
OVERLAP = 0.35
"""How far boxes of neighbours may lie over one another before it costs, x-heights."""
WIDTHS = (0.7, 0.85, 1.0, 1.15, 1.3)
"""Widths that are tried for a letter without a take, of its usual one."""
FINE = 20.0
"""Letters are laid to the nearest of so many steps an x-height; the cut itself is made in every pixel."""
NEVER = 1e9


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """A take of a letter, seen alone."""

    ink: NDArray[np.bool_]
    """Shape (h, w), tight."""
    top: float
    """Height of its first row above the baseline, px."""
    numbers: frozenset[int]
    """The pieces of ink it is made of."""


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """Ink in which letters run together."""

    ink: NDArray[np.bool_]
    """Shape (h, w)."""
    top: float
    """Height of its first row above the baseline, px."""
    unit: float
    """x-height, px."""
    stroke: float
    """Usual width of a stroke, px."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Laid:
    """A letter's place in a run."""

    left: int
    right: int
    """First column, and one past the last; they may reach past the run."""
    ink: NDArray[np.bool_] | None
    """The take that lies there, shape of the run; none for a letter without one."""
    off: float
    """Share of the take that lies off the run's ink, 0..1."""


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """One take, or one width, that a letter may have."""

    width: int
    model: NDArray[np.bool_] | None
    price: NDArray[np.float64]
    """What it costs at each left edge, shape (places,), px of ink."""
    rows: NDArray[np.intp]
    """The row at which it then begins."""


def laid(run: Run, models: Sequence[Sequence[Model]], widths: Sequence[float]) -> tuple[Laid, ...]:
    """Return where each letter of a run stands, left to right.

    `models` are the takes of each letter, none where it stands alone nowhere; `widths` its usual width, px.
    """
    step = max(1, int(run.unit / FINE))
    if step > 1:
        fewer = [[_less(model, step) for model in of] for of in models]
        small = laid(_smaller(run, step), fewer, [width / step for width in widths])
        return tuple(_larger(letter, step, run.ink.shape) for letter in small)
    room = max(2, round(ROOM * run.unit))
    ink = np.pad(run.ink, room)
    far = np.minimum(distance_transform_edt(~ink) / (0.5 * run.stroke), 1.0) ** 2
    ways = [
        [_sliding(run, far, model, room) for model in of[:MOST_TAKES]] or _widths(run, ink.shape[1], width)
        for of, width in zip(models, widths, strict=True)
    ]
    columns = np.concatenate([[0.0], np.cumsum(ink.sum(axis=0, dtype=float))])
    chosen = _best(ways, columns, OVERLAP * run.unit, run.stroke)
    return tuple(_taken(run, way, left, room) for way, left in chosen)


def _smaller(run: Run, step: int) -> Run:
    return Run(run.ink[::step, ::step], run.top / step, run.unit / step, run.stroke / step)


def _less(model: Model, step: int) -> Model:
    return Model(model.ink[::step, ::step], model.top / step, model.numbers)


def _larger(letter: Laid, step: int, shape: tuple[int, ...]) -> Laid:
    """Return a letter laid on every `step`-th pixel, at full size."""
    ink = letter.ink
    if ink is not None:
        ink = np.repeat(np.repeat(ink, step, axis=0), step, axis=1)[: shape[0], : shape[1]]
    return replace(letter, left=letter.left * step, right=letter.right * step, ink=ink)


def _sliding(run: Run, far: NDArray[np.float64], model: Model, room: int) -> _Way:
    """Return what a take costs at every place: the ink of it that lies on paper, the best height chosen."""
    high, wide = model.ink.shape
    canvas = np.pad(far, ((high, high), (wide, wide)), constant_values=1.0)
    off = fftconvolve(canvas, model.ink[::-1, ::-1].astype(float), mode="valid")
    # Row r of `off` has the take's first row at row r - high of the padded run.
    level = high + room + round(run.top - model.top)
    rise = max(1, round(RISE * run.unit))
    first, last = max(level - rise, 0), min(level + rise + 1, off.shape[0])
    if first >= last:
        first, last = (0, 1) if last <= 0 else (off.shape[0] - 1, off.shape[0])
    near = off[first:last]
    rows = near.argmin(axis=0)
    return _Way(
        width=wide,
        model=model.ink,
        price=near.min(axis=0)[wide : wide + far.shape[1]],
        rows=(rows + first - high)[wide : wide + far.shape[1]],
    )


def _widths(run: Run, places: int, usual: float) -> list[_Way]:
    rows = np.zeros(places, dtype=np.intp)
    share = run.stroke * run.unit * 0.3
    return [
        _Way(max(1, round(usual * times)), None, np.full(places, share * (np.log(times) / 0.2) ** 2), rows)
        for times in WIDTHS
    ]


def _best(
    ways: Sequence[Sequence[_Way]], columns: NDArray[np.float64], slack: float, stroke: float
) -> list[tuple[_Way, int]]:
    """Return the take and the left edge of each letter that leave least unexplained.

    `columns` is the ink left of each column. Ink between neighbours, and take off the ink, cost their px.
    """
    count = len(columns) - 1
    places = np.arange(count)
    edges = np.minimum(places[None, :] + np.array([[w.width] for of in ways for w in of]), count)
    states, at = [], 0
    for of in ways:
        states.append(edges[at : at + len(of)])
        at += len(of)
    before = np.stack([way.price + columns[places] for way in ways[0]])
    came: list[NDArray[np.intp]] = []
    for k in range(1, len(ways)):
        ends = states[k - 1].ravel()
        gap = columns[places][None, :] - columns[ends][:, None]
        over = ends[:, None] - places[None, :]
        move = before.ravel()[:, None] + np.where(
            over <= 0, np.maximum(gap, 0), stroke * np.maximum(over - slack, 0)
        )
        # Letters keep their order: each begins after the one before it.
        starts = np.tile(places, len(ways[k - 1]))
        move[starts[:, None] >= places[None, :]] = NEVER
        came.append(move.argmin(axis=0))
        before = np.stack([way.price + move.min(axis=0) for way in ways[k]])
    before = before + (columns[-1] - columns[states[-1]])
    best = int(before.argmin())
    chosen = [(best // count, best % count)]
    for back in reversed(came):
        best = int(back[chosen[-1][1]])
        chosen.append((best // count, best % count))
    return [(ways[k][way], left) for k, (way, left) in enumerate(reversed(chosen))]


def _taken(run: Run, way: _Way, left: int, room: int) -> Laid:
    if way.model is None:
        return Laid(left=left - room, right=left + way.width - room, ink=None, off=0.0)
    high, wide = way.model.shape
    canvas = np.zeros((run.ink.shape[0] + 2 * high, run.ink.shape[1] + 2 * wide + 2 * room), dtype=np.bool_)
    row, column = int(way.rows[left]) - room + high, left - room + wide + room
    row = min(max(row, 0), canvas.shape[0] - high)
    canvas[row : row + high, column : column + wide] = way.model
    inner = canvas[high : high + run.ink.shape[0], wide + room : wide + room + run.ink.shape[1]]
    return Laid(
        left=left - room,
        right=left + wide - room,
        ink=inner,
        off=float(way.price[left]) / max(int(way.model.sum()), 1),
    )
