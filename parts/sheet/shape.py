"""What a closed solid is made of: vertices, edges and faces as plain arrays.

A face lies on a plane, a cylinder or a ruled surface; every edge carries its line in the
parameters of each surface it borders where a kernel could not find that by itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector

Pair: TypeAlias = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Straight:
    """A straight edge curve: point and unit direction (3,)."""

    point: Vector
    direction: Vector


@dataclass(frozen=True, eq=False)
class Ring:
    """A circle: centre, axis and x direction (3,), radius."""

    center: Vector
    axis: Vector
    x: Vector
    radius: float


@dataclass(frozen=True, eq=False)
class Spline:
    """A quintic B-spline: poles (n, 3); inner knots have multiplicity 3, the ends 6."""

    poles: NDArray[np.float64]
    knots: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Plane:
    """A plane: a point on it, its normal, its x direction."""

    point: Vector
    normal: Vector
    x: Vector


@dataclass(frozen=True, eq=False)
class Cylinder:
    """A cylinder: a point on its axis, axis direction, x direction, radius."""

    point: Vector
    axis: Vector
    x: Vector
    radius: float


@dataclass(frozen=True, eq=False)
class Ruled:
    """The surface of straight lines between two splines of the same knots, `height` apart."""

    lower: Spline
    upper: Spline
    height: float


@dataclass(frozen=True, slots=True)
class LineTrace:
    """An edge as a straight line in a surface's parameters."""

    point: Pair
    direction: Pair


@dataclass(frozen=True, slots=True)
class EllipseTrace:
    """An edge as an ellipse in a surface's parameters; axes given as unit pairs."""

    center: Pair
    major_axis: Pair
    minor_axis: Pair
    major: float
    minor: float


Trace: TypeAlias = LineTrace | EllipseTrace


@dataclass(frozen=True, eq=False)
class Edge:
    """A curve between two numbered vertices, over the parameters low to high."""

    curve: Straight | Ring | Spline
    start: int
    end: int
    low: float
    high: float


@dataclass(frozen=True, eq=False)
class Face:
    """A bounded surface; loops list (edge number, +1 along or -1 against).

    The loops run round the surface's own normal; `flipped` says that normal points into the
    metal. `traces` holds the edge's line in the surface's parameters: one, or two for a seam.
    """

    surface: Plane | Cylinder | Ruled
    loops: tuple[tuple[tuple[int, int], ...], ...]
    flipped: bool
    traces: dict[int, tuple[Trace, ...]]


@dataclass(frozen=True, eq=False)
class Body:
    """A closed solid: vertices (3,), edges, faces."""

    vertices: tuple[Vector, ...]
    edges: tuple[Edge, ...]
    faces: tuple[Face, ...]
