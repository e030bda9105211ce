"""Flat metal cut into convex pieces, and how far two convex pieces are apart.

Arrays of points are (n, 2), anticlockwise where they are a polygon.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import ceil

import numpy as np
from numpy.typing import NDArray

from parts.sheet.curve import Arc, Curve, Point
from parts.sheet.loop import Loop

Array = NDArray[np.float64]

SAGITTA = 0.02  # mm that the chords of an edge may lie inside it


def convex_pieces(loop: Loop) -> tuple[Array, ...]:
    """The inside of an anticlockwise loop as convex polygons (n, 2); arcs become chords.

    An L of two legs is two of them:

    >>> from parts.sheet.loop import polygon
    >>> ell = polygon([(0, 0), (30, 0), (30, 10), (10, 10), (10, 40), (0, 40)])
    >>> [len(piece) for piece in convex_pieces(ell)]
    [4, 4]
    """
    points = [p for curve in loop for p in _chords(curve)]
    rest = _without_straights(points)
    if all(_turn(rest[i - 1], p, rest[(i + 1) % len(rest)]) >= 0 for i, p in enumerate(rest)):
        return (np.array(rest),)
    pieces = _triangles(rest)
    return tuple(np.array(piece) for piece in _joined(pieces))


def _chords(curve: Curve) -> list[Point]:
    """Points of the curve from its start on, its end left out."""
    if not isinstance(curve, Arc):
        return [curve.start]
    step = 2 * np.arccos(max(0.0, 1 - SAGITTA / curve.radius))
    parts = max(2, ceil(abs(curve.sweep) / max(step, 0.05)))
    return [curve.at(k / parts) for k in range(parts)]


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _without_straights(points: list[Point]) -> list[Point]:
    """The corners of a polygon that turn."""
    return [
        p for i, p in enumerate(points)
        if abs(_turn(points[i - 1], p, points[(i + 1) % len(points)])) > 1e-9
    ]  # fmt: skip


def _triangles(points: list[Point]) -> list[list[Point]]:
    """A simple polygon cut into triangles, one ear after the other."""
    rest, found = list(points), []
    while len(rest) > 3:
        at = next((i for i in range(len(rest)) if _is_ear(rest, i)), None)
        if at is None:  # corners that touch: what is left is taken as it is
            break
        found.append([rest[at - 1], rest[at], rest[(at + 1) % len(rest)]])
        rest = _without_straights(rest[:at] + rest[at + 1 :])
    return [*found, rest] if len(rest) > 2 else found


def _is_ear(points: list[Point], i: int) -> bool:
    a, b, c = points[i - 1], points[i], points[(i + 1) % len(points)]
    if _turn(a, b, c) <= 0:
        return False
    return not any(
        p not in (a, b, c) and min(_turn(a, b, p), _turn(b, c, p), _turn(c, a, p)) >= 0
        for p in points
    )


def _joined(pieces: list[list[Point]]) -> list[list[Point]]:
    """Neighbouring pieces put together while they stay convex."""
    done: list[list[Point]] = []
    for piece in pieces:
        for i, other in enumerate(done):
            both = _both(other, piece)
            if both is not None:
                done[i] = both
                break
        else:
            done.append(piece)
    return done


def _both(one: list[Point], other: list[Point]) -> list[Point] | None:
    """Two polygons with a common side as one, if it is convex."""
    for i, a in enumerate(one):
        b = one[(i + 1) % len(one)]
        if a not in other or b not in other:
            continue
        j = other.index(b)
        if other[(j + 1) % len(other)] != a:
            continue
        ring = [*one[i + 1 :], *one[: i + 1]]  # from b round to a
        rest = [*other[j:], *other[:j]]  # from b to a, then the far side of the other
        whole = _without_straights([*ring, *rest[2:]])
        turns = (_turn(whole[k - 1], p, whole[(k + 1) % len(whole)]) for k, p in enumerate(whole))
        return whole if all(turn > 0 for turn in turns) else None
    return None


def hull(points: Array) -> Outline | None:
    """The convex hull of points (n, 2); None where they lie in one line.

    >>> hull(np.array([[0.0, 0], [2, 0], [1, 0.5], [2, 2], [0, 2], [1, 0]])).points.tolist()
    [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]
    """
    ordered: list[tuple[float, float]] = sorted(set(map(tuple, np.round(points, 9).tolist())))
    rim: list[Point] = []
    for way in (ordered, ordered[::-1]):
        chain: list[Point] = []
        for p in way:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], p) <= 0:
                chain.pop()
            chain.append(p)
        rim += chain[:-1]
    return Outline(np.array(rim)) if len(rim) > 2 else None


def cut(polygon: Array, normal: Array, limit: float) -> Array:
    """What of a convex polygon lies below a line.

    >>> cut(np.array([[0.0, 0], [4, 0], [4, 2], [0, 2]]), np.array([1.0, 0]), 3).tolist()
    [[0.0, 0.0], [3.0, 0.0], [3.0, 2.0], [0.0, 2.0]]
    """
    depth = limit - polygon @ normal
    found = []
    for i, p in enumerate(polygon):
        j = (i + 1) % len(polygon)
        if depth[i] >= 0:
            found.append(p)
        if depth[i] * depth[j] < 0:
            found.append(p + (polygon[j] - p) * depth[i] / (depth[i] - depth[j]))
    return np.array(found).reshape(-1, 2)


@dataclass(frozen=True, eq=False)
class Outline:
    """A convex polygon, anticlockwise: its corners (n, 2)."""

    points: Array

    @cached_property
    def sides(self) -> tuple[Array, Array]:
        """Unit normals (n, 2) out of the sides, and how far out each side lies (n,).

        >>> normals, out = Outline(np.array([[0.0, 0], [4, 0], [4, 2], [0, 2]])).sides
        >>> (normals + 0.0).tolist(), (out + 0.0).tolist()
        ([[0.0, -1.0], [1.0, 0.0], [0.0, 1.0], [-1.0, 0.0]], [0.0, 4.0, 2.0, 0.0])
        """
        x, y = self.points[:, 0], self.points[:, 1]
        after = [*range(1, len(x)), 0]
        dx, dy = x[after] - x, y[after] - y
        size = np.hypot(dx, dy)
        normal = np.array([dy / size, -dx / size]).T
        return normal, normal[:, 0] * x + normal[:, 1] * y

    @cached_property
    def mirrored(self) -> Outline:
        """The outline with x turned round."""
        return Outline((self.points * np.array([-1.0, 1.0]))[::-1])
