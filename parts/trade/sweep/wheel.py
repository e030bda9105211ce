"""The tyre as a convex solid of revolution, and how far points and faces are from it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Wheel:
    """A convex solid of revolution about its axis.

    `rings` (n, 2) are points of half the outline in any order, each (y along the axis, radius).
    Everything between them and the axis counts as solid, and so does every hollow of the
    outline, as between the bead and the widest place: the solid stands out to the safe side.
    Raises ValueError for rings that enclose nothing.
    """

    rings: Floats

    def __post_init__(self) -> None:
        if len(self.rings) < 2 or np.ptp(self.rings[:, 0]) < 1e-6:
            raise ValueError("a tyre's outline needs points at two places across it or more")
        if self.rings[:, 1].min() < 0 or self.rings[:, 1].max() < 1e-6:
            raise ValueError("the radii of a tyre's outline are 0 or more, and not all 0")

    @cached_property
    def outline(self) -> Floats:
        """Corners (n, 2) of the convex outline, from the axis at low y to the axis at high y.

        >>> bead_wide_crown = np.array([[-90.0, 190], [-100, 250], [0, 330], [100, 250], [90, 190]])
        >>> Wheel(bead_wide_crown).outline.tolist()
        [[-100.0, 0.0], [-100.0, 250.0], [0.0, 330.0], [100.0, 250.0], [100.0, 0.0]]
        """
        low, high = self.rings[:, 0].min(), self.rings[:, 0].max()
        foot = [(low, 0.0)]
        points = foot + sorted(map(tuple, self.rings.tolist())) + [(high, 0.0)]
        kept: list[tuple[float, float]] = []
        for y, r in points:
            while len(kept) > 1 and _left_turn(kept[-2], kept[-1], (y, r)):
                kept.pop()
            kept.append((y, r))
        return np.array(kept)

    @cached_property
    def reach(self) -> float:
        """Distance of the furthest point from the wheel's centre."""
        return float(np.hypot(self.outline[:, 0], self.outline[:, 1]).max())

    @cached_property
    def deepest(self) -> tuple[float, float]:
        """The place on the axis (y) furthest inside, and its depth."""
        start, way, _ = self._sides
        slope = way[:, 1]
        level = start[:, 1] * way[:, 0] - start[:, 0] * slope  # depth below a side: level + slope y
        i, j = np.nonzero(slope[:, None] - slope > 1e-12)
        y = (level[j] - level[i]) / (slope[i] - slope[j])
        depth = (level + slope * y[:, None]).min(axis=1)
        best = int(depth.argmax())
        return float(y[best]), float(depth[best])

    @cached_property
    def _sides(self) -> tuple[Floats, Floats, Floats]:
        """Start, unit direction and length of the outline's sides in the (y, radius) plane."""
        run = np.diff(self.outline, axis=0)
        length = np.hypot(run[:, 0], run[:, 1])
        keep = length > 1e-9
        return self.outline[:-1][keep], run[keep] / length[keep, None], length[keep]

    @cached_property
    def _by_side(self) -> tuple[Floats, Floats, Floats]:
        """The same with the sides last: (2, sides), (2, sides), (sides,)."""
        start, way, length = self._sides
        return np.ascontiguousarray(start.T), np.ascontiguousarray(way.T), length

    @cached_property
    def _ringed(self) -> Floats:
        """The outline's corners off the axis: one of them is foremost in any direction."""
        return self.outline[1:-1]

    def off_outline(self, y: Floats, radius: Floats) -> Floats:
        """Signed distance from the outline, negative inside; any shape, as the arguments.

        >>> tyre = Wheel(np.array([[-100.0, 300], [100, 300]]))
        >>> tyre.off_outline(np.array([0.0, 103, 0]), np.array([310.0, 304, 290])).tolist()
        [10.0, 5.0, -10.0]
        """
        start, way, length = (v.reshape(*v.shape, *[1] * y.ndim) for v in self._by_side)
        dy, dr = y - start[0], radius - start[1]
        outside = (dr * way[0] - dy * way[1]).max(axis=0)  # left of the way is outside
        along = dy * way[0]
        along += dr * way[1]
        np.clip(along, 0.0, length, out=along)
        dy -= along * way[0]
        dr -= along * way[1]
        dy *= dy
        dr *= dr
        dy += dr
        return np.asarray(np.where(outside > 0, np.sqrt(dy.min(axis=0)), outside))

    def distance(self, centers: Vector, axes: Vector, points: Vector) -> Floats:
        """Signed distance of points (..., 3) from wheels at centres and axes (..., 3).

        A convex function of the point, inside the tyre as well as outside.
        """
        off = points - centers
        y = np.vecdot(off, axes)
        square = off - y[..., None] * axes
        return self.off_outline(y, np.sqrt(np.vecdot(square, square)))

    def grown(self, y: Floats, radius: Floats) -> tuple[Floats, Floats, Floats]:
        """The signed distance (n,) as `off_outline`, and how fast it grows by y and by radius.

        >>> tyre = Wheel(np.array([[-100.0, 300], [100, 300]]))
        >>> [v.round(3).tolist() for v in tyre.grown(np.array([103.0, -95]), np.array([304.0, 9]))]
        [[5.0, -5.0], [0.6, -1.0], [0.8, 0.0]]
        """
        start, way, length = (v[..., None] for v in self._by_side)
        dy, dr = y - start[0], radius - start[1]
        outside = dr * way[0] - dy * way[1]
        rows, side = np.arange(len(y)), outside.argmax(axis=0)
        along = np.clip(dy * way[0] + dr * way[1], 0.0, length)
        off_y, off_r = dy - along * way[0], dr - along * way[1]
        square = off_y * off_y + off_r * off_r
        near = square.argmin(axis=0)
        away, gap = np.sqrt(square[near, rows]), outside[side, rows]
        out = gap > 1e-9  # inside, it grows as the distance from the side that is nearest does
        away = np.where(out, away, 1.0)
        by_y = np.where(out, off_y[near, rows] / away, -way[1, side, 0])
        by_r = np.where(out, off_r[near, rows] / away, way[0, side, 0])
        return np.where(out, away, gap), by_y, by_r

    def outward(self, centers: Vector, axes: Vector, points: Vector) -> Vector:
        """Unit directions (n, 3) in which the distance of points (n, 3) grows fastest."""
        off = points - centers
        y = np.vecdot(off, axes)
        square = off - y[:, None] * axes
        radius = np.sqrt(np.vecdot(square, square))
        _, by_y, by_r = self.grown(y, radius)
        return np.asarray(
            by_y[:, None] * axes + (by_r / np.maximum(radius, 1e-12))[:, None] * square
        )

    def extent(self, axes: Vector, toward: Vector) -> Floats:
        """How far past its centre a wheel reaches along unit directions; shapes (..., 3)."""
        along = np.clip(np.vecdot(axes, toward), -1.0, 1.0)
        size = np.sqrt(1.0 - along * along)
        y, r = self._ringed.T.reshape(2, -1, *[1] * along.ndim)
        return np.asarray((y * along + r * size).max(axis=0))

    def foremost(self, centers: Vector, axes: Vector, toward: Vector) -> Vector:
        """The point (n, 3) of each wheel that lies furthest along a direction (n, 3).

        Where the whole of a ring does, as with the axis along the direction, any point of it.
        """
        along = np.vecdot(axes, toward)
        flat = toward - along[:, None] * axes
        size = np.sqrt(np.vecdot(flat, flat))
        reach = along[:, None] * self._ringed[:, 0] + size[:, None] * self._ringed[:, 1]
        y, r = self._ringed[reach.argmax(axis=-1)].T
        tied = size < 1e-9
        if tied.any():
            flat[tied] = np.cross(axes[tied], np.eye(3)[np.abs(axes[tied]).argmin(axis=1)])
        out = flat - np.vecdot(flat, axes)[:, None] * axes
        out *= (r / np.sqrt(np.vecdot(out, out)))[:, None]
        return np.asarray(centers + y[:, None] * axes + out)


def _left_turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> bool:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) >= 0
