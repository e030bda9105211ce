"""Many lines and arcs at once, and the least distance between them.

A line's radius is 0. An arc's points are those whose direction from its centre differs from the
unit direction `middle` by no more than the angle whose cosine is `spread`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from parts.sheet.curve import Arc, Curve

Floats = NDArray[np.float64]
Points = NDArray[np.float64]  # (n, 2)
Rows = NDArray[np.intp]
WHOLE = -2.0  # the spread of a whole circle: less than any cosine


@dataclass(frozen=True, slots=True, eq=False)
class Curves:
    """Lines and arcs: `start`, `end`, `center`, `middle` (n, 2), `radius`, `spread` (n,)."""

    start: Points
    end: Points
    center: Points
    middle: Points
    radius: Floats
    spread: Floats
    round: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.start)

    def take(self, rows: Rows) -> Curves:
        """Those at `rows`, which may repeat."""
        return Curves(
            self.start[rows], self.end[rows], self.center[rows], self.middle[rows],
            self.radius[rows], self.spread[rows], self.round[rows],
        )  # fmt: skip

    def turned(self, about: Points, angle: Floats) -> Curves:
        """Every curve turned anticlockwise by its own angle (n,) about its own point (n, 2)."""
        c, s = np.cos(angle), np.sin(angle)
        return Curves(
            about + turn(self.start - about, c, s),
            about + turn(self.end - about, c, s),
            about + turn(self.center - about, c, s),
            turn(self.middle, c, s),
            self.radius, self.spread, self.round,
        )  # fmt: skip

    def longer(self, angle: Floats) -> Curves:
        """Arcs made longer by an angle (n,) at either end; lines as they are."""
        half = np.minimum(np.arccos(np.clip(self.spread, -1, 1)) + angle, pi)
        c, s = np.cos(half), np.sin(half)
        arm = self.radius[:, None] * self.middle
        wide = self.round[:, None]
        return Curves(
            np.where(wide, self.center + turn(arm, c, -s), self.start),
            np.where(wide, self.center + turn(arm, c, s), self.end),
            self.center, self.middle, self.radius, np.where(self.round, c, 1.0), self.round,
        )  # fmt: skip


def turn(points: Points, c: Floats, s: Floats) -> Points:
    """Points turned about (0, 0) by angles given as cosine and sine."""
    x, y = points[..., 0], points[..., 1]
    return np.asarray(np.stack([c * x - s * y, s * x + c * y], axis=-1))


def gathered(curves: Sequence[Curve]) -> Curves:
    """The curves of the flat as arrays, in their order."""
    start = np.array([c.start for c in curves], dtype=float).reshape(-1, 2)
    end = np.array([c.end for c in curves], dtype=float).reshape(-1, 2)
    bows = [c if isinstance(c, Arc) else None for c in curves]
    center = np.array([b.center if b else c.start for b, c in zip(bows, curves, strict=True)])
    half = np.array([b.sweep / 2 if b else 0.0 for b in bows])
    radius = np.array([b.radius if b else 0.0 for b in bows])
    ahead = np.array([b.start_angle if b else 0.0 for b in bows]) + half
    return Curves(
        start, end, center.reshape(-1, 2), np.stack([np.cos(ahead), np.sin(ahead)], axis=-1),
        radius, np.where(np.abs(half) > pi - 1e-9, WHOLE, np.cos(half)),
        np.array([b is not None for b in bows], dtype=bool),
    )  # fmt: skip


def paths(points: Points, about: Points, low: Floats, high: Floats) -> Curves:
    """The arcs that points (n, 2) run through as they turn about others from angle to angle."""
    arm = points - about
    half, mean = (high - low) / 2, (high + low) / 2
    radius = np.hypot(arm[:, 0], arm[:, 1])
    toward = arm / np.maximum(radius, 1e-300)[:, None]
    return Curves(
        about + turn(arm, np.cos(low), np.sin(low)),
        about + turn(arm, np.cos(high), np.sin(high)),
        about, turn(toward, np.cos(mean), np.sin(mean)), radius, np.cos(half),
        np.ones(len(points), dtype=bool),
    )  # fmt: skip


def nearest(curves: Curves, points: Points) -> Points:
    """The point of each curve nearest to its own point: (n, 2)."""
    run = curves.end - curves.start
    size = (run * run).sum(axis=1)
    along = ((points - curves.start) * run).sum(axis=1) / np.where(size > 0, size, 1.0)
    feet: Points = curves.start + np.clip(along, 0.0, 1.0)[:, None] * run
    rows = np.flatnonzero(curves.round)
    if len(rows):
        feet[rows] = _nearest_on_arcs(curves.take(rows), points[rows])
    return feet


def _nearest_on_arcs(arcs: Curves, points: Points) -> Points:
    away = points - arcs.center
    size = np.hypot(away[:, 0], away[:, 1])
    toward = away / np.maximum(size, 1e-300)[:, None]
    within = ((toward * arcs.middle).sum(axis=1) >= arcs.spread) & (size > 0)
    to_start = ((points - arcs.start) ** 2).sum(axis=1)
    to_end = ((points - arcs.end) ** 2).sum(axis=1)
    ends = np.where((to_start <= to_end)[:, None], arcs.start, arcs.end)
    return np.asarray(np.where(within[:, None], arcs.center + arcs.radius[:, None] * toward, ends))


def gaps(a: Curves, b: Curves) -> tuple[Floats, Points, Points]:
    """Least distance (n,) of each curve of `a` to its fellow of `b`, and where on either (n, 2).

    Two curves that do not cross are nearest at an end of one, or where the line through an arc's
    centre stands square on both.
    """
    at_a, at_b = a.start, nearest(b, a.start)
    best = ((at_a - at_b) ** 2).sum(axis=1)
    at_a = at_a.copy()
    everywhere = np.arange(len(a))

    def offer(rows: Rows, on_a: Points, on_b: Points) -> None:
        square = ((on_a - on_b) ** 2).sum(axis=1)
        nearer = square < best[rows]
        rows = rows[nearer]
        best[rows], at_a[rows], at_b[rows] = square[nearer], on_a[nearer], on_b[nearer]

    offer(everywhere, a.end, nearest(b, a.end))
    offer(everywhere, nearest(a, b.start), b.start)
    offer(everywhere, nearest(a, b.end), b.end)
    rows = np.flatnonzero(a.round)
    if len(rows):
        own, other = a.take(rows), b.take(rows)
        far = nearest(other, own.center)
        offer(rows, nearest(own, far), far)
    rows = np.flatnonzero(b.round)
    if len(rows):
        own, other = b.take(rows), a.take(rows)
        far = nearest(other, own.center)
        offer(rows, far, nearest(own, far))
    for rows, points in _crossings(a, b):
        best[rows], at_a[rows], at_b[rows] = 0.0, points, points
    return np.sqrt(best), at_a, at_b


def _crossings(a: Curves, b: Curves) -> list[tuple[Rows, Points]]:
    """Rows whose two curves share a point, and the point."""
    found: list[tuple[Rows, Points]] = []
    rows = np.flatnonzero(~a.round & ~b.round)
    if len(rows):
        found += _lines_cross(rows, a.take(rows), b.take(rows))
    for lines, arcs in ((a, b), (b, a)):
        rows = np.flatnonzero(~lines.round & arcs.round)
        if len(rows):
            found += _line_crosses_arc(rows, lines.take(rows), arcs.take(rows))
    rows = np.flatnonzero(a.round & b.round)
    if len(rows):
        found += _arcs_cross(rows, a.take(rows), b.take(rows))
    return found


def _lines_cross(rows: Rows, a: Curves, b: Curves) -> list[tuple[Rows, Points]]:
    run_a, run_b, apart = a.end - a.start, b.end - b.start, b.start - a.start
    area = _cross(run_a, run_b)
    safe = np.where(area != 0, area, 1.0)
    f, g = _cross(apart, run_b) / safe, _cross(apart, run_a) / safe
    hit = (area != 0) & (f >= 0) & (f <= 1) & (g >= 0) & (g <= 1)
    return [(rows[hit], (a.start + f[:, None] * run_a)[hit])]


def _line_crosses_arc(rows: Rows, lines: Curves, arcs: Curves) -> list[tuple[Rows, Points]]:
    run, back = lines.end - lines.start, lines.start - arcs.center
    size = np.maximum((run * run).sum(axis=1), 1e-300)
    half = (run * back).sum(axis=1)
    inside = half * half - size * ((back * back).sum(axis=1) - arcs.radius**2)
    root = np.sqrt(np.maximum(inside, 0.0))
    found = []
    for way in (-1.0, 1.0):
        f = (-half + way * root) / size
        at = lines.start + f[:, None] * run
        hit = (inside >= 0) & (f >= 0) & (f <= 1) & _on(arcs, at)
        found.append((rows[hit], at[hit]))
    return found


def _arcs_cross(rows: Rows, a: Curves, b: Curves) -> list[tuple[Rows, Points]]:
    apart = b.center - a.center
    size = np.hypot(apart[:, 0], apart[:, 1])
    safe = np.where(size > 1e-12, size, 1.0)
    along = (size * size + a.radius**2 - b.radius**2) / (2 * safe)
    aside = a.radius**2 - along**2
    meets = (size > 1e-12) & (aside >= 0)
    root = np.sqrt(np.maximum(aside, 0.0))
    ahead = apart / safe[:, None]
    left = np.stack([-ahead[:, 1], ahead[:, 0]], axis=-1)
    found = []
    for way in (-1.0, 1.0):
        at = a.center + along[:, None] * ahead + (way * root)[:, None] * left
        hit = meets & _on(a, at) & _on(b, at)
        found.append((rows[hit], at[hit]))
    return found


def _on(arcs: Curves, points: Points) -> NDArray[np.bool_]:
    away = points - arcs.center
    size = np.hypot(away[:, 0], away[:, 1])
    return np.asarray((away * arcs.middle).sum(axis=1) >= arcs.spread * size)


def _cross(a: Points, b: Points) -> Floats:
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])


def reach(curves: Curves, about: Points) -> tuple[Floats, Floats]:
    """Least and greatest distance of each curve from its own point (n, 2)."""
    feet = nearest(curves, about) - about
    least = np.hypot(feet[:, 0], feet[:, 1])
    ends = np.maximum(np.hypot(*(curves.start - about).T), np.hypot(*(curves.end - about).T))
    away = curves.center - about
    size = np.hypot(away[:, 0], away[:, 1])
    toward = away / np.maximum(size, 1e-300)[:, None]
    beyond = curves.round & ((toward * curves.middle).sum(axis=1) >= curves.spread)
    return least, np.where(beyond | (curves.round & (size == 0)), size + curves.radius, ends)


def reaches(curves: Curves, points: Points) -> tuple[Floats, Floats]:
    """Least and greatest distance (points, curves) of every curve from every point."""
    count = len(curves)
    repeated = curves.take(np.tile(np.arange(count), len(points)))
    least, most = reach(repeated, np.repeat(points, count, axis=0))
    return least.reshape(-1, count), most.reshape(-1, count)
