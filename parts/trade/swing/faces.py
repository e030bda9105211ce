"""The faces and edges of a lid with folded edges, and how they turn about an axis."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import acos, atan2, cos, hypot, pi, sin, tau

import numpy as np

from parts.place import Vector, unit
from parts.sheet.loop import contains, polygon

FLAT = 0.5  # mm; a lid's corners may lie this far off one plane


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """A straight edge (3,) to (3,)."""

    start: Vector
    end: Vector


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """A flat face: its corners (n, 3) and two unit directions and a normal of its plane."""

    corners: Vector
    along: Vector
    beside: Vector
    normal: Vector

    def holds(self, point: Vector) -> bool:
        """Whether the foot of a point lies on the face."""

        def flat(p: Vector) -> tuple[float, float]:
            off = p - self.corners[0]
            return (float(off @ self.along), float(off @ self.beside))

        return contains([polygon([flat(p) for p in self.corners])], flat(point))


def lid_faces(corners: Vector, fold: float, up: Vector) -> tuple[list[Face], list[Edge]]:
    """The top and the folded sides of a lid, and all its edges, from its corners (n, 3)."""
    if corners.ndim != 2 or corners.shape[1] != 3 or len(corners) < 3:
        raise ValueError("a lid's outline needs three corners (x, y, z) or more")
    if not np.isfinite(corners).all():
        raise ValueError("a lid's corners must all be numbers")
    if not fold >= 0:
        raise ValueError(f"edges folded by {fold:g} mm; needs 0 or more")
    after = np.roll(corners, -1, axis=0)
    if (np.linalg.norm(after - corners, axis=1) < 1e-6).any():
        raise ValueError("two corners of the lid's outline are the same point: leave one out")
    across = np.cross(corners, after).sum(axis=0)
    if np.linalg.norm(across) < 1e-6:
        raise ValueError("the lid's outline encloses nothing: give its corners in order")
    normal = unit(across)
    normal = normal if normal @ up >= 0 else -normal
    off = np.abs((corners - corners.mean(axis=0)) @ normal).max()
    if off > FLAT:
        raise ValueError(
            f"the lid's corners lie {off:.1f} mm off one plane; needs {FLAT:g} at most"
        )
    low, low_after = corners - fold * normal, after - fold * normal
    faces = [_face(corners)]
    edges = [Edge(a, b) for a, b in zip(corners, after, strict=True)]
    if fold > 0:
        for a, b, c, d in zip(corners, after, low_after, low, strict=True):
            faces.append(_face(np.array([a, b, c, d])))
            edges += [Edge(d, c), Edge(a, d)]
    return faces, edges


def _face(corners: Vector) -> Face:
    normal = unit(np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0))
    along = unit(corners[1] - corners[0])
    return Face(corners, along, np.cross(normal, along), normal)


def turned(point: Vector, origin: Vector, way: Vector, angle: float) -> Vector:
    """A point turned about an axis, right-handed (Rodrigues)."""
    away = point - origin
    c, s = cos(angle), sin(angle)
    return np.asarray(origin + c * away + s * np.cross(way, away) + (1 - c) * (way @ away) * way)


def face_distances(
    face: Face, point: Vector, origin: Vector, way: Vector, opening: float
) -> Iterator[tuple[float, float, Vector]]:
    """Distances of a fixed point square to the face, at the ends of the swing and wherever in it
    they turn or vanish: distance, angle, and the foot on the lid as it lies shut.

    Seen from the lid the point turns back about the axis, and its height over the face is a
    constant and a sine.
    """
    away = point - origin
    level = float((way @ away) * (way @ face.normal) + (origin - face.corners[0]) @ face.normal)
    straight = float(away @ face.normal - (way @ away) * (way @ face.normal))
    side = float(-np.cross(way, away) @ face.normal)
    size, ahead = hypot(straight, side), atan2(side, straight)
    angles = [0.0, opening, ahead % tau, (ahead + pi) % tau]
    if size > abs(level):
        lean = acos(-level / size)
        angles += [(ahead + lean) % tau, (ahead - lean) % tau]
    for angle in angles:
        if angle <= opening:
            seen = turned(point, origin, way, -angle)
            height = float((seen - face.corners[0]) @ face.normal)
            if face.holds(seen):
                yield abs(height), angle, seen - height * face.normal


def pierced(face: Face, edge: Edge) -> bool:
    """Whether an edge passes through the face as it lies shut."""
    a, b = ((p - face.corners[0]) @ face.normal for p in (edge.start, edge.end))
    if a * b >= 0:
        return False
    return face.holds(edge.start + a / (a - b) * (edge.end - edge.start))
