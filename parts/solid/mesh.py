"""A solid as triangles, and its edges as polylines over the same points: what a screen draws.

The solid itself is left as it was: the kernel would keep its triangles in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import radians
from typing import Any

import numpy as np
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.BRepLib import BRepLib
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.GeomAbs import GeomAbs_C0
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_REVERSED
from OCP.TopExp import TopExp
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS
from OCP.TopTools import (
    TopTools_IndexedDataMapOfShapeListOfShape,
    TopTools_IndexedMapOfShape,
)

from parts.place import HERE, Place

OFF = 0.1  # mm between a chord and its arc
TURN_DEG = 20.0  # most that one chord of an arc turns
SMOOTH_RAD = 1e-3  # faces that meet at less are one surface to the eye
GRID = 32767  # steps from the middle of a packed mesh to its border
UNIT = 127  # steps of a packed normal

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Mesh:
    """A solid's skin in mm.

    `points` (n, 3) with `normals` (n, 3) out of the metal; `triangles` (m, 3) run anticlockwise
    as seen from outside. `edges` (k, 2) are chords of edges where the metal turns a corner,
    `seams` (l, 2) of those where it runs on smoothly, such as the start of a bend.
    """

    points: Floats
    normals: Floats
    triangles: Ints
    edges: Ints
    seams: Ints


@dataclass(frozen=True, eq=False)
class Packed:
    """Several meshes in one list of points: int16 steps of `step` mm from `middle` (3,).

    `points` and `normals` (int16 and int8) are (n, 3). `runs` holds for each mesh the first entry
    and the count of its triangles, edges and seams, in that order, in rows of `triangles` (m, 3),
    `edges` (k, 2) and `seams` (l, 2), which count points from the first of all.
    """

    middle: Floats
    step: float
    points: NDArray[np.int16]
    normals: NDArray[np.int8]
    triangles: Ints
    edges: Ints
    seams: Ints
    runs: tuple[tuple[tuple[int, int], tuple[int, int], tuple[int, int]], ...]


def mesh(solid: Any, place: Place = HERE, off: float = OFF, turn_deg: float = TURN_DEG) -> Mesh:
    """The mesh of a kernel solid (TopoDS_Shape), carried to `place`; the same for the same solid.

    No point of its surface is more than `off` mm away, and no chord turns by more than
    `turn_deg`. Raises ValueError where the kernel finds no triangles for a face.
    """
    shape = BRepBuilderAPI_Copy(solid, False, False).Shape()
    BRepLib.EncodeRegularity_s(shape, SMOOTH_RAD)
    BRepMesh_IncrementalMesh(shape, off, False, radians(turn_deg), False)
    faces, edges = _faces_and_edges(shape)
    points: list[tuple[float, float, float]] = []
    normals: list[tuple[float, float, float]] = []
    triangles: list[tuple[int, int, int]] = []
    first: list[int] = []
    for number in range(1, faces.Extent() + 1):
        first.append(len(points))
        _add_face(TopoDS.Face_s(faces.FindKey(number)), points, normals, triangles)
    sharp: list[tuple[int, int]] = []
    smooth: list[tuple[int, int]] = []
    for number in range(1, edges.Extent() + 1):
        edge = TopoDS.Edge_s(edges.FindKey(number))
        beside = edges.FindFromIndex(number)
        one, other = TopoDS.Face_s(beside.First()), TopoDS.Face_s(beside.Last())
        chords = _chords(edge, one, first[faces.FindIndex(one) - 1])
        runs_on = BRep_Tool.Continuity_s(edge, one, other) != GeomAbs_C0
        (smooth if runs_on else sharp).extend(chords)
    return Mesh(
        place.apply(np.array(points)),
        place.direction(np.array(normals)),
        _rows(triangles, 3),
        _rows(sharp, 2),
        _rows(smooth, 2),
    )


def pack(meshes: Sequence[Mesh]) -> Packed:
    """The meshes on one grid that just holds them all. Raises ValueError where there is none."""
    if not meshes:
        raise ValueError("no mesh to pack; needs at least one")
    points = np.vstack([one.points for one in meshes])
    low, high = points.min(axis=0), points.max(axis=0)
    middle = (low + high) / 2
    step = float((high - low).max()) / (2 * GRID)
    first = np.cumsum([0, *(len(one.points) for one in meshes)])
    return Packed(
        middle,
        step,
        np.rint((points - middle) / step).astype(np.int16),
        np.rint(UNIT * np.vstack([one.normals for one in meshes])).astype(np.int8),
        np.vstack([one.triangles + k for one, k in zip(meshes, first, strict=False)]),
        np.vstack([one.edges + k for one, k in zip(meshes, first, strict=False)]),
        np.vstack([one.seams + k for one, k in zip(meshes, first, strict=False)]),
        tuple(
            zip(
                _spans(len(one.triangles) for one in meshes),
                _spans(len(one.edges) for one in meshes),
                _spans(len(one.seams) for one in meshes),
                strict=True,
            )
        ),
    )


def _faces_and_edges(shape: Any) -> tuple[Any, Any]:
    """Every face once, and every edge once with the faces beside it."""
    faces = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(shape, TopAbs_FACE, faces)
    edges = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndAncestors_s(shape, TopAbs_EDGE, TopAbs_FACE, edges)
    return faces, edges


def _add_face(
    face: Any,
    points: list[tuple[float, float, float]],
    normals: list[tuple[float, float, float]],
    triangles: list[tuple[int, int, int]],
) -> None:
    found = BRep_Tool.Triangulation_s(face, TopLoc_Location())
    if found is None:
        raise ValueError("the kernel finds no triangles for a face")
    found.ComputeNormals()
    first, flipped = len(points) - 1, face.Orientation() == TopAbs_REVERSED
    way = -1.0 if flipped else 1.0
    for number in range(1, found.NbNodes() + 1):
        point, normal = found.Node(number), found.Normal(number)
        points.append((point.X(), point.Y(), point.Z()))
        normals.append((way * normal.X(), way * normal.Y(), way * normal.Z()))
    for number in range(1, found.NbTriangles() + 1):
        a, b, c = found.Triangle(number).Get()
        triangles.append((first + a, first + c, first + b) if flipped
                         else (first + a, first + b, first + c))  # fmt: skip


def _chords(edge: Any, face: Any, first: int) -> Iterator[tuple[int, int]]:
    """An edge as chords between points of a face's triangles."""
    found = BRep_Tool.Triangulation_s(face, TopLoc_Location())
    polygon = BRep_Tool.PolygonOnTriangulation_s(edge, found, TopLoc_Location())
    if polygon is not None:
        numbers = [first + polygon.Node(k) - 1 for k in range(1, polygon.NbNodes() + 1)]
        yield from pairwise(numbers)


def _rows(numbers: Sequence[tuple[int, ...]], wide: int) -> Ints:
    return np.array(numbers, dtype=np.int64).reshape(-1, wide)


def _spans(counts: Iterable[int]) -> list[tuple[int, int]]:
    """First entry and count of each, one behind the other.

    >>> _spans([3, 0, 2])
    [(0, 3), (3, 0), (3, 2)]
    """
    spans, start = [], 0
    for count in counts:
        spans.append((start, count))
        start += count
    return spans
