"""The inside of a rolled band as a tyre meets it.

The band's arc is cut into facets, each flat across its chord. A band point under a facet lies
beyond the chord's plane, so the plane's gap is a floor for all of it; the band point abreast of
the tyre's foremost point is a ceiling. Facets whose floor is not under the ceiling drop out, the
rest are halved. Where the tyre meets the middle of the band that ends with the two together;
where it meets an end or the rim, or is through it, the flat facets themselves are measured.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector, unit
from parts.trade.sweep.creep import Creep
from parts.trade.sweep.nearest import following, leading, to_edges, to_flats
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]
CLOSE = 0.004  # mm by which a clearance may be told too large
FACET_DEG = 10.0


@dataclass(frozen=True, eq=False)
class Rolled:
    """The inside of a band rolled about an axis, with the wheel within.

    `point` and `axis` (3,) give the axis, `zero` (3,) the direction of angle 0, square to it;
    angles in degrees run right-handed about the axis. The band spans `low_deg` to `high_deg`
    and lies between `near` and `far` along the axis. Raises ValueError where these make no band.
    """

    point: Vector
    axis: Vector
    zero: Vector
    radius: float
    low_deg: float
    high_deg: float
    near: float
    far: float

    def __post_init__(self) -> None:
        if not 0 < self.high_deg - self.low_deg <= 360:
            raise ValueError("a band's angles must rise, by a full turn at most")
        if self.near >= self.far or self.radius <= 0:
            raise ValueError("a band needs a radius above 0, and its far edge beyond the near one")
        if abs(unit(self.axis) @ unit(self.zero)) > 1e-6:
            raise ValueError("a band's angle 0 must be square to its axis")

    @cached_property
    def _square(self) -> tuple[Vector, Vector, Vector]:
        """Unit axis, and unit directions of angles 0 and 90."""
        axis = unit(self.axis)
        zero = unit(self.zero - (self.zero @ axis) * axis)
        return axis, zero, np.cross(axis, zero)

    def _out(self, angles: Floats) -> Vector:
        """Directions (..., 3) of angles in radians."""
        _, zero, side = self._square
        return np.asarray(np.cos(angles)[..., None] * zero + np.sin(angles)[..., None] * side)

    @cached_property
    def _facets(self) -> tuple[Floats, float]:
        """Middle angles of the first facets, and half the angle each spans, in radians."""
        low, high = np.radians(self.low_deg), np.radians(self.high_deg)
        count = int(np.ceil((self.high_deg - self.low_deg) / FACET_DEG))
        half = (high - low) / (2 * count)
        return np.linspace(low + half, high - half, count), float(half)

    def clearance(
        self, wheel: Wheel, centers: Vector, axes: Vector, limit: Floats | None = None
    ) -> tuple[Floats, Vector]:
        most = np.full(len(centers), np.inf) if limit is None else limit
        gap, foot, rest = self._by_tips(wheel, centers, axes, most)
        if rest.any():
            gap[rest], foot[rest] = self._by_facets(
                wheel, centers[rest], axes[rest], gap[rest], foot[rest]
            )
        return gap, foot

    def _floor(
        self, wheel: Wheel, centers: Vector, axes: Vector, angles: Floats, half: float
    ) -> Floats:
        """The gap (n,) beyond which all of a facet certainly is."""
        ways = self._out(angles)
        reach = ((centers - self.point) * ways).sum(axis=-1) + wheel.extent(axes, ways)
        return np.asarray(self.radius * np.cos(half) - reach)

    def _first_floors(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        """Of every pose and first facet (n, facets)."""
        angles, half = self._facets
        return self._floor(wheel, centers[:, None], axes[:, None], angles[None, :], half)

    def _by_tips(
        self, wheel: Wheel, centers: Vector, axes: Vector, most: Floats
    ) -> tuple[Floats, Vector, NDArray[np.bool_]]:
        """Clearances no less than the true ones (n,), no more than `most`, where (n, 3), and
        which are not settled."""
        floors = self._first_floors(wheel, centers, axes)
        gap, foot = most.copy(), np.zeros_like(centers)
        first, half = self._facets
        rows = np.arange(len(centers))
        best = floors.argmin(axis=1)
        self._try(wheel, centers, axes, rows, first[best], gap, foot)
        rest = np.zeros(len(centers), dtype=bool)
        rows, facets = np.nonzero(floors < gap[:, None] - CLOSE)
        angles = first[facets]
        while len(rows) and self.radius * (1 - np.cos(half)) > CLOSE / 2:
            half /= 2
            rows, angles = np.tile(rows, 2), np.concatenate([angles - half, angles + half])
            floor = self._floor(wheel, centers[rows], axes[rows], angles, half)
            lead = leading(floor, rows)
            self._try(wheel, centers, axes, rows[lead], angles[lead], gap, foot)
            lost = floor < gap[rows] - CLOSE - 4 * self.radius * (1 - np.cos(half))
            rest[rows[lost]] = True
            keep = (floor < gap[rows] - CLOSE) & ~rest[rows]
            rows, angles = rows[keep], angles[keep]
        rest[rows] = True
        return gap, foot, rest

    def _try(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        rows: NDArray[np.intp],
        angles: Floats,
        gap: Floats,
        foot: Vector,
    ) -> None:
        """Lower gaps by the band point abreast of the foremost point at an angle each."""
        tip = wheel.foremost(centers[rows], axes[rows], self._out(angles))
        self._lower(wheel, centers, axes, rows, tip, gap, foot)

    def _lower(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        rows: NDArray[np.intp],
        near: Vector,
        gap: Floats,
        foot: Vector,
    ) -> None:
        """Lower gaps by the band points abreast of other points; no row comes twice."""
        axis, zero, side = self._square
        off = near - self.point
        low, high = np.radians(self.low_deg), np.radians(self.high_deg)
        middle = (low + high) / 2
        turn = np.arctan2(off @ side, off @ zero) - middle
        turn = np.clip((turn + np.pi) % (2 * np.pi) - np.pi, low - middle, high - middle)
        along = np.clip(off @ axis, self.near, self.far)
        points = self.point + along[:, None] * axis + self.radius * self._out(turn + middle)
        found = wheel.distance(centers[rows], axes[rows], points)
        better = found < gap[rows]
        gap[rows[better]], foot[rows[better]] = found[better], points[better]

    def _by_facets(
        self, wheel: Wheel, centers: Vector, axes: Vector, gap: Floats, foot: Vector
    ) -> tuple[Floats, Vector]:
        """By the distance of flat facets, ever narrower; from clearances already reached."""
        first, half = self._facets
        rows, facets = np.nonzero(self._first_floors(wheel, centers, axes) < gap[:, None] - CLOSE)
        angles = first[facets]
        while len(rows):
            corners = self._facet_corners(angles, half)
            found, near, known = to_flats(
                wheel, centers[rows], axes[rows], corners, -self._out(angles)
            )
            rest = np.flatnonzero(~known)
            run = following(corners[rest]) - corners[rest]
            own = np.repeat(np.arange(len(rest)), 4)
            found[rest], near[rest] = to_edges(
                wheel, centers[rows[rest]], axes[rows[rest]], own,
                corners[rest].reshape(-1, 3), run.reshape(-1, 3),
            )  # fmt: skip
            lead = leading(found, rows)
            self._lower(wheel, centers, axes, rows[lead], near[lead], gap, foot)
            rise = self.radius * (1 - np.cos(half))
            if rise <= CLOSE / 2:
                break
            keep = found - rise < gap[rows] - CLOSE
            half /= 2
            rows = np.tile(rows[keep], 2)
            angles = np.concatenate([angles[keep] - half, angles[keep] + half])
            keep = self._floor(wheel, centers[rows], axes[rows], angles, half) < gap[rows] - CLOSE
            rows, angles = rows[keep], angles[keep]
        return gap, foot

    def nearer_than(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        return np.asarray(self._first_floors(wheel, centers, axes).min(axis=1))

    def parted(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        creep: Creep,
        boxes: Rows,
        wanted: Floats,
        ways: Vector | None = None,
    ) -> Floats:
        first, half = self._facets
        rows, angles = np.repeat(np.arange(len(centers)), len(first)), np.tile(first, len(centers))
        best = np.full(len(centers), np.inf)
        if ways is not None:
            past = -np.vecdot(centers, ways) - wheel.extent(axes, ways)
            past -= creep.along(boxes, ways)
        while len(rows):
            rise = self.radius * (1 - np.cos(half))
            floor = self._floor(wheel, centers[rows], axes[rows], angles, half)
            moving = creep.anyhow[boxes[rows]]
            near = np.flatnonzero(floor - moving < wanted[rows])
            moving[near] = creep.along(boxes[rows[near]], self._out(angles[near]))
            floor -= moving
            if ways is not None:
                start = (self._facet_corners(angles, half) * ways[rows, None]).sum(axis=-1)
                floor = np.maximum(floor, start.min(axis=1) - rise + past[rows])
            clear = (floor >= wanted[rows]) | (rise < CLOSE / 2)
            np.minimum.at(best, rows[clear], floor[clear])
            lost = ~clear & (floor + 2 * rise < wanted[rows])
            best[rows[lost]] = -np.inf
            keep = ~clear & (best[rows] > -np.inf)
            half /= 2
            rows = np.tile(rows[keep], 2)
            angles = np.concatenate([angles[keep] - half, angles[keep] + half])
        return best

    def _facet_corners(self, angles: Floats, half: float) -> Vector:
        """Corners (n, 4, 3) of facets, anticlockwise seen from the band's axis."""
        axis, _, _ = self._square
        ends = self._out(angles[:, None] + half * np.array([-1, -1, 1, 1]))
        along = np.array([self.near, self.far, self.far, self.near])
        return np.asarray(self.point + self.radius * ends + along[:, None] * axis)
