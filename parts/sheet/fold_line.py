"""The two tangent lines of each bend, the stretches of them in the metal, and cuts near them.

Where a cut meets a tangent line too nearly (a hole that just touches it, a corner a nanometre
off it), a kernel can tell neither side nor order. Such cuts are moved by a hair: by at most
`SAME_POINT`, or `clear` of the line where that is more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, pi, sin, tan, tau

from parts.sheet.blank import Blank
from parts.sheet.curve import SAME_POINT, Arc, Curve, Line, Point, arc, distance, side_of
from parts.sheet.loop import Loop, contains

CLEAR = 2e-7  # mm; twice what a kernel takes for one point
CLEAR_RAD = 4e-9  # the same on a bend, as an angle; it counts where the radius is large


@dataclass(frozen=True, slots=True)
class FoldLine:
    """One tangent line of a bend and the stretches of it that lie in the metal."""

    bend: int
    which: int  # 0 start line, 1 end line
    point: Point
    along: Point
    stretches: tuple[tuple[float, float], ...]
    clear: float  # mm that an arc must keep off it

    def holds(self, v: float) -> bool:
        return any(low - SAME_POINT < v < high + SAME_POINT for low, high in self.stretches)

    def beside(self, p: Point) -> float:
        return (p[0] - self.point[0]) * self.along[0] + (p[1] - self.point[1]) * self.along[1]

    def off(self, p: Point) -> float:
        return side_of(p, self.point, self.along)

    def foot(self, p: Point) -> Point:
        """The point of the line nearest to `p`."""
        off = self.off(p)
        return (p[0] + off * self.along[1], p[1] - off * self.along[0])

    def at(self, v: float) -> Point:
        return (self.point[0] + v * self.along[0], self.point[1] + v * self.along[1])


def fold_lines(blank: Blank, number: int) -> Iterator[FoldLine]:
    """The start line and the end line of a bend of the blank."""
    bend = blank.bends[number]
    reach = bend.beside(bend.end)
    for which, (point, _) in enumerate(((bend.start, bend.end), bend.end_line())):
        found = tuple(
            (low, high)
            for low, high in stretches(blank.outline, point, bend.along)
            if min(high, reach) - max(low, 0.0) > SAME_POINT
        )
        clear = max(CLEAR, CLEAR_RAD * bend.neutral_radius)
        yield FoldLine(number, which, point, bend.along, found, clear)


def stretches(outline: Loop, point: Point, along: Point) -> list[tuple[float, float]]:
    """Stretches of an endless line that run inside the outline, as distances from `point`.

    >>> from parts.sheet.loop import polygon
    >>> stretches(polygon([(0, 0), (4, 0), (4, 3), (0, 3)]), (1, 1), (1, 0))
    [(-1.0, 3.0)]
    """
    marks: list[float] = []
    for curve in outline:
        hits = [curve.at(f) for f in curve.crossings(point, along)]
        if abs(side_of(curve.start, point, along)) < SAME_POINT:
            hits.append(curve.start)
        marks += [(p[0] - point[0]) * along[0] + (p[1] - point[1]) * along[1] for p in hits]
    marks.sort()
    found: list[tuple[float, float]] = []
    for low, high in pairwise(marks):
        if high - low < SAME_POINT:
            continue
        middle = (low + high) / 2
        p = (point[0] + middle * along[0], point[1] + middle * along[1])
        if not _inside_clear(outline, p, along):
            continue
        if found and low - found[-1][1] < SAME_POINT:
            found[-1] = (found[-1][0], high)
        else:
            found.append((low, high))
    return found


def _inside_clear(outline: Loop, p: Point, along: Point) -> bool:
    """Inside, and not on an edge that runs along the line itself."""
    step = 2 * SAME_POINT
    left = (p[0] - step * along[1], p[1] + step * along[0])
    right = (p[0] + step * along[1], p[1] - step * along[0])
    return contains([outline], left) and contains([outline], right)


def settled(loop: Loop, lines: list[FoldLine]) -> Loop:
    """The loop moved by a hair where it meets a tangent line too nearly for a kernel.

    Joints within SAME_POINT of a tangent line are put on it; arcs that touch one, or cross or
    miss it by less than its `clear`, are made to clear it by that.
    """
    if len(loop) == 1 and isinstance(loop[0], Arc) and loop[0].full:
        return (_settled_circle(loop[0], lines),)
    moved = list(loop)
    for line in lines:
        near = [_near(c.start, line, 1) for c in loop]
        # the far end of a side that lies along the line goes with the near one
        ends = [
            near[i] or (_near(c.start, line, 3) and (near[i - 1] or near[(i + 1) % len(loop)]))
            for i, c in enumerate(loop)
        ]
        if not any(ends):
            continue
        moved = [
            between(
                c,
                line.foot(c.start) if ends[i] else c.start,
                line.foot(c.end) if ends[(i + 1) % len(loop)] else c.end,
            )
            for i, c in enumerate(moved)
        ]
    return tuple(_cleared(c, lines) if isinstance(c, Arc) else c for c in moved)


def _near(p: Point, line: FoldLine, times: int) -> bool:
    return abs(line.off(p)) < times * SAME_POINT and line.holds(line.beside(p))


def _settled_circle(circle: Arc, lines: list[FoldLine]) -> Arc:
    """A whole circle that clears every tangent line it touches and does not start on one."""
    x, y = circle.center
    radius, start = circle.radius, circle.start_angle
    for line in lines:
        height = abs(line.off(circle.center))
        if abs(height - radius) < line.clear and line.holds(line.beside(circle.center)):
            radius = height - line.clear
    starts = [start + eighth * pi / 4 for eighth in range(8)]

    def near_line(angle: float) -> bool:
        rim = (x + radius * cos(angle), y + radius * sin(angle))
        return any(abs(line.off(rim)) < 2 * SAME_POINT for line in lines)

    # a circle in a bend is cut in two, and a kernel looks at the middle of each half
    free = [a for a in starts if not any(near_line(a + quarter * pi / 2) for quarter in range(4))]
    if radius == circle.radius and free[:1] == [start]:
        return circle
    return arc(circle.center, radius, free[0] if free else start, circle.sweep)


def _cleared(bow: Arc, lines: list[FoldLine]) -> Arc:
    """An arc between fixed ends, flattened by a hair where it bows out to a tangent line."""
    for line in lines:
        height = line.off(bow.center)
        gap = abs(height) - bow.radius
        if abs(gap) >= line.clear or not line.holds(line.beside(bow.center)):
            continue
        toward = atan2(-line.along[0], line.along[1])
        at = bow.fraction_at(toward if height > 0 else toward + pi)
        if at is None or not 0.05 < at < 0.95:
            continue
        half = distance(bow.start, bow.end) / 2
        rise = half * tan(abs(bow.sweep) / 4) - (line.clear - gap) / (4 * at * (1 - at))
        sweep = 4 * atan2(rise, half) * (1 if bow.sweep > 0 else -1)
        (sx, sy), (ex, ey) = bow.start, bow.end
        back = 0.5 / tan(sweep / 2)
        center = ((sx + ex) / 2 - back * (ey - sy), (sy + ey) / 2 + back * (ex - sx))
        bow = Arc(bow.start, bow.end, center, sweep)
    return bow


def between(piece: Curve, start: Point, end: Point) -> Curve:
    """The curve with ends moved by a hair; an arc's centre and sweep follow."""
    if isinstance(piece, Line):
        return Line(start, end)
    (x, y), shift = piece.center, (start[0] - piece.start[0], start[1] - piece.start[1])
    if piece.full:
        return Arc(start, start, (x + shift[0], y + shift[1]), piece.sweep)
    if max(distance(start, piece.start), distance(end, piece.end)) < 1e-10:
        return Arc(start, end, piece.center, piece.sweep)
    dx, dy = end[0] - start[0], end[1] - start[1]
    square = dx * dx + dy * dy
    if square > SAME_POINT:  # equally far from both ends
        off = ((x - start[0]) * dx + (y - start[1]) * dy) / square - 0.5
        x, y = x - off * dx, y - off * dy
    sweep = atan2(end[1] - y, end[0] - x) - atan2(start[1] - y, start[0] - x)
    sweep += tau * round((piece.sweep - sweep) / tau)
    return Arc(start, end, (x, y), sweep)
