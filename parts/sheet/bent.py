"""The exact map of a bend: where each point of the flat strip goes when it is rolled up.

The metal is `thickness` deep: w = 0 is the back face, w = thickness the drawn face. A bend
turned up has its axis above the drawn face, one turned down below the back face.

        drawn face   w = t   ------------.          o  axis (up)
        back face    w = 0   -----------. `.
                             start line ^  `.|      u runs from the start line
"""

from __future__ import annotations

from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from parts.place import Place, Vector
from parts.sheet.blank import Bend
from parts.sheet.curve import Point


def skin_radius(bend: Bend, thickness: float, w: float) -> float:
    """Radius of the cylinder that the layer at depth `w` is rolled to."""
    return bend.radius + (thickness - w if bend.up else w)


def axis_height(bend: Bend, thickness: float) -> float:
    """Height of the bend's axis over the back face."""
    return thickness + bend.radius if bend.up else -bend.radius


def rolled(bend: Bend, thickness: float, point: Point, w: float) -> Vector:
    """Where a flat point of the strip goes, in the flat axes of the side before the bend (3,)."""
    angle = bend.ahead(point) / bend.neutral_radius
    radius = skin_radius(bend, thickness, w)
    out = radius * sin(angle)
    rise = -radius * cos(angle) if bend.up else radius * cos(angle)
    d, n, v = bend.along, bend.across, bend.beside(point)
    return np.array(
        [
            bend.start[0] + v * d[0] + out * n[0],
            bend.start[1] + v * d[1] + out * n[1],
            axis_height(bend, thickness) + rise,
        ]
    )


def rolled_all(bend: Bend, thickness: float, flat: NDArray[np.float64], w: float) -> Vector:
    """`rolled` for many flat points (n, 2) at one depth: (n, 3)."""
    from_start = flat - np.array(bend.start)
    angle = from_start @ np.array(bend.across) / bend.neutral_radius
    beside = from_start @ np.array(bend.along)
    radius = skin_radius(bend, thickness, w)
    way = -1.0 if bend.up else 1.0
    plan = np.outer(beside, bend.along) + np.outer(radius * np.sin(angle), bend.across)
    rise = axis_height(bend, thickness) + way * radius * np.cos(angle)
    return np.column_stack([plan + np.array(bend.start), rise])


def unrolled(bend: Bend, thickness: float, point: Vector) -> tuple[float, float, float]:
    """The inverse of `rolled`: flat x, y and depth w of a point beside the strip."""
    dx, dy = point[0] - bend.start[0], point[1] - bend.start[1]
    d, n = bend.along, bend.across
    v, out = dx * d[0] + dy * d[1], dx * n[0] + dy * n[1]
    drop = axis_height(bend, thickness) - point[2]
    if not bend.up:
        drop = -drop
    radius = float(np.hypot(out, drop))
    angle = float(np.arctan2(out, drop)) % (2 * np.pi)
    if angle > bend.turn_rad + (2 * np.pi - bend.turn_rad) / 2:
        angle -= 2 * np.pi
    u = angle * bend.neutral_radius
    w = bend.radius + thickness - radius if bend.up else radius - bend.radius
    return (
        bend.start[0] + v * d[0] + u * n[0],
        bend.start[1] + v * d[1] + u * n[1],
        w,
    )


def unrolled_all(
    bend: Bend, thickness: float, points: Vector
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """`unrolled` for many points (n, 3): flat (n, 2) and depths (n,)."""
    from_start = points[:, :2] - np.array(bend.start)
    along, across = np.array(bend.along), np.array(bend.across)
    out = from_start @ across
    drop = (axis_height(bend, thickness) - points[:, 2]) * (1.0 if bend.up else -1.0)
    radius = np.hypot(out, drop)
    angle = np.arctan2(out, drop) % (2 * np.pi)
    angle = np.where(angle > bend.turn_rad / 2 + np.pi, angle - 2 * np.pi, angle)
    ahead = angle * bend.neutral_radius
    flat = np.outer(from_start @ along, along) + np.outer(ahead, across) + np.array(bend.start)
    return flat, bend.radius + thickness - radius if bend.up else radius - bend.radius


def beyond(bend: Bend, thickness: float) -> Place:
    """The move that carries flat points beyond the bend to where they stand once it is bent."""
    d = np.array([*bend.along, 0.0])
    n = np.array([*bend.across, 0.0])
    z = np.array([0.0, 0.0, 1.0])
    angle = bend.turn_rad if bend.up else -bend.turn_rad
    n_new = cos(angle) * n + sin(angle) * z
    z_new = -sin(angle) * n + cos(angle) * z
    turn = np.outer(d, d) + np.outer(n_new, n) + np.outer(z_new, z)
    flat = np.array([*bend.end_line()[0], 0.0])
    return Place(turn, rolled(bend, thickness, bend.end_line()[0], 0.0) - turn @ flat)
