"""Flat faces and solids between flat faces, however many, measured together.

A wheel and a convex body are apart where a plane parts them: one of a face, or one square to
where an edge comes nearest. Only where none does need it be asked how deep a face is cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.trade.sweep.creep import NEARLY, Creep
from parts.trade.sweep.nearest import following, in_plane, leading, over_plane, to_edges, within
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]
BATCH = 256  # wheels told at a time
APART = 1e-9  # mm between wheel and body from which they certainly do not meet


@dataclass(frozen=True, eq=False)
class Body:
    """A convex body: one face reached from either side, or those of a solid, seen from outside.

    `faces` are the corners (k, 3) of each, anticlockwise seen against their `normals` (f, 3).
    """

    faces: Sequence[Vector]
    normals: Vector
    solid: bool


@dataclass(frozen=True, eq=False)
class Flats:
    """A number b of bodies. Their corners (b, c, 3) are filled up by repeating; of planes, faces
    and edges there is one list each, and (b, ...) tells which are whose."""

    bodies: tuple[Body, ...]

    @property
    def count(self) -> int:
        return len(self.bodies)

    @cached_property
    def _solid(self) -> NDArray[np.bool_]:
        return np.array([body.solid for body in self.bodies])

    @cached_property
    def _corners(self) -> Vector:
        rings = [
            np.unique(np.concatenate(body.faces), axis=0) if body.solid else body.faces[0]
            for body in self.bodies
        ]
        return np.array(_filled(rings))

    @cached_property
    def _planes(self) -> tuple[Vector, Floats, Rows]:
        """Directions (p, 3) toward a body from a face of it, and where along them the body begins
        (p,); and the first of each body (b,)."""
        ways = [
            -body.normals if body.solid else np.vstack([body.normals, -body.normals])
            for body in self.bodies
        ]
        starts = [
            (w @ corners.T).min(axis=1) for w, corners in zip(ways, self._corners, strict=True)
        ]
        first = np.cumsum([0, *(len(w) for w in ways[:-1])])
        return np.concatenate(ways), np.concatenate(starts), first

    @cached_property
    def _plane_of(self) -> NDArray[np.bool_]:
        """Which planes are whose (b, p)."""
        ways, _, first = self._planes
        body = np.searchsorted(first, np.arange(len(ways)), side="right") - 1
        return np.asarray(body == np.arange(self.count)[:, None])

    @cached_property
    def _balls(self) -> tuple[Vector, Floats]:
        """Middles (b, 3) and radii (b,) of balls round the bodies."""
        middles = self._corners.mean(axis=1)
        return middles, np.linalg.norm(self._corners - middles[:, None], axis=2).max(axis=1)

    @cached_property
    def _faces(self) -> tuple[Vector, Vector, NDArray[np.bool_]]:
        """Of every face its corners (f, k, 3) and normal (f, 3); and which are whose (b, f)."""
        faces = [face for body in self.bodies for face in body.faces]
        whose = np.repeat(np.arange(self.count), [len(body.faces) for body in self.bodies])
        normals = np.concatenate([body.normals for body in self.bodies])
        return np.array(_filled(faces)), normals, whose == np.arange(self.count)[:, None]

    @cached_property
    def _edges(self) -> tuple[Vector, Vector, NDArray[np.bool_]]:
        """Of every edge, once to a body, its start and run (e, 3); and which are whose (b, e)."""
        starts, ends, whose = [], [], []
        for number, body in enumerate(self.bodies):
            first = np.concatenate(body.faces)
            second = np.concatenate([following(face) for face in body.faces])
            if body.solid:  # every edge comes twice, once each way
                swap = _before(second, first)[:, None]
                both = np.hstack([np.where(swap, second, first), np.where(swap, first, second)])
                first, second = np.split(np.unique(both, axis=0), 2, axis=1)
            starts.append(first)
            ends.append(second)
            whose.append(np.full(len(first), number))
        start, end = np.concatenate(starts), np.concatenate(ends)
        return start, end - start, np.concatenate(whose) == np.arange(self.count)[:, None]

    def near(self, wheel: Wheel, centers: Vector, axes: Vector) -> Floats:
        """A clearance (n, b) that no body falls short of, told quickly."""
        middles, sizes = self._balls
        off = np.linalg.norm(centers[:, None] - middles, axis=2) - sizes - wheel.reach
        ways, starts, first = self._planes
        for some in np.split(np.arange(len(centers)), range(BATCH, len(centers), BATCH)):
            ahead = _ahead(wheel, centers[some, None], axes[some, None], ways, starts)
            off[some] = np.maximum(off[some], np.maximum.reduceat(ahead, first, axis=1))
        return np.asarray(off)

    def parted(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        which: Rows,
        creep: Creep,
        boxes: Rows,
        wanted: Floats,
        ways: Vector | None = None,
    ) -> Floats:
        """A clearance (m,) to one body each that holds over all that wheels in some `boxes` of a
        creep (m,) may: by planes square to directions (m, 3) and, where those are nearly along
        the axis, by the wheel's flat side; else by the planes of its faces that tell what is
        `wanted` (m,), and -inf where none does."""
        if ways is not None:
            told = self._ahead(wheel, centers, axes, which, ways) - creep.along(boxes, ways)
            flat = np.flatnonzero((np.abs(np.vecdot(axes, ways)) > NEARLY) & (told < wanted))
            if len(flat):
                beside = creep.beside(boxes[flat], self._corners[which[flat]])
                told[flat] = np.maximum(told[flat], beside)
            return told
        toward, starts, _ = self._planes
        rows, plane = np.nonzero(self._plane_of[which])
        ahead = _ahead(wheel, centers[rows], axes[rows], toward[plane], starts[plane])
        best = np.full(len(which), -np.inf)
        enough = np.flatnonzero(ahead >= wanted[rows])
        if len(enough):
            rows, plane = rows[enough], plane[enough]
            told = ahead[enough] - creep.along(boxes[rows], toward[plane])
            np.maximum.at(best, rows, told)
        return best

    def _ahead(
        self, wheel: Wheel, centers: Vector, axes: Vector, which: Rows, ways: Vector
    ) -> Floats:
        """The gap (m,) to one body each between two planes square to directions (m, 3)."""
        starts = (self._corners[which] @ ways[:, :, None])[..., 0].min(axis=1)
        return _ahead(wheel, centers, axes, ways, starts)

    def met(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        which: Rows,
        limit: Floats | None = None,
    ) -> tuple[Floats, Vector]:
        """Least signed distance (m,) from wheels to one body each, and where (m, 3); no search
        is made for what does not come under `limit` (m,)."""
        gap, foot = np.full(len(which), np.inf), np.zeros_like(centers)
        corners, normals, whose = self._faces
        rows, faces = np.nonzero(whose[which])
        c, a, n = centers[rows], axes[rows], normals[faces]
        over, at = over_plane(wheel, c, a, corners[faces, 0], n)
        outside = ~self._solid[which[rows]] | (np.vecdot(c - corners[faces, 0], n) > 0)
        before = np.flatnonzero((over > 0) & outside)  # whose plane parts wheel and body
        before = before[within(at[before], corners[faces[before]], n[before])]
        gap[rows[before]], foot[rows[before]] = over[before], at[before]
        rest = np.flatnonzero(gap == np.inf)
        if not len(rest):
            return gap, foot
        c, a, w = centers[rest], axes[rest], which[rest]
        most = None if limit is None else limit[rest]
        gap[rest], foot[rest] = self._by_edges(wheel, c, a, w, most)
        ways = wheel.outward(c, a, foot[rest])
        meeting = rest[self._ahead(wheel, c, a, w, ways) <= APART]
        if len(meeting):
            cut = np.flatnonzero(np.isin(rows, meeting) & (over <= 0))
            of = rows[cut]
            self._lower_by_cuts(wheel, centers[of], axes[of], of, faces[cut], gap, foot)
            self._lower_by_solids(wheel, centers, axes, which, meeting, gap, foot)
        return gap, foot

    def _by_edges(
        self, wheel: Wheel, centers: Vector, axes: Vector, which: Rows, limit: Floats | None
    ) -> tuple[Floats, Vector]:
        """Least signed distance (m,) to the edges of one body each, and where (m, 3)."""
        starts, runs, whose = self._edges
        rows, edges = np.nonzero(whose[which])
        return to_edges(wheel, centers, axes, rows, starts[edges], runs[edges], limit)

    def _lower_by_cuts(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        rows: Rows,
        faces: Rows,
        gap: Floats,
        foot: Vector,
    ) -> None:
        """By how deep faces (c,) are cut by the wheels of some rows (c,), where not on an edge."""
        corners, normals, _ = self._faces
        found, at = in_plane(wheel, centers, axes, corners[faces, 0], normals[faces])
        better = within(at, corners[faces], normals[faces]) & (found < gap[rows])
        found, at, rows = found[better], at[better], rows[better]
        first = leading(found, rows)
        gap[rows[first]], foot[rows[first]] = found[first], at[first]

    def _lower_by_solids(
        self,
        wheel: Wheel,
        centers: Vector,
        axes: Vector,
        which: Rows,
        rows: Rows,
        gap: Floats,
        foot: Vector,
    ) -> None:
        """Where a solid holds the place that is furthest inside the wheel: by how deep that is."""
        y, depth = wheel.deepest
        inmost = centers[rows] + y * axes[rows]
        ways, starts, _ = self._planes
        inside = (inmost @ ways.T >= starts) | ~self._plane_of[which[rows]]
        held = inside.all(axis=1) & self._solid[which[rows]]
        gap[rows[held]], foot[rows[held]] = -depth, inmost[held]


def _ahead(wheel: Wheel, centers: Vector, axes: Vector, ways: Vector, starts: Floats) -> Floats:
    """How far (...) beyond wheels lies what begins `starts` along unit directions (..., 3)."""
    return np.asarray(starts - np.vecdot(centers, ways) - wheel.extent(axes, ways))


def _filled(rows: Sequence[Vector]) -> list[Vector]:
    """All of one length: the first of a row is repeated."""
    longest = max(len(row) for row in rows)
    return [np.concatenate([row, np.tile(row[:1], (longest - len(row), 1))]) for row in rows]


def _before(one: Vector, other: Vector) -> NDArray[np.bool_]:
    """Which of points (n, 3) come before others, by x, then y, then z."""
    less, more = one < other, one > other
    first = (less | more).argmax(axis=1)
    return np.asarray(less[np.arange(len(one)), first])
