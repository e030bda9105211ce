"""Straight runs from corner to corner, some corners rounded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import atan2, cos, hypot, pi, sin, tan

from parts.sheet.curve import SAME_POINT, Curve, Line, Point, arc

SHARPEST = pi - 0.02  # radians of turn; a corner that comes back on itself cannot be rounded


def rounded(points: Sequence[Point], radii: Sequence[float], closed: bool) -> tuple[Curve, ...]:
    """The curves through the corners, each rounded by its radius (0: sharp).

    Corners that `too_round` has nothing to say of. A square corner of radius 2:

    >>> [type(c).__name__ for c in rounded([(0, 0), (10, 0), (10, 10)], [0, 2, 0], False)]
    ['Line', 'Arc', 'Line']
    """
    curves: list[Curve] = []
    here = points[0]
    count = len(points)
    first: Point | None = None
    for i in range(0 if closed else 1, count if closed else count - 1):
        before, at, after = points[i - 1], points[i], points[(i + 1) % count]
        turn, take = _turn(before, at, after), _taken(before, at, after, radii[i])
        if take == 0:
            start, bow = at, None
        else:
            start = _toward(at, before, take)
            side = 1.0 if turn > 0 else -1.0
            heading = atan2(at[1] - before[1], at[0] - before[0])
            out = heading - side * pi / 2
            middle = (start[0] - radii[i] * cos(out), start[1] - radii[i] * sin(out))
            bow = arc(middle, radii[i], out, turn)
        if closed and i == 0:
            first = start
        elif (hypot(start[0] - here[0], start[1] - here[1])) > SAME_POINT:
            curves.append(Line(here, start))
        if bow is not None:
            curves.append(bow)
        here = bow.end if bow is not None else at
    last = first if closed and first is not None else points[-1]
    if hypot(last[0] - here[0], last[1] - here[1]) > SAME_POINT:
        curves.append(Line(here, last))
    return tuple(curves)


def too_round(
    points: Sequence[Point], radii: Sequence[float], closed: bool
) -> Iterator[tuple[int, str, str]]:
    """Which corners are written twice or rounded by too much, and the remedy."""
    count = len(points)
    for i in range(1, count):
        if points[i] == points[i - 1]:
            yield i, "is the same corner as the one before it", "write each corner once"
            return
    if closed and count > 1 and points[0] == points[-1]:
        yield count - 1, "is the first corner again", "leave it out: the outline is closed already"
        return
    inner = range(count) if closed else range(1, count - 1)
    for i, radius in enumerate(radii):
        if radius < 0:
            yield i, f"has a radius of {radius:g} mm", "write one of 0 or more"
            return
        if radius > 0 and i not in inner:
            yield i, "is an end and cannot be rounded", "leave its third number out"
            return
    takes = {i: _taken(points[i - 1], points[i], points[(i + 1) % count], radii[i]) for i in inner}
    for i in inner:
        for j in ((i + 1) % count, i - 1):
            side = hypot(points[i][0] - points[j][0], points[i][1] - points[j][1])
            if radii[i] > 0 and takes[i] + takes.get(j % count, 0.0) > side + SAME_POINT:
                yield (
                    i, f"is rounded by {radii[i]:g} mm, for which its sides are too short",
                    "measure the radius again, or leave it out",
                )  # fmt: skip
                return


def _turn(before: Point, at: Point, after: Point) -> float:
    """Turn at a corner in radians, + to the left."""
    ax, ay = at[0] - before[0], at[1] - before[1]
    bx, by = after[0] - at[0], after[1] - at[1]
    return atan2(ax * by - ay * bx, ax * bx + ay * by)


def _taken(before: Point, at: Point, after: Point, radius: float) -> float:
    """How much of either side the round takes."""
    turn = abs(_turn(before, at, after))
    if radius <= 0 or turn < 1e-6:
        return 0.0
    return radius * tan(turn / 2) if turn < SHARPEST else 1e9


def _toward(start: Point, other: Point, by: float) -> Point:
    size = hypot(other[0] - start[0], other[1] - start[1])
    share = by / size
    return (start[0] + share * (other[0] - start[0]), start[1] + share * (other[1] - start[1]))
