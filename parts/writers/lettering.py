"""Where words fit on a blank: inside the metal, clear of edges, openings, bends, other words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, cos, radians, sin

import numpy as np
from numpy.typing import NDArray

from parts.sheet import loop as loops
from parts.sheet.curve import Curve, Line, Point
from parts.sheet.loop import Loop

HEIGHTS = (5.0, 3.5, 2.5, 1.8)  # mm, the series of ISO 3098-1, from memory
WIDE = 1.0  # width of a letter over its height; single-stroke fonts keep below this
DEEP = 1.7  # depth of a line of words over its letter height: tails hang below
GAP = 1.0  # mm left clear round the words
STEP = 1.0  # mm between the points that stand for an edge
NEAR, FINE = 8.0, 3.0  # letter heights looked at closely round a wished place, steps to a height
COARSE = 24  # steps across the whole blank where there is no room near the place

Points = NDArray[np.float64]  # (n, 2)


@dataclass(frozen=True, slots=True)
class Label:
    """Words on the sheet: the middle of their box, letter height, reading direction."""

    words: str
    middle: Point
    height: float
    angle_deg: float
    on_metal: bool

    @property
    def length(self) -> float:
        """Length of the box along the reading direction, mm."""
        return len(self.words) * self.height * WIDE

    def below(self) -> Point:
        """Where the next line of words of this height belongs."""
        down = DEEP * self.height + GAP
        slant = radians(self.angle_deg)
        return (self.middle[0] + down * sin(slant), self.middle[1] - down * cos(slant))

    def cover(self) -> Points:
        """Points (n, 2) that other words must keep clear of: the box and its middle line."""
        c, s = cos(radians(self.angle_deg)), sin(radians(self.angle_deg))
        x, y, half = *self.middle, self.length / 2
        middle = Line((x - half * c, y - half * s), (x + half * c, y + half * s))
        return spots([*self.box(), middle])

    def box(self) -> Loop:
        """The four sides of the box round the words."""
        c, s = cos(radians(self.angle_deg)), sin(radians(self.angle_deg))
        half_x, half_y = self.length / 2, DEEP * self.height / 2
        return loops.polygon(
            [
                (self.middle[0] + x * c - y * s, self.middle[1] + x * s + y * c)
                for x, y in (
                    (-half_x, -half_y),
                    (half_x, -half_y),
                    (half_x, half_y),
                    (-half_x, half_y),
                )
            ]
        )


def spots(curves: Iterable[Curve]) -> Points:
    """Points (n, 2) along the curves, a millimetre apart or less: things to keep clear of."""
    found: list[Point] = []
    for curve in curves:
        count = max(1, ceil(curve.length / STEP))
        found += [curve.at(i / count) for i in range(count + 1)]
    return np.array(found).reshape(-1, 2)


@dataclass(frozen=True, eq=False)
class Metal:
    """The blank as chords: `edges` (n, 2, 2) of all its loops, `low` and `high` (2,) its box."""

    edges: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]

    @staticmethod
    def of(around: Iterable[Loop]) -> Metal:
        """The metal inside the outline and outside the openings."""
        chords = []
        for loop in around:
            for curve in loop:
                count = 1 if isinstance(curve, Line) else max(8, ceil(curve.length / STEP))
                at = [curve.at(i / count) for i in range(count + 1)]
                chords += list(pairwise(at))
        edges = np.array(chords)
        return Metal(edges, edges.min(axis=(0, 1)), edges.max(axis=(0, 1)))

    def holds(self, points: Points) -> NDArray[np.bool_]:
        """Which of the points (m, 2) lie in the metal, to the chords' accuracy (even-odd)."""
        x, y = points[:, None, 0], points[:, None, 1]
        (x0, y0), (x1, y1) = self.edges[:, 0].T, self.edges[:, 1].T
        spans = (y0 > y) != (y1 > y)
        rise = np.where(y1 == y0, 1.0, y1 - y0)
        right = x0 + (y - y0) * (x1 - x0) / rise > x
        return np.asarray((spans & right).sum(axis=1) % 2 == 1)


def fitted(
    words: str,
    near: Point,
    angle_deg: float,
    metal: Metal,
    keep_clear: Points,
    turned: bool = False,
) -> Label:
    """The words as near to a point and as large as the metal allows.

    Where no size fits the metal they go below the blank, smallest but one, `on_metal` False, and
    level unless they must stay `turned`.
    """
    for height in HEIGHTS:
        label = Label(words, near, height, angle_deg, True)
        for x, y in _free(label, metal, keep_clear):
            return Label(words, (float(x), float(y)), height, angle_deg, True)
    height = HEIGHTS[-2]
    x, y = float(metal.low[0]) + len(words) * height * WIDE / 2, float(metal.low[1])
    while True:
        y -= 2 * height
        outside = Label(words, (x, y), height, angle_deg if turned else 0.0, False)
        if _clear(outside, keep_clear):
            return outside


def _free(label: Label, metal: Metal, keep_clear: Points) -> Iterable[Points]:
    """Middles on the metal that keep the box clear, nearest to the one asked for first: finely
    about it, then coarsely over the whole blank."""
    whole = float((metal.high - metal.low).max())
    fine = label.height / FINE
    for step, reach in ((fine, NEAR * label.height), (max(label.height, whole / COARSE), whole)):
        yield from _free_on_grid(label, metal, keep_clear, step, reach)


def _free_on_grid(
    label: Label, metal: Metal, keep_clear: Points, step: float, reach: float
) -> Iterable[Points]:
    """Middles on a square grid turned with the words, nearest to the place first."""
    count = ceil(reach / step)
    free = ~_blocked(label, keep_clear, step, count)
    steps = np.arange(-count, count + 1)
    x, y = np.meshgrid(steps * step, steps * step)
    x, y = x[free], y[free]
    order = np.lexsort((x, y, (x * x + y * y).round(6)))
    c, s = cos(radians(label.angle_deg)), sin(radians(label.angle_deg))
    x, y = x[order], y[order]
    middles = np.column_stack([label.middle[0] + x * c - y * s, label.middle[1] + x * s + y * c])
    middles = middles[np.all((middles > metal.low) & (middles < metal.high), axis=1)]
    for start in range(0, len(middles), 128):
        part = middles[start : start + 128]
        yield from part[metal.holds(part)]


def _blocked(label: Label, keep_clear: Points, step: float, count: int) -> NDArray[np.bool_]:
    """Which places of a grid (2 count + 1 each way, rows along y) put a box on such a point.

    Each point blocks a rectangle of places. Its corners are entered as +1 and -1, and the sums
    along both axes then give how many points block each place.
    """
    half = np.array([label.length / 2 + GAP, DEEP * label.height / 2 + GAP])
    size = 2 * count + 1
    local = (keep_clear - label.middle) @ _turn(label)
    first, last = (
        np.clip(rounded + count, 0, size).astype(int)
        for rounded in (np.floor((local - half) / step) + 1, np.ceil((local + half) / step))
    )
    corners = np.zeros((size + 1, size + 1), dtype=int)
    for x, y, sign in (
        (first[:, 0], first[:, 1], 1),
        (last[:, 0], first[:, 1], -1),
        (first[:, 0], last[:, 1], -1),
        (last[:, 0], last[:, 1], 1),
    ):
        np.add.at(corners, (y, x), sign)
    return np.asarray(corners.cumsum(axis=0).cumsum(axis=1)[:size, :size] > 0)


def _clear(label: Label, keep_clear: Points) -> bool:
    """Whether the words' box holds no point to keep clear of."""
    half = (label.length / 2 + GAP, DEEP * label.height / 2 + GAP)
    off = np.abs((keep_clear - label.middle) @ _turn(label))
    return not bool(np.all(off < half, axis=1).any())


def _turn(label: Label) -> NDArray[np.float64]:
    """What carries a row from the blank's axes into those of the words (2, 2)."""
    c, s = cos(radians(label.angle_deg)), sin(radians(label.angle_deg))
    return np.array([[c, -s], [s, c]])
