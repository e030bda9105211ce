"""Where in its room the pivot may be: the clearance as a map, and the best place.

Moving the pivot by 1 mm moves what is opened by θ by 2 sin(θ/2) mm, so a clearance changes by no
more than 2 sin(half the opening) mm for each. That makes a square of the map sure: all of it
clears, none of it does, or it must be cut in four.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, pi, sin, sqrt

import numpy as np

from parts.sheet.curve import Point
from parts.sheet.loop import Loop, area, box, contains
from parts.trade.swing.contours import Contour, Squares, contours
from parts.trade.swing.curves import Floats, Points, gathered, reaches
from parts.trade.swing.exact import least_over_swing
from parts.trade.swing.flattened import Flattened, Mask, flattened
from parts.trade.swing.section import Section
from parts.trade.swing.swing import PROVED_TO, Swing, swing
from parts.trade.swing.witness import proved_floors

MOST_PIVOTS = 60_000
Slack = Callable[[Points], Floats]  # mm to spare at pivots (n, 2); changes by 2 mm per mm at most


@dataclass(frozen=True, slots=True, eq=False)
class PivotMap:
    """The clearance over a whole room.

    `pivots` (n, 2) were each solved and proved: `clearance` (n,) and `at_least` (n,); `allowed`
    (n,) tells those that lie in the room, clear by the wish and leave room for the neck.
    `corners` (m, 4) are the squares' corners among the pivots, `sure` (m,) squares in which every
    pivot clears by the wish, `never` (m,) those in which none does. `best` is None where no pivot
    is allowed.
    """

    wish: float
    pivots: Points
    clearance: Floats
    at_least: Floats
    allowed: Mask
    corners: Squares
    sure: Mask
    never: Mask
    contours: tuple[Contour, ...]
    best: Swing | None


class _Grid:
    """Pivots on a grid of whole steps, solved once each."""

    def __init__(self, flat: Flattened, origin: Point, step: float, slack: Slack | None) -> None:
        self.flat, self.origin, self.step, self.slack = flat, np.array(origin), step, slack
        self.keys = np.zeros(0, dtype=np.int64)
        self.clearance = np.zeros(0)
        self.spare = np.zeros(0)

    def points(self, keys: np.ndarray[tuple[int, ...], np.dtype[np.int64]]) -> Points:
        """Where grid points lie; a key holds both whole steps."""
        return self.origin + self.step * np.stack(np.divmod(keys, _ROW), axis=-1)

    def rows(self, keys: np.ndarray[tuple[int, ...], np.dtype[np.int64]]) -> Squares:
        """Rows of the keys (any shape) among those solved; solves the new ones."""
        new = np.setdiff1d(keys, self.keys)
        _refuse_more(len(self.keys) + len(new))
        if len(new):
            points = self.points(new)
            spare = self.slack(points) if self.slack else np.full(len(new), np.inf)
            order = np.argsort(np.concatenate([self.keys, new]), kind="stable")
            distance = least_over_swing(self.flat, points).distance
            self.clearance = np.concatenate([self.clearance, distance])[order]
            self.spare = np.concatenate([self.spare, spare])[order]
            self.keys = np.concatenate([self.keys, new])[order]
        return np.searchsorted(self.keys, keys)


_ROW = 1 << 24  # whole steps across a map at most


def _refuse_more(pivots: float) -> None:
    if pivots > MOST_PIVOTS:
        raise ValueError(f"the map needs more than {MOST_PIVOTS} pivots: ask for larger steps")


def pivot_map(
    section: Section,
    room: Loop,
    wish: float,
    coarse: float = 4.0,
    finest: float = 1.0,
    levels: tuple[float, ...] = (),
    slack: Slack | None = None,
) -> PivotMap:
    """The map of a room for the pivot, squares of `coarse` mm cut down to `finest` where the
    wish, a contour of `levels` or the best place asks for it.

    `slack` tells what else a pivot must leave to spare, as for the neck (see `neck_spare`). Raises
    ValueError for a room that encloses nothing, or a map of over 60 000 pivots.
    """
    if abs(area(room)) < 1e-6:
        raise ValueError("the pivot's room encloses nothing: give its corners in order")
    if not 0 < finest <= coarse:
        raise ValueError(f"steps of {coarse:g} down to {finest:g} mm; needs the finest above 0")
    if not wish >= 0:
        raise ValueError(f"a clearance of {wish:g} mm is wished for; needs 0 or more")
    flat = flattened(section)
    low_u, low_v, high_u, high_v = box(room)
    size = 1 << max(0, ceil(np.log2(coarse / finest) - 1e-9))
    _refuse_more(abs(area(room)) / (size * finest) ** 2)  # a corner at least to every square
    grid = _Grid(flat, (low_u, low_v), finest, slack)
    i, j = (
        np.arange(0, max(1, ceil((high - low) / finest)), size)
        for low, high in ((low_u, high_u), (low_v, high_v))
    )
    cells = (i[:, None] * _ROW + j[None, :]).ravel().astype(np.int64)
    steepest = 2 * sin(min(flat.opening, pi) / 2)
    inside = _Inside(room)
    leaves: list[tuple[Squares, Mask, Mask]] = []
    while len(cells):
        cells = cells[inside.touched(grid.points(cells) + size * finest / 2, size * finest)]
        rows = grid.rows(cells[:, None] + size * np.array([0, _ROW, _ROW + 1, 1]))
        at, spare = grid.clearance[rows], grid.spare[rows]
        creep = size * finest / sqrt(2)
        low, high = at.min(axis=1) - steepest * creep, at.max(axis=1) + steepest * creep
        tight, loose = spare.min(axis=1) - 2 * creep, spare.max(axis=1) + 2 * creep
        sure, never = (low >= wish) & (tight >= 0), (high < wish) | (loose < 0)
        best = max(wish, _best(grid, inside)[0])
        cut = ~sure & ~never | (high > best + PROVED_TO) & (loose >= 0)
        pad = np.ptp(at, axis=1) / 2 + 1e-9
        for level in levels:
            cut |= (at.min(axis=1) - pad <= level) & (at.max(axis=1) + pad >= level)
        cut &= size > 1
        leaves.append((grid.keys[rows[~cut]], sure[~cut], never[~cut]))
        size //= 2
        cells = (cells[cut, None] + size * np.array([0, _ROW, _ROW + 1, 1])).ravel()
    return _mapped(section, grid, inside, wish, (wish, *levels), leaves)


def _mapped(
    section: Section, grid: _Grid, inside: _Inside, wish: float, levels: tuple[float, ...],
    leaves: list[tuple[Squares, Mask, Mask]],
) -> PivotMap:  # fmt: skip
    pivots = grid.points(grid.keys)
    floors = proved_floors(grid.flat, pivots, grid.clearance, PROVED_TO)
    allowed = inside(pivots) & (grid.clearance >= wish) & (grid.spare >= 0)
    corners = np.searchsorted(grid.keys, np.vstack([leaf[0] for leaf in leaves]))
    lines = tuple(contours(pivots, grid.clearance, corners, level) for level in sorted(set(levels)))
    best = None
    if allowed.any():
        row = int(np.where(allowed, grid.clearance, -np.inf).argmax())
        best = swing(section, (float(pivots[row, 0]), float(pivots[row, 1])))
    return PivotMap(
        wish, pivots, grid.clearance, floors, allowed, corners,
        np.concatenate([leaf[1] for leaf in leaves]),
        np.concatenate([leaf[2] for leaf in leaves]), lines, best,
    )  # fmt: skip


def _best(grid: _Grid, inside: _Inside) -> tuple[float, int]:
    """The largest clearance among the allowed so far, and its row; (-inf, -1) for none."""
    for row in np.argsort(-grid.clearance):
        if grid.spare[row] >= 0 and inside(grid.points(grid.keys[row : row + 1]))[0]:
            return float(grid.clearance[row]), int(row)
    return -np.inf, -1


class _Inside:
    """Which pivots lie in the room, its edge taken in."""

    def __init__(self, room: Loop) -> None:
        self.room, self.curves = room, gathered(room)

    def __call__(self, points: Points) -> Mask:
        within = np.array([contains([self.room], (float(u), float(v))) for u, v in points])
        return np.asarray(within | (self._to_edge(points) < 1e-9), dtype=bool)

    def _to_edge(self, points: Points) -> Floats:
        return np.asarray(reaches(self.curves, points)[0].min(axis=1))

    def touched(self, middles: Points, size: float) -> Mask:
        """Which squares of a size may hold a piece of the room."""
        return np.asarray(self(middles) | (self._to_edge(middles) <= size / sqrt(2)), dtype=bool)
