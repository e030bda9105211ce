"""Closed runs of curves: outlines (anticlockwise) and cut-outs (clockwise)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import atan2, cos, degrees, pi, radians, sin, sqrt, tau
from typing import TypeAlias

from parts.sheet.curve import (
    SAME_POINT,
    Arc,
    Box,
    Curve,
    Line,
    Point,
    arc,
    at_words,
    boxes_near,
    curve_distance,
    distance,
    meetings,
)

Loop: TypeAlias = tuple[Curve, ...]


def polygon(corners: Sequence[Point]) -> Loop:
    """Straight sides from corner to corner, closed.

    >>> area(polygon([(0, 0), (4, 0), (4, 3), (0, 3)]))
    12.0
    """
    ends = [*corners[1:], corners[0]]
    return tuple(Line(a, b) for a, b in zip(corners, ends, strict=True))


def circle(center: Point, diameter: float) -> Loop:
    """A round hole, clockwise."""
    return (arc(center, diameter / 2, pi / 2, -tau),)


def slot(center: Point, length: float, width: float, angle_deg: float) -> Loop:
    """A round-ended slot, clockwise: overall `length` along `angle_deg`, and its `width`.

    >>> round(-area(slot((0, 0), 30, 10, 0)), 4)
    278.5398
    """
    if length <= width:
        return circle(center, width)
    angle = radians(angle_deg)
    reach, r = (length - width) / 2, width / 2
    far = (center[0] + reach * cos(angle), center[1] + reach * sin(angle))
    near = (center[0] - reach * cos(angle), center[1] - reach * sin(angle))
    first = arc(far, r, angle + pi / 2, -pi)
    second = arc(near, r, angle - pi / 2, -pi)
    return (Line(second.end, first.start), first, Line(first.end, second.start), second)


def slot_size(loop: Loop) -> tuple[Point, float, float, float] | None:
    """Middle, overall length, width and angle (0 to 180 degrees) of a round-ended slot, or None.

    >>> slot_size(slot((5, 5), 30, 10, 0))
    ((5.0, 5.0), 30.0, 10.0, 0.0)
    """
    ends = [curve for curve in loop if isinstance(curve, Arc)]
    sides = [curve for curve in loop if isinstance(curve, Line)]
    if len(ends) != 2 or len(sides) != 2:
        return None
    half_turns = all(abs(degrees(abs(end.sweep)) - 180) < 1e-6 for end in ends)
    if not half_turns or abs(ends[0].radius - ends[1].radius) > 1e-6:
        return None
    (ax, ay), (bx, by) = ends[0].center, ends[1].center
    apart = Line(ends[0].center, ends[1].center)
    dx, dy = apart.tangent(0)
    angle_deg = round(degrees(atan2(dy, dx)), 9) % 180
    middle = ((ax + bx) / 2, (ay + by) / 2)
    width = 2 * ends[0].radius
    return middle, apart.length + width, width, angle_deg


def area(loop: Iterable[Curve]) -> float:
    """Signed area, positive for an anticlockwise loop; exact for lines and arcs."""
    return sum(curve.swept_area() for curve in loop)


def length(loop: Iterable[Curve]) -> float:
    """Length of the cut."""
    return sum(curve.length for curve in loop)


def reversed_loop(loop: Loop) -> Loop:
    """The same loop run the other way."""
    return tuple(curve.reversed() for curve in reversed(loop))


def anticlockwise(loop: Loop) -> Loop:
    """The loop, turned round if it runs clockwise."""
    return loop if area(loop) > 0 else reversed_loop(loop)


def clockwise(loop: Loop) -> Loop:
    """The loop, turned round if it runs anticlockwise."""
    return reversed_loop(anticlockwise(loop))


def box(loop: Iterable[Curve]) -> Box:
    """Least and greatest x and y."""
    boxes = [curve.box() for curve in loop]
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def directions(loop: Iterable[Curve]) -> list[float]:
    """Directions of the straight sides, degrees over 0 to 180, and 0 itself.

    >>> directions(polygon([(0, 0), (4, 0), (0, 4)]))
    [0.0, 90.0, 135.0]
    """
    found = {0.0}
    for curve in loop:
        if isinstance(curve, Line):
            dx, dy = curve.tangent(0.0)
            found.add(round(degrees(atan2(dy, dx)) % 180, 9))
    return sorted(found)


def moved(
    loop: Loop, shift: Point = (0.0, 0.0), turn_deg: float = 0.0, mirror_y: bool = False
) -> Loop:
    """The loop mirrored (y to -y) if asked, then turned about (0, 0), then shifted.

    A mirrored loop runs the other way round; it is turned back so that area keeps its sign.
    """
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))

    def put(p: Point) -> Point:
        x, y = p[0], -p[1] if mirror_y else p[1]
        return (c * x - s * y + shift[0], s * x + c * y + shift[1])

    curves: list[Curve] = []
    for curve in loop:
        if isinstance(curve, Arc):
            sweep = -curve.sweep if mirror_y else curve.sweep
            start = put(curve.start)
            end = start if curve.full else put(curve.end)
            curves.append(Arc(start, end, put(curve.center), sweep))
        else:
            curves.append(Line(put(curve.start), put(curve.end)))
    return reversed_loop(tuple(curves)) if mirror_y else tuple(curves)


def contains(loops: Iterable[Iterable[Curve]], point: Point) -> bool:
    """Whether the point lies inside the loops by the even-odd rule; exact for lines and arcs.

    >>> contains([polygon([(0, 0), (4, 0), (4, 3), (0, 3)]), circle((2, 1), 1)], (2, 1))
    False
    """
    # the ray is lifted a hair so that it does not run through drawn corners
    p = (point[0], point[1] + 1.234567e-8)
    return sum(1 for loop in loops for curve in loop for _ in _ray_hits(curve, p)) % 2 == 1


def _ray_hits(curve: Curve, p: Point) -> Iterator[None]:
    if isinstance(curve, Line):
        below, above = curve.start[1] - p[1], curve.end[1] - p[1]
        if (below > 0) != (above > 0):
            x = curve.start[0] + (curve.end[0] - curve.start[0]) * below / (below - above)
            if x > p[0]:
                yield
        return
    height = p[1] - curve.center[1]
    radius = curve.radius
    if abs(height) >= radius:
        return
    half = sqrt(radius * radius - height * height)
    for dx in (half, -half):
        if curve.center[0] + dx > p[0]:
            f = curve.fraction_at(atan2(height, dx))
            if f is not None and f < 1:
                yield


def self_meetings(loop: Loop) -> list[Point]:
    """Points where the loop meets itself other than at its own corners."""
    found: list[Point] = []
    boxes = [curve.box() for curve in loop]
    count = len(loop)
    for i in range(count):
        for j in range(i + 1, count):
            if not boxes_near(boxes[i], boxes[j], SAME_POINT):
                continue
            joints = []
            if j == i + 1:
                joints.append(loop[i].end)
            if i == 0 and j == count - 1:
                joints.append(loop[0].start)
            for p in meetings(loop[i], loop[j]):
                if all(distance(p, joint) > 10 * SAME_POINT for joint in joints):
                    found.append(p)
    for i, curve in enumerate(loop):  # a curve that runs back along the one before it
        before = loop[i - 1]
        if count > 1 and _folds_back(before, curve):
            found.append(curve.start)
    return found


def _folds_back(before: Curve, after: Curve) -> bool:
    a, b = before.tangent(1.0), after.tangent(0.0)
    if a[0] * b[0] + a[1] * b[1] > -1 + 1e-12:
        return False
    if isinstance(before, Line) and isinstance(after, Line):
        return True
    inside = before.at(1 - min(0.25, 2e-3 / before.length))
    return distance(after.nearest(inside), inside) < 1e-9


def loop_distance(a: Loop, b: Loop, within: float) -> tuple[float, Point, Point] | None:
    """Least distance between two loops and where, or None where it is more than `within`."""
    best: tuple[float, Point, Point] | None = None
    boxes = [curve.box() for curve in b]
    for curve in a:
        own = curve.box()
        for other, other_box in zip(b, boxes, strict=True):
            if boxes_near(own, other_box, within if best is None else best[0]):
                found = curve_distance(curve, other)
                if found[0] <= within and (best is None or found[0] < best[0]):
                    best = found
    return best


def joined(loop: Loop, name: str) -> Loop:
    """The loop with ends that agree exactly; a gap of over 1e-6 mm raises ValueError.

    Curves shorter than that are left out.
    """
    for before, after in _pairs(loop):
        gap = distance(before.end, after.start)
        if gap > SAME_POINT:
            raise ValueError(f"{name} is open by {gap:.6f} mm at {at_words(before.end)}: close it")
    kept = [curve for curve in loop if curve.length > SAME_POINT]
    return tuple(_ending_at(before, after.start) for before, after in _pairs(kept))


def _pairs(loop: Sequence[Curve]) -> Iterator[tuple[Curve, Curve]]:
    """Every curve with the one after it, the last with the first."""
    return zip(loop, [*loop[1:], *loop[:1]], strict=True)


def _ending_at(curve: Curve, end: Point) -> Curve:
    if isinstance(curve, Line):
        return Line(curve.start, end)
    return Arc(curve.start, end, curve.center, curve.sweep)
