"""What a tyre may meet: flat faces, solids between flat faces, single points.

The clearance of a surface is the least signed distance of any of its points from the tyre:
the true distance where they are apart; where they meet, minus how deep the surface's deepest
point is inside the tyre. It never changes by more than the tyre moves.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector, unit
from parts.trade.sweep.nearest import to_edges, to_flats
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
Creep = Callable[[NDArray[np.intp], Vector], Floats]  # of rows of wheels, along unit directions
FLAT = 1e-3  # mm that corners of one face may be out of its plane


class Surface(Protocol):
    """Anything with a least distance from a wheel."""

    def clearance(self, wheel: Wheel, centers: Vector, axes: Vector) -> tuple[Floats, Vector]:
        """Least signed distance (n,) from wheels at centres and axes (n, 3), and where on the
        surface (n, 3). Zero or less is contact."""
        ...

    def nearer_than(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        """A clearance (n,) that the surface certainly does not fall short of, told quickly."""
        ...

    def parted(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        creep: Creep,
        wanted: float,
        ways: Vector | None = None,
    ) -> Floats:
        """A clearance (n,) that holds over all a wheel may creep, or -inf if that is not easily
        told; where it is `wanted` or more it need not be the best. `ways` (n, 3) are directions
        from the wheel in which to look for a plane between the two; without, the surface's own.
        """
        ...


@dataclass(frozen=True, eq=False)
class Plate:
    """A flat convex face, reached from either side: corners (k, 3) in order, all in one plane.

    Raises ValueError for corners that are out of plane, hollow or doubled.
    """

    corners: Vector

    def __post_init__(self) -> None:
        run = np.roll(self.corners, -1, axis=0) - self.corners
        if len(self.corners) < 3 or np.linalg.norm(run, axis=1).min() < 1e-9:
            raise ValueError("a face needs three corners or more, no two the same")
        if np.linalg.norm(self._area) < 1e-9 * np.linalg.norm(run, axis=1).max() ** 2:
            raise ValueError("a face must be convex, its corners in order round it")
        off = float(np.abs((self.corners - self.corners[0]) @ self.normal).max())
        if off > FLAT:
            raise ValueError(
                f"the face's corners are {off:.3f} mm out of one plane: a Block round them is safe"
            )
        turns = np.cross(run, np.roll(run, -1, axis=0)) @ self.normal
        if turns.min() < -1e-9 * np.abs(turns).max():
            raise ValueError("a face must be convex, its corners in order round it")

    @cached_property
    def normal(self) -> Vector:
        """Unit normal (3,), by all corners."""
        return unit(self._area)

    @property
    def _area(self) -> Vector:
        off = self.corners - self.corners[0]
        return np.asarray(np.cross(off, np.roll(off, -1, axis=0)).sum(axis=0))

    def clearance(self, wheel: Wheel, centers: Vector, axes: Vector) -> tuple[Floats, Vector]:
        gap, foot, known = to_flats(wheel, centers, axes, self.corners, self.normal)
        if not known.all():
            rest = ~known
            run = np.roll(self.corners, -1, axis=0) - self.corners
            gap[rest], foot[rest] = to_edges(wheel, centers[rest], axes[rest], self.corners, run)
        return gap, foot

    def nearer_than(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        flat = self.parted(wheel, centers, axes, _still, np.inf)
        return np.asarray(np.maximum(_round(self.corners, wheel, centers), flat))

    def parted(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        creep: Creep,
        wanted: float,
        ways: Vector | None = None,
    ) -> Floats:
        if ways is not None:
            return beyond(wheel, centers, axes, creep, ways, (ways @ self.corners.T).min(axis=1))
        normals = (self.normal, -self.normal)
        return _past(wheel, centers, axes, creep, (self.corners[0],) * 2, normals)


@dataclass(frozen=True, eq=False)
class Block:
    """A convex solid between flat faces, each with its corners anticlockwise from outside.

    A length of rail between two stations is `Block.around` its eight corners: where lean and
    taper warp a side, the block stands out to the wider of the two ways to fold it.
    """

    faces: tuple[Plate, ...]

    @classmethod
    def around(cls, points: Vector) -> Block:
        """The smallest block that holds all points (n, 3), a few dozen at most.

        Raises ValueError for points that are all in one plane.

        >>> corners = np.array([[x, y, z] for x in (0, 9) for y in (0, 9) for z in (0, 9)])
        >>> len(Block.around(corners).faces)
        6
        """
        points = np.unique(np.asarray(points, dtype=float), axis=0)
        size = float(np.linalg.norm(np.ptp(points, axis=0)))
        close = 1e-9 * max(size, 1.0)
        faces: dict[frozenset[int], Plate] = {}
        for trio in combinations(range(len(points)), 3):
            if any(set(trio) <= face for face in faces):
                continue
            a, b, c = points[list(trio)]
            normal = np.cross(b - a, c - a)
            if np.linalg.norm(normal) < close * size:
                continue
            normal = unit(normal)
            over = (points - a) @ normal
            if over.max() > close and over.min() < -close:
                continue
            normal = normal if over.max() <= close else -normal
            on = np.flatnonzero(np.abs(over) <= close)
            if len(on) == len(points):
                raise ValueError("all points of the block are in one plane: use a Plate")
            faces[frozenset(on.tolist())] = Plate(_round_corners(points[on], normal))
        if len(faces) < 4:
            raise ValueError("a block needs four points that are not in one plane")
        return cls(tuple(faces.values()))

    @cached_property
    def corners(self) -> Vector:
        """All corners (n, 3), each once."""
        return np.unique(np.vstack([face.corners for face in self.faces]), axis=0)

    @cached_property
    def _edges(self) -> tuple[Vector, Vector]:
        """Where each edge starts (k, 3), and its run (k, 3), each edge once."""
        edges = {}
        for face in self.faces:
            for a, b in zip(face.corners, np.roll(face.corners, -1, axis=0), strict=True):
                edges[frozenset((tuple(a), tuple(b)))] = (a, b - a)
        starts, runs = zip(*edges.values(), strict=True)
        return np.array(starts), np.array(runs)

    def clearance(self, wheel: Wheel, centers: Vector, axes: Vector) -> tuple[Floats, Vector]:
        gap, foot = np.full(len(centers), np.inf), np.zeros_like(centers)
        for face in self.faces:
            hopeful = np.flatnonzero(face.nearer_than(wheel, centers, axes) < gap)
            found, where, known = to_flats(
                wheel, centers[hopeful], axes[hopeful], face.corners, face.normal
            )
            better = known & (found < gap[hopeful])
            rows = hopeful[better]
            gap[rows], foot[rows] = found[better], where[better]
        found, where = to_edges(wheel, centers, axes, *self._edges, limit=gap)
        better = found < gap
        gap[better], foot[better] = found[better], where[better]
        y, depth = wheel.deepest
        inmost = centers + y * axes
        swallowed = self._holds(inmost)
        gap[swallowed], foot[swallowed] = -depth, inmost[swallowed]
        return gap, foot

    def _holds(self, points: Vector) -> NDArray[np.bool_]:
        over = [(points - face.corners[0]) @ face.normal for face in self.faces]
        return np.asarray(np.max(over, axis=0) <= 0)

    def nearer_than(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        far = _round(self.corners, wheel, centers)
        return np.maximum(far, self.parted(wheel, centers, axes, _still, np.inf))

    def parted(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        creep: Creep,
        wanted: float,
        ways: Vector | None = None,
    ) -> Floats:
        if ways is not None:
            return beyond(wheel, centers, axes, creep, ways, (ways @ self.corners.T).min(axis=1))
        points = [face.corners[0] for face in self.faces]
        return _past(wheel, centers, axes, creep, points, [face.normal for face in self.faces])


@dataclass(frozen=True, eq=False)
class Spot:
    """A single point (3,), with a radius of its own where something round is meant."""

    point: Vector
    radius: float = 0.0

    def clearance(self, wheel: Wheel, centers: Vector, axes: Vector) -> tuple[Floats, Vector]:
        gap = wheel.distance(centers, axes, np.broadcast_to(self.point, centers.shape))
        return gap - self.radius, np.tile(self.point, (len(centers), 1))

    def nearer_than(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        return np.asarray(np.linalg.norm(centers - self.point, axis=1) - self.radius - wheel.reach)

    def parted(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        creep: Creep,
        wanted: float,
        ways: Vector | None = None,
    ) -> Floats:
        if ways is None:
            return np.full(len(centers), -np.inf)
        return beyond(wheel, centers, axes, creep, ways, ways @ self.point - self.radius)


def beyond(
    wheel: Wheel, centers: Vector, axes: Vector, creep: Creep, ways: Vector, starts: Floats
) -> Floats:
    """Gap (n,) from wheels, creeping, to what begins `starts` (n,) along directions (n, 3)."""
    ahead = starts - (centers * ways).sum(axis=1) - wheel.extent(axes, ways)
    return np.asarray(ahead - creep(np.arange(len(centers)), ways))


def _past(
    wheel: Wheel,
    centers: Vector,
    axes: Vector,
    creep: Creep,
    points: Sequence[Vector],
    normals: Sequence[Vector],
) -> Floats:
    """The widest of the gaps to some planes that a wheel, creeping, stays outside of."""
    best = np.full(len(centers), -np.inf)
    for point, normal in zip(points, normals, strict=True):
        ways = np.broadcast_to(-normal, centers.shape)
        best = np.maximum(best, beyond(wheel, centers, axes, creep, ways, ways @ point))
    return best


def _still(rows: NDArray[np.intp], ways: Vector) -> Floats:
    return np.zeros(len(rows))


def _round(corners: Vector, wheel: Wheel, centers: Vector) -> Floats:
    """Between the ball round some corners and the ball round the wheel."""
    middle = corners.mean(axis=0)
    size = np.linalg.norm(corners - middle, axis=1).max()
    return np.asarray(np.linalg.norm(centers - middle, axis=1) - size - wheel.reach)


def _round_corners(points: Vector, normal: Vector) -> Vector:
    """The points of one face that are corners of it, anticlockwise seen against the normal."""
    middle = points.mean(axis=0)
    first = unit(points[0] - middle)
    second = np.cross(normal, first)
    turn = np.arctan2((points - middle) @ second, (points - middle) @ first)
    ring = points[np.argsort(turn)]
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    sizes = np.linalg.norm(before, axis=1) * np.linalg.norm(after, axis=1)
    return np.asarray(ring[np.cross(before, after) @ normal > 1e-9 * sizes])
