"""Lines and arcs in the flat, the only curves the metal is drawn with, and where they meet."""

from __future__ import annotations

from collections.abc import Iterator
from math import acos, atan2, hypot, sin, tan

from parts.sheet.line_arc import (
    SAME_POINT,
    TOUCH,
    Arc,
    Box,
    Curve,
    Line,
    Point,
    arc,
    at_words,
    distance,
    side_of,
)

__all__ = [
    "SAME_POINT", "TOUCH",
    "Arc", "Box", "Curve", "Line", "Point",
    "arc", "arc_through", "at_words", "boxes_near", "bulge", "curve_distance", "distance",
    "meetings", "side_of",
]  # fmt: skip


def meetings(a: Curve, b: Curve) -> list[Point]:
    """Every point the two curves share, ends included; overlapping curves give their ends."""
    if not boxes_near(a.box(), b.box(), SAME_POINT):
        return []
    if isinstance(a, Arc) and isinstance(b, Arc):
        found = list(_arcs_meet(a, b))
    elif isinstance(a, Arc) or isinstance(b, Arc):
        line, bow = (b, a) if isinstance(a, Arc) else (a, b)
        assert isinstance(line, Line)
        found = []
        if line.length > 0:
            found = [bow.at(f) for f in bow.crossings(line.start, line.tangent(0))]
        found = [p for p in found if distance(line.nearest(p), p) < SAME_POINT]
    else:
        found = list(_lines_meet(a, b))
    for p in (a.start, a.end):
        if distance(b.nearest(p), p) < SAME_POINT:
            found.append(p)
    for p in (b.start, b.end):
        if distance(a.nearest(p), p) < SAME_POINT:
            found.append(p)
    return found


def _lines_meet(a: Line, b: Line) -> Iterator[Point]:
    if a.length == 0 or b.length == 0:
        return
    for f in a.crossings(b.start, b.tangent(0)):
        p = a.at(f)
        if distance(b.nearest(p), p) < SAME_POINT:
            yield p


def _arcs_meet(a: Arc, b: Arc) -> Iterator[Point]:
    gap = distance(a.center, b.center)
    ra, rb = a.radius, b.radius
    if gap < 1e-9 or gap > ra + rb + SAME_POINT or gap < abs(ra - rb) - SAME_POINT:
        return
    toward = atan2(b.center[1] - a.center[1], b.center[0] - a.center[0])
    opening = acos(max(-1.0, min(1.0, (gap**2 + ra**2 - rb**2) / (2 * gap * ra))))
    for angle in {toward - opening, toward + opening}:
        f = a.fraction_at(angle)
        if f is not None:
            p = a.at(f)
            if distance(b.nearest(p), p) < SAME_POINT:
                yield p


def boxes_near(a: Box, b: Box, within: float) -> bool:
    """Whether two boxes come nearer than `within` along both axes."""
    return (
        a[0] <= b[2] + within
        and b[0] <= a[2] + within
        and a[1] <= b[3] + within
        and b[1] <= a[3] + within
    )


def curve_distance(a: Curve, b: Curve) -> tuple[float, Point, Point]:
    """Least distance between two curves, and the nearest point of each.

    >>> from math import tau
    >>> curve_distance(Line((0, 0), (10, 0)), arc((5, 8), 3, 0, tau))[0]
    5.0
    """
    shared = meetings(a, b)
    if shared:
        return 0.0, shared[0], shared[0]
    pairs = [(p, b.nearest(p)) for p in (a.start, a.end)]
    pairs += [(a.nearest(p), p) for p in (b.start, b.end)]
    for bow, other, swap in ((a, b, False), (b, a, True)):
        if isinstance(bow, Arc):
            far = other.nearest(bow.center)
            foot = bow.nearest(far)
            pairs.append((far, foot) if swap else (foot, far))
    p, q = min(pairs, key=lambda pair: distance(*pair))
    return distance(p, q), p, q


def bulge(curve: Curve) -> float:
    """Tangent of a quarter of the sweep, as LWPOLYLINE entities carry arcs; 0 for a line."""
    return tan(curve.sweep / 4) if isinstance(curve, Arc) else 0.0


def arc_through(start: Point, end: Point, tangent: Point) -> Curve:
    """The arc (or line) from `start` to `end` that leaves along the unit `tangent`.

    Raises ValueError where no arc does: no distance between them, or `end` straight behind.
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    size = hypot(dx, dy)
    if size == 0:
        raise ValueError("an arc needs two different ends")
    turn = (tangent[0] * dy - tangent[1] * dx) / size  # sine of half the sweep
    ahead = (tangent[0] * dx + tangent[1] * dy) / size
    half = atan2(turn, ahead)
    if ahead > 0 and abs(size * half / 4) < 1e-6:  # bows out by less than 1e-6 mm
        return Line(start, end)
    if abs(turn) < 1e-12:
        raise ValueError("no arc leaves away from its own end: turn the tangent round")
    radius = size / (2 * sin(half))
    center = (start[0] - radius * tangent[1], start[1] + radius * tangent[0])
    return Arc(start, end, center, 2 * half)
