"""Lines of equal clearance across the squares of a map."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parts.sheet.curve import Point
from parts.trade.swing.curves import Floats, Points

Squares = NDArray[np.intp]  # (m, 4), corners in turn


@dataclass(frozen=True, slots=True)
class Contour:
    """Runs of points along which the clearance is `level`."""

    level: float
    runs: tuple[tuple[Point, ...], ...]


def contours(points: Points, values: Floats, squares: Squares, level: float) -> Contour:
    """The contour of values (n,) at points (n, 2), straight across each square.

    >>> corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=float)
    >>> contours(corners, np.array([0.0, 1, 1, 0]), np.array([[0, 1, 2, 3]]), 0.25).runs
    (((0.25, 0.0), (0.25, 1.0)),)
    """
    above = values[squares] >= level
    steps: list[tuple[Point, Point]] = []
    for row in np.flatnonzero(above.any(axis=1) & ~above.all(axis=1)):
        steps += _across(points[squares[row]], values[squares[row]], level)
    return Contour(level, tuple(_runs(steps)))


def _across(corners: Points, values: Floats, level: float) -> list[tuple[Point, Point]]:
    """The one or two steps of a contour through a square."""
    hits: list[Point] = []
    for k in range(4):
        a, b = values[k] - level, values[(k + 1) % 4] - level
        if (a >= 0) != (b >= 0):
            p = corners[k] + a / (a - b) * (corners[(k + 1) % 4] - corners[k])
            hits.append((round(float(p[0]), 9), round(float(p[1]), 9)))
    if len(hits) == 2:
        return [(hits[0], hits[1])]
    if (values.mean() >= level) == (values[0] >= level):  # corners 0 and 2 hang together
        return [(hits[0], hits[1]), (hits[2], hits[3])]
    return [(hits[3], hits[0]), (hits[1], hits[2])]


def _runs(steps: list[tuple[Point, Point]]) -> list[tuple[Point, ...]]:
    """The steps end to end."""
    at: dict[Point, list[int]] = {}
    steps = [(a, b) for a, b in steps if a != b]
    for number, step in enumerate(steps):
        for point in step:
            at.setdefault(point, []).append(number)
    free = set(range(len(steps)))

    def follow(point: Point) -> list[Point]:
        run = [point]
        while after := [n for n in at[run[-1]] if n in free]:
            free.discard(after[0])
            a, b = steps[after[0]]
            run.append(b if a == run[-1] else a)
        return run

    runs: list[tuple[Point, ...]] = []
    for number, (a, b) in enumerate(steps):
        if number in free:
            free.discard(number)
            runs.append((*reversed(follow(a)), *follow(b)))
    return runs
