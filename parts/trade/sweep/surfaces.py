"""What a tyre may meet: flat faces, solids between flat faces, single points.

The clearance of a surface is the least signed distance of any of its points from the tyre:
the true distance where they are apart; where they meet, minus how deep the surface's deepest
point is inside the tyre. It never changes by more than the tyre moves.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector, unit
from parts.trade.sweep.creep import Creep
from parts.trade.sweep.flats import Body, Flats
from parts.trade.sweep.nearest import crossed, following
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]
FLAT = 1e-3  # mm that corners of one face may be out of its plane


class Curved(Protocol):
    """Anything with a least distance from a wheel that is not made of flat faces."""

    def clearance(
        self, wheel: Wheel, centers: Vector, axes: Vector, limit: Floats | None = None
    ) -> tuple[Floats, Vector]:
        """Least signed distance (n,) from wheels at centres and axes (n, 3), and where on the
        surface (n, 3). Zero or less is contact. It need not be right where not under `limit`."""
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
        boxes: Rows,
        wanted: Floats,
        ways: Vector | None = None,
    ) -> Floats:
        """A clearance (n,) that holds over all that wheels in some `boxes` of a creep (n,) may,
        or -inf if that is not easily told; where it is `wanted` (n,) or more it need not be best.
        `ways` (n, 3) are directions from the wheel in which to look for a plane between the two;
        without, the surface's own.
        """
        ...


@dataclass(frozen=True, eq=False)
class Plate:
    """A flat convex face, reached from either side: corners (k, 3) in order, all in one plane.

    Raises ValueError for corners that are out of plane, hollow or doubled.
    """

    corners: Vector

    def __post_init__(self) -> None:
        run = following(self.corners) - self.corners
        sizes = np.vecdot(run, run)
        if len(self.corners) < 3 or sizes.min() < 1e-18:
            raise ValueError("a face needs three corners or more, no two the same")
        if np.linalg.norm(self._area) < 1e-9 * sizes.max():
            raise ValueError("a face must be convex, its corners in order round it")
        off = float(np.abs((self.corners - self.corners[0]) @ self.normal).max())
        if off > FLAT:
            raise ValueError(
                f"the face's corners are {off:.3f} mm out of one plane: a Block round them is safe"
            )
        turns = crossed(run, following(run)) @ self.normal
        if turns.min() < -1e-9 * np.abs(turns).max():
            raise ValueError("a face must be convex, its corners in order round it")

    @cached_property
    def normal(self) -> Vector:
        """Unit normal (3,), by all corners."""
        return unit(self._area)

    @cached_property
    def _area(self) -> Vector:
        off = self.corners - self.corners[0]
        return np.asarray(crossed(off, following(off)).sum(axis=0))

    @property
    def body(self) -> Body:
        return Body((self.corners,), self.normal[None], solid=False)

    @cached_property
    def _alone(self) -> Flats:
        return Flats((self.body,))

    def clearance(self, wheel: Wheel, centers: Vector, axes: Vector) -> tuple[Floats, Vector]:
        """As `Curved.clearance`."""
        return self._alone.met(wheel, centers, axes, np.zeros(len(centers), dtype=np.intp))

    def nearer_than(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        """As `Curved.nearer_than`."""
        return self._alone.near(wheel, centers, axes)[:, 0]


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
        trios = np.array(list(combinations(range(len(points)), 3))).reshape(-1, 3)
        a, b, c = points[trios.T]
        normals = crossed(b - a, c - a)
        sizes = np.linalg.norm(normals, axis=1)
        wide = sizes >= close * size
        a, normals = a[wide], normals[wide] / sizes[wide, None]
        over = np.vecdot(points[:, None] - a, normals)
        inside = over.max(axis=0) > close
        outermost = ~(inside & (over.min(axis=0) < -close))
        normals = np.where(inside[:, None], -normals, normals)[outermost]
        on = np.abs(over.T[outermost]) <= close
        if on.all(axis=1).any():
            raise ValueError("all points of the block are in one plane: use a Plate")
        _, first = np.unique(on, axis=0, return_index=True)
        held = (on[first][:, None] <= on[first]).all(axis=2).sum(axis=1) > 1  # by another
        faces = tuple(
            Plate(_round_corners(points[on[i]], normals[i])) for i in np.sort(first[~held])
        )
        if len(faces) < 4:
            raise ValueError("a block needs four points that are not in one plane")
        return cls(faces)

    @cached_property
    def corners(self) -> Vector:
        """All corners (n, 3), each once."""
        return np.unique(np.vstack([face.corners for face in self.faces]), axis=0)

    @property
    def body(self) -> Body:
        normals = np.array([face.normal for face in self.faces])
        return Body(tuple(face.corners for face in self.faces), normals, solid=True)

    @cached_property
    def _alone(self) -> Flats:
        return Flats((self.body,))

    def clearance(self, wheel: Wheel, centers: Vector, axes: Vector) -> tuple[Floats, Vector]:
        """As `Curved.clearance`."""
        return self._alone.met(wheel, centers, axes, np.zeros(len(centers), dtype=np.intp))

    def nearer_than(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        """As `Curved.nearer_than`."""
        return self._alone.near(wheel, centers, axes)[:, 0]


@dataclass(frozen=True, eq=False)
class Spot:
    """A single point (3,), with a radius of its own where something round is meant."""

    point: Vector
    radius: float = 0.0

    def clearance(
        self, wheel: Wheel, centers: Vector, axes: Vector, limit: Floats | None = None
    ) -> tuple[Floats, Vector]:
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
        boxes: Rows,
        wanted: Floats,
        ways: Vector | None = None,
    ) -> Floats:
        if ways is None:
            return np.full(len(centers), -np.inf)
        ahead = ways @ self.point - self.radius - np.vecdot(centers, ways)
        told = ahead - wheel.extent(axes, ways) - creep.along(boxes, ways)
        points = np.tile(self.point, (len(boxes), 1, 1))
        return np.asarray(np.maximum(told, creep.beside(boxes, points) - self.radius))


Surface: TypeAlias = Plate | Block | Curved


def _round_corners(points: Vector, normal: Vector) -> Vector:
    """The points of one face that are corners of it, anticlockwise seen against the normal."""
    middle = points.mean(axis=0)
    first = unit(points[0] - middle)
    second = crossed(normal, first)
    turn = np.arctan2((points - middle) @ second, (points - middle) @ first)
    ring = points[np.argsort(turn)]
    before = following(ring) - ring
    after = following(before)
    sizes = np.linalg.norm(before, axis=1) * np.linalg.norm(after, axis=1)
    return np.asarray(following(ring)[crossed(before, after) @ normal > 1e-9 * sizes])
