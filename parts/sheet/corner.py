"""Corners of an outline, rounded."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from math import atan2, floor, pi, sqrt, tau
from typing import Literal, TypeAlias

from parts.sheet.curve import SAME_POINT, Arc, Curve, Line, Point, at_words, distance, side_of
from parts.sheet.loop import Loop, joined, self_meetings

Which: TypeAlias = Literal["convex", "concave", "both"]

SMOOTH = 1e-3  # radians; curves that join within this turn make no corner
SPOT = 1e-3  # mm; a corner this near to a named point is the corner meant


@dataclass(frozen=True, slots=True)
class _Round:
    """A round between two curves: an arc, and the fractions where it leaves and joins them."""

    arc: Arc
    leaves: float
    joins: float


def turn_at(loop: Loop, corner: int) -> float:
    """Turn at the end of curve `corner`, radians; more than 0 is convex for an outline.

    At a spike the sign is that of the side on which the next curve comes back.
    """
    before, after = loop[corner], loop[(corner + 1) % len(loop)]
    (ax, ay), (bx, by) = before.tangent(1.0), after.tangent(0.0)
    across, ahead = ax * by - ay * bx, ax * bx + ay * by
    if ahead < 0 and abs(across) < 1e-9:
        return -pi if _curvature(before) + _curvature(after) > 0 else pi
    return atan2(across, ahead)


def _curvature(curve: Curve) -> float:
    if isinstance(curve, Line):
        return 0.0
    return (1.0 if curve.sweep > 0 else -1.0) / curve.radius


def fillet(loop: Loop, corner: int, radius: float) -> Loop:
    """The loop with the corner at the end of curve `corner` rounded by an arc tangent to both.

    A convex corner loses metal, a concave one gains it. Raises ValueError where there is no
    corner or the radius does not fit; the message names the largest that does.

    One corner of a square rounded by 2 loses (4 - pi) x 2 x 2 / 4 = 0.8584:

    >>> from parts.sheet.loop import area, polygon
    >>> square = polygon([(0, 0), (10, 0), (10, 10), (0, 10)])
    >>> round(area(fillet(square, 0, 2)), 4)
    99.1416
    """
    corner %= len(loop)
    where = at_words(loop[corner].end)
    if radius <= 0:
        raise ValueError(f"corner {where}: radius {radius:g} must be more than 0 mm")
    if abs(turn_at(loop, corner)) < SMOOTH:
        raise ValueError(f"the curves at {where} join smoothly: there is no corner to round")
    result = _filleted(loop, corner, radius)
    if result is None:
        low, high = 0.0, radius
        for _ in range(40):
            middle = (low + high) / 2
            low, high = (middle, high) if _filleted(loop, corner, middle) else (low, middle)
        raise ValueError(_too_large(where, radius, low))
    return result


def _filleted(loop: Loop, corner: int, radius: float) -> Loop | None:
    found = _fit(loop, corner, radius)
    if found is None:
        return None
    result = _built(loop, {corner: found})
    return None if self_meetings(result) else result


def fillet_all(
    loop: Loop,
    radius: float,
    which: Which = "both",
    skip: Collection[Point] = (),
    shrink: bool = False,
) -> Loop:
    """The loop with its corners rounded; joints that are smooth already stay as they are.

    Corners at a point of `skip` stay sharp. Where the radius does not fit, `shrink` gives that
    corner as much as does (two corners that share a short side get one radius); without it,
    ValueError names the corner and the largest radius.

    >>> from parts.sheet.loop import area, polygon
    >>> bar = polygon([(0, 0), (30, 0), (30, 8), (0, 8)])
    >>> round(area(fillet_all(bar, 6, shrink=True)), 3)  # a slot: 22 x 8 and a circle of 8
    226.265
    """
    if radius <= 0:
        raise ValueError(f"radius {radius:g} must be more than 0 mm")
    chosen = [i for i in range(len(loop)) if _wanted(loop, i, which, skip)]
    sizes = {i: _largest(loop, (i,), radius) for i in chosen}
    for i in chosen:
        after = (i + 1) % len(loop)
        if after in sizes and not _apart(loop, i, after, sizes[i], sizes[after]):
            shared = _largest(loop, (i, after), max(sizes[i], sizes[after]))
            sizes[i], sizes[after] = min(sizes[i], shared), min(sizes[after], shared)
    if not shrink:
        for i, size in sizes.items():
            if size < radius:
                raise ValueError(_too_large(at_words(loop[i].end), radius, size))
    rounds = {i: found for i, size in sizes.items() if (found := _fit(loop, i, size))}
    result = _built(loop, rounds)
    if crossed := self_meetings(result):
        raise ValueError(
            f"rounded by {radius:g} mm, the outline meets itself at {at_words(crossed[0])}: "
            "use a smaller radius"
        )
    return result


def _wanted(loop: Loop, corner: int, which: Which, skip: Collection[Point]) -> bool:
    turn = turn_at(loop, corner)
    if abs(turn) < SMOOTH or any(distance(loop[corner].end, p) < SPOT for p in skip):
        return False
    return which == "both" or (turn > 0) == (which == "convex")


def _largest(loop: Loop, corners: tuple[int, ...], radius: float) -> float:
    """The largest radius up to `radius` that fits one corner, or two neighbours at once."""

    def fits(size: float) -> bool:
        if len(corners) == 2:
            return _apart(loop, *corners, size, size)
        return _fit(loop, corners[0], size) is not None

    if fits(radius):
        return radius
    low, high = 0.0, radius
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def _apart(loop: Loop, first: int, second: int, size: float, next_size: float) -> bool:
    """Whether the rounds at both ends of a curve leave each other room on it."""
    a, b = _fit(loop, first, size), _fit(loop, second, next_size)
    spare = SAME_POINT / 2 / loop[second].length
    return a is not None and b is not None and a.joins <= b.leaves + spare


def _fit(loop: Loop, corner: int, radius: float) -> _Round | None:
    """The round of this radius at the end of curve `corner`, if both curves have room for it."""
    if radius < SAME_POINT:
        return None
    before, after = loop[corner], loop[(corner + 1) % len(loop)]
    way = 1.0 if turn_at(loop, corner) > 0 else -1.0
    best: tuple[float, _Round] | None = None
    for center in _centers(before, after, way * radius):
        feet = (_foot(before, center, way * radius), _foot(after, center, way * radius))
        ends = [c.nearest_fraction(p) for c, p in zip((before, after), feet, strict=True)]
        if any(
            distance(c.at(f), p) > SAME_POINT / 2
            or distance(c.nearest(center), center) < radius - SAME_POINT
            for c, f, p in zip((before, after), ends, feet, strict=True)
        ):
            continue
        start, stop = (atan2(p[1] - center[1], p[0] - center[0]) for p in feet)
        sweep = way * ((stop - start) * way % tau)
        cut = (1 - ends[0]) * before.length + ends[1] * after.length
        if best is None or cut < best[0]:
            best = (cut, _Round(Arc(*feet, center, sweep), *ends))
    return best[1] if best else None


def _centers(a: Curve, b: Curve, left: float) -> list[Point]:
    """The points `left` mm to the left of both curves, each carried on without end."""
    if isinstance(a, Arc) and isinstance(b, Arc):
        return _circles_meet(a.center, _inner(a, left), b.center, _inner(b, left))
    if isinstance(a, Arc):
        a, b = b, a
    assert isinstance(a, Line)
    point, along = _left_of(a, left), a.tangent(0.0)
    if isinstance(b, Arc):
        height, radius = side_of(b.center, point, along), _inner(b, left)
        if abs(height) > radius:
            return []
        foot = (b.center[0] + height * along[1], b.center[1] - height * along[0])
        half = sqrt(radius**2 - height**2)
        return [_along(foot, along, half), _along(foot, along, -half)]
    other, other_along = _left_of(b, left), b.tangent(0.0)
    lean = along[0] * other_along[1] - along[1] * other_along[0]
    if abs(lean) < 1e-12:
        return []
    return [_along(point, along, side_of(point, other, other_along) / lean)]


def _circles_meet(a: Point, ra: float, b: Point, rb: float) -> list[Point]:
    gap = distance(a, b)
    if min(ra, rb) <= 0 or gap == 0 or gap > ra + rb or gap < abs(ra - rb):
        return []
    along = ((b[0] - a[0]) / gap, (b[1] - a[1]) / gap)
    ahead = (gap**2 + ra**2 - rb**2) / (2 * gap)
    half = sqrt(max(0.0, ra**2 - ahead**2))
    foot, across = _along(a, along, ahead), (-along[1], along[0])
    return [_along(foot, across, half), _along(foot, across, -half)]


def _inner(curve: Arc, left: float) -> float:
    """Radius of the arc moved to its left; 0 or less where it shrinks to nothing."""
    return curve.radius - (left if curve.sweep > 0 else -left)


def _left_of(line: Line, left: float) -> Point:
    dx, dy = line.tangent(0.0)
    return (line.start[0] - left * dy, line.start[1] + left * dx)


def _along(point: Point, direction: Point, by: float) -> Point:
    return (point[0] + by * direction[0], point[1] + by * direction[1])


def _foot(curve: Curve, center: Point, left: float) -> Point:
    """Where a round about `center`, `left` mm to the left of the endless curve, touches it."""
    if isinstance(curve, Line):
        dx, dy = curve.tangent(0.0)
        return (center[0] + left * dy, center[1] - left * dx)
    return _along(
        curve.center,
        (center[0] - curve.center[0], center[1] - curve.center[1]),
        curve.radius / _inner(curve, left),
    )


def _built(loop: Loop, rounds: Mapping[int, _Round]) -> Loop:
    curves: list[Curve] = []
    for i, curve in enumerate(loop):
        before, after = rounds.get((i - 1) % len(loop)), rounds.get(i)
        low, high = before.joins if before else 0.0, after.leaves if after else 1.0
        if (high - low) * curve.length > SAME_POINT:
            curves.append(curve.between(low, high))
        if after:
            curves.append(after.arc)
    return joined(tuple(curves), "the rounded outline")


def _too_large(where: str, radius: float, largest: float) -> str:
    least = floor(largest * 1000 + 1e-4) / 1000
    if least <= 0:
        return f"corner {where}: no radius fits there"
    return f"corner {where}: radius {radius:g} does not fit; the largest that does is {least:g} mm"
