"""The whole lid as a plate in space: the room at its sides where it is not square to the hinge.

Two points, one on the lid and one on the body, are nearest where they come to the same angle
about the axis, or at an end of the swing. At the same angle their distance is that in the plane
of place along the axis and radius; there a straight edge is a curve that bends up, no more than
a known little from straight. So edges are cut into pieces until the pieces tell.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import degrees, radians

import numpy as np
from numpy.typing import ArrayLike

from parts.place import Vector, unit
from parts.trade.swing.curves import Curves, Floats, Rows, gaps
from parts.trade.swing.faces import Edge, face_distances, lid_faces, pierced, turned
from parts.trade.swing.segments import segment_distances
from parts.trade.swing.swing import PROVED_TO

MOST_PIECES = 5_000_000
TURN = 2 * np.pi


@dataclass(frozen=True, slots=True)
class SideEdge:
    """A straight edge of the body beside the lid, from end to end (x, y, z)."""

    name: str
    start: tuple[float, float, float]
    end: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class PlateSwing:
    """The least distance of the lid's edges to the body's: `at_least` is proved. `on_lid` is the
    point of the lid as it lies shut, `to_point` that of the body."""

    clearance: float
    at_least: float
    angle_deg: float
    side: str
    on_lid: tuple[float, float, float]
    to_point: tuple[float, float, float]


def plate_swing(
    axis: tuple[ArrayLike, ArrayLike],
    outline: ArrayLike,
    fold: float,
    opening_deg: float,
    sides: Sequence[SideEdge],
    up: ArrayLike = (0.0, 0.0, 1.0),
) -> PlateSwing:
    """The least distance of a lid to the edges beside it over its whole swing, proved within
    0.01 mm.

    `axis` is two points of the hinge axis, `outline` the corners (n, 3) of the lid's top in
    order, flat; its edges are folded away from `up` by `fold`. Opening lifts the lid's far side
    towards `up`. Raises ValueError where an input is no axis, no outline or no edge.

    A lid square to its axis keeps the gap at its side, 4 mm, wherever it is:

    >>> top = [(0, 0, 0), (700, 0, 0), (700, 500, 0), (0, 500, 0)]
    >>> rim = SideEdge("rim", (0, 504, 0), (700, 504, 0))
    >>> round(plate_swing(([-70, 0, -20], [-70, 1, -20]), top, 10, 80, [rim]).clearance, 6)
    4.0
    """
    if not 0 < opening_deg <= 180:
        raise ValueError(f"opening angle {opening_deg:g}°; needs more than 0 and at most 180°")
    if not sides:
        raise ValueError("no edges beside the lid: give one or more")
    for side in sides:
        if np.allclose(side.start, side.end, atol=1e-9):
            raise ValueError(f"{side.name}: both ends are the same point")
    origin, way = _axis(axis)
    corners = np.asarray(outline, dtype=float)
    faces, edges = lid_faces(corners, fold, np.asarray(up, dtype=float))
    far = corners[np.linalg.norm(np.cross(corners - origin, way), axis=1).argmax()]
    if np.cross(way, far - origin) @ np.asarray(up, dtype=float) < 0:
        way = -way
    place = _Axis(origin, way)
    opening = radians(opening_deg)
    fixed = [Edge(np.array(s.start, dtype=float), np.array(s.end, dtype=float)) for s in sides]
    best = _at_ends(place, opening, edges, fixed)
    for j, edge in enumerate(fixed):
        for point in (edge.start, edge.end):
            for face in faces:
                for found in face_distances(face, point, place.origin, place.way, opening):
                    best = min(best, _Found(found[0], found[1], found[2], point, j), key=_size)
        if any(pierced(face, edge) for face in faces):
            best = _Found(0.0, 0.0, edge.start, edge.start, j)
    best, floor = _at_same_angle(place, opening, edges, fixed, best)
    return PlateSwing(
        best.distance, floor, degrees(best.angle), sides[best.side].name,
        _tuple(best.on_lid), _tuple(best.to_point),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    distance: float
    angle: float
    on_lid: Vector
    to_point: Vector
    side: int


@dataclass(frozen=True, slots=True, eq=False)
class _Axis:
    origin: Vector
    way: Vector

    def told(self, points: Vector) -> tuple[Floats, Floats]:
        """Place along the axis and radius as (n, 2), and angle about it (n,)."""
        across = unit(np.cross(self.way, np.eye(3)[int(np.abs(self.way).argmin())]))
        square = np.cross(self.way, across)
        away = points - self.origin
        x, y = away @ across, away @ square
        return np.column_stack([away @ self.way, np.hypot(x, y)]), np.arctan2(y, x)


def _size(found: _Found) -> float:
    return found.distance


def _axis(axis: tuple[ArrayLike, ArrayLike]) -> tuple[Vector, Vector]:
    first, second = (np.asarray(p, dtype=float) for p in axis)
    if first.shape != (3,) or second.shape != (3,) or np.linalg.norm(second - first) < 1e-6:
        raise ValueError("a hinge axis needs two different points (x, y, z)")
    return first, unit(second - first)


def _tuple(point: Vector) -> tuple[float, float, float]:
    return (float(point[0]), float(point[1]), float(point[2]))


def _at_ends(place: _Axis, opening: float, edges: list[Edge], fixed: list[Edge]) -> _Found:
    """The least distance of edge to edge, shut and open."""
    best: _Found | None = None
    starts, ends = np.array([f.start for f in fixed]), np.array([f.end for f in fixed])
    for angle in (0.0, opening):
        for edge in edges:
            a, b = (turned(p, place.origin, place.way, angle) for p in (edge.start, edge.end))
            distance, f, g = segment_distances(a, b, starts, ends)
            j = int(distance.argmin())
            if best is None or distance[j] < best.distance:
                on_lid = edge.start + f[j] * (edge.end - edge.start)
                to_point = starts[j] + g[j] * (ends[j] - starts[j])
                best = _Found(float(distance[j]), angle, on_lid, to_point, j)
    assert best is not None
    return best


@dataclass(frozen=True, slots=True, eq=False)
class _Pieces:
    """Pieces of the edges of one side of the gap: which edge, from and to which fraction."""

    edge: Rows
    low: Floats
    high: Floats

    def take(self, rows: Rows) -> _Pieces:
        return _Pieces(self.edge[rows], self.low[rows], self.high[rows])

    def halves(self) -> _Pieces:
        """The first halves, then the second."""
        mid = (self.low + self.high) / 2
        return _Pieces(
            np.tile(self.edge, 2), np.concatenate([self.low, mid]),
            np.concatenate([mid, self.high]),
        )  # fmt: skip

    def twice(self) -> _Pieces:
        return self.take(np.tile(np.arange(len(self.edge)), 2))


def _at_same_angle(
    place: _Axis, opening: float, edges: list[Edge], fixed: list[Edge], best: _Found
) -> tuple[_Found, float]:
    """The least distance of points that come to the same angle within the swing, and a floor."""
    pairs = np.array([(i, j) for i in range(len(edges)) for j in range(len(fixed))])
    zero, one = np.zeros(len(pairs)), np.ones(len(pairs))
    lid, body = _Pieces(pairs[:, 0], zero, one), _Pieces(pairs[:, 1], zero, one)
    floor, count = np.inf, 0
    while len(lid.edge):
        count += len(lid.edge)
        if count > MOST_PIECES:
            raise ArithmeticError(f"no proof after {MOST_PIECES} pieces of edge")
        a, b = _Told(place, edges, lid), _Told(place, fixed, body)
        ahead = (b.angle - a.angle) % TURN
        reached = np.hypot(*(a.middle - b.middle).T)
        now = np.where(ahead <= opening, reached, np.inf)
        row = int(now.argmin())
        if now[row] < best.distance:
            best = _Found(
                float(now[row]), float(ahead[row]), a.points[row], b.points[row],
                int(body.edge[row]),
            )  # fmt: skip
        bound, _, _ = gaps(a.chord, b.chord)
        bound -= a.sag + b.sag
        wide = a.swing + b.swing
        never = (ahead > opening + wide) & (ahead < TURN - wide)
        small = a.length + b.length <= PROVED_TO
        done = never | small | (bound >= best.distance - PROVED_TO)
        kept = np.where(never, np.inf, np.maximum(bound, best.distance - PROVED_TO))
        floor = min(floor, float(kept[done].min(initial=np.inf)))
        rows = np.flatnonzero(~done)
        longer = (a.length >= b.length)[rows]
        lid_first, body_first = rows[longer], rows[~longer]
        lid, body = (
            _joined(lid.take(lid_first).halves(), lid.take(body_first).twice()),
            _joined(body.take(lid_first).twice(), body.take(body_first).halves()),
        )
    return best, max(0.0, min(floor, best.distance))


def _joined(a: _Pieces, b: _Pieces) -> _Pieces:
    return _Pieces(
        np.concatenate([a.edge, b.edge]), np.concatenate([a.low, b.low]),
        np.concatenate([a.high, b.high]),
    )  # fmt: skip


class _Told:
    """Pieces as the axis sees them."""

    def __init__(self, place: _Axis, edges: list[Edge], pieces: _Pieces) -> None:
        start = np.array([edge.start for edge in edges])[pieces.edge]
        run = np.array([edge.end for edge in edges])[pieces.edge] - start
        mid = (pieces.low + pieces.high) / 2
        low, _ = place.told(start + pieces.low[:, None] * run)
        high, _ = place.told(start + pieces.high[:, None] * run)
        self.points = start + mid[:, None] * run
        self.middle, self.angle = place.told(self.points)
        self.length = np.linalg.norm(run, axis=1) * (pieces.high - pieces.low)
        self.chord = _lines(low, high)
        least = np.maximum(self.middle[:, 1] - self.length / 2, 0.0)
        # the radius bends up by no more than 1 / radius for each mm along, squared
        self.sag = np.minimum(self.length**2 / (8 * np.maximum(least, 1e-9)), self.length / 2)
        lean = self.length / 2 / np.maximum(self.middle[:, 1], 1e-9)
        self.swing = np.where(lean < 1, np.arcsin(np.minimum(lean, 1.0)), np.pi)


def _lines(start: Floats, end: Floats) -> Curves:
    none = np.zeros(len(start))
    return Curves(start, end, start, np.zeros_like(start), none, none + 1, none > 0)
