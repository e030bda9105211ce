"""The edge of a blank as a person marks it out: corners, round corners, larger arcs, and the two
edges that he hooks a tape on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, degrees, radians
from typing import Literal

from parts.sheet import loop as loops
from parts.sheet.curve import Arc, Box, Curve, Line, Point, distance
from parts.sheet.loop import Loop

SMOOTH = cos(radians(0.5))  # joints that turn by less are smooth
ALIGNED = 5e-5  # mm per mm that an edge along an axis may lean: under 0.05 mm in a metre
ONE_ARC = 0.01  # mm; arcs with centres and radii this near are one
MOST_FILLET_DEG = 120.0
SEEN = 0.1  # mm; an arc that stands off its corner by less needs no radius
HOOK = 10.0  # mm of straight edge that a tape hooks on
FAIR_SHARE = 0.3  # of the blank's size, that an edge inside its box must have to be hooked on


@dataclass(frozen=True, slots=True)
class Round:
    """An arc to be marked with its radius: a rounded corner, or an arc of its own."""

    arc: Arc
    corner: bool


@dataclass(frozen=True, slots=True)
class Outline:
    """What of a loop must be marked out: points by their places, and arcs by their radii.

    Rounded corners have their corner among the points, arcs of their own their centre where it
    lies on the blank.
    """

    corners: tuple[Point, ...]
    centres: tuple[Point, ...]
    rounds: tuple[Round, ...]


def outline(loop: Loop, box: Box) -> Outline:
    """What must be marked out of a loop that lies in that box.

    >>> from parts.sheet.loop import polygon
    >>> outline(polygon([(0, 0), (9, 0), (0, 9)]), (0, 0, 9, 9)).corners
    ((0, 0), (9, 0), (0, 9))
    """
    curves = simplified(loop)
    count = len(curves)
    corners: list[Point] = []
    centres: list[Point] = []
    rounds: list[Round] = []
    rounded: set[int] = set()
    centred: set[int] = set()
    for k, curve in enumerate(curves):
        if not isinstance(curve, Arc):
            continue
        tip = _tip(curves, k)
        if tip is not None:
            rounded.add(k)
            corners.append(tip)
        elif curve.full or _in(curve.center, box):
            centred.add(k)
            centres.append(curve.center)
        if tip is None or curve.radius - _apothem(curve) > SEEN:
            rounds.append(Round(curve, tip is not None))
    for k, curve in enumerate(curves):
        before = curves[k - 1]
        if count == 1 or k in rounded or (k - 1) % count in rounded:
            continue
        by_centre = k in centred or (k - 1) % count in centred
        if by_centre and smooth(before, curve):
            continue  # the arc is known by its centre and runs smoothly into what comes next
        corners.append(curve.start)
    return Outline(tuple(corners), tuple(centres), tuple(rounds))


def simplified(loop: Loop) -> Loop:
    """The loop with arcs of one centre, and lines of one direction, drawn as one."""
    curves: list[Curve] = []
    for curve in loop:
        joined = _joined(curves[-1], curve) if curves else None
        if joined is None:
            curves.append(curve)
        else:
            curves[-1] = joined
    if len(curves) > 1 and (whole := _joined(curves[-1], curves[0])) is not None:
        curves = [whole, *curves[1:-1]]
    return tuple(curves)


def _joined(before: Curve, after: Curve) -> Curve | None:
    if isinstance(before, Arc) and isinstance(after, Arc):
        same = (
            distance(before.center, after.center) < ONE_ARC
            and abs(before.radius - after.radius) < ONE_ARC
            and before.sweep * after.sweep > 0
        )
        if same and abs(before.sweep + after.sweep) < radians(359):
            return Arc(before.start, after.end, before.center, before.sweep + after.sweep)
    if isinstance(before, Line) and isinstance(after, Line):
        a, b = before.tangent(1), after.tangent(0)
        if abs(a[0] * b[1] - a[1] * b[0]) < 1e-6 and a[0] * b[0] + a[1] * b[1] > 0:
            return Line(before.start, after.end)
    return None


def smooth(before: Curve, after: Curve) -> bool:
    """Whether one curve runs on into the next without a corner."""
    a, b = before.tangent(1), after.tangent(0)
    return a[0] * b[0] + a[1] * b[1] > SMOOTH


def _tip(curves: Loop, k: int) -> Point | None:
    """Where the two lines meet that an arc rounds off, or None."""
    arc, before, after = curves[k], curves[k - 1], curves[(k + 1) % len(curves)]
    assert isinstance(arc, Arc)
    if len(curves) < 3 or not (isinstance(before, Line) and isinstance(after, Line)):
        return None
    if abs(degrees(arc.sweep)) > MOST_FILLET_DEG:
        return None
    if not (smooth(before, arc) and smooth(arc, after)):
        return None
    (ax, ay), (bx, by) = before.tangent(1), after.tangent(0)
    cross = ax * by - ay * bx
    if abs(cross) < 1e-9:
        return None
    dx, dy = after.start[0] - before.end[0], after.start[1] - before.end[1]
    far = (dx * by - dy * bx) / cross
    return (before.end[0] + far * ax, before.end[1] + far * ay)


def _apothem(arc: Arc) -> float:
    """Distance from the centre of an arc to its chord, for less than half a turn."""
    middle = ((arc.start[0] + arc.end[0]) / 2, (arc.start[1] + arc.end[1]) / 2)
    return distance(middle, arc.center)


def _in(point: Point, box: Box) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


@dataclass(frozen=True, slots=True)
class Datum:
    """Where readings along an axis start: the coordinate, and +1 or -1 for the way they grow.

    `words` say what a tape is hooked on; `hooked` is False where there is no straight edge.
    """

    at: float
    sense: int
    words: str
    hooked: bool

    def reading(self, value: float) -> float:
        """The tape's reading at a coordinate."""
        return self.sense * (value - self.at)


def datum(loop: Loop, axis: Literal[0, 1]) -> Datum:
    """The edge to hook a tape on for readings along an axis of the blank (0 for x, 1 for y).

    The outermost edge on the left (below), else on the right (above), else the longest inside if
    it is long enough; where no edge lies square to the axis, the outermost point on the left.

    >>> from parts.sheet.loop import polygon
    >>> datum(polygon([(3, 0), (90, 5), (90, 40), (0, 40)]), 0)
    Datum(at=90, sense=-1, words='right edge', hooked=True)
    """
    box = loops.box(loop)
    low, high = box[axis], box[axis + 2]
    names = ("left", "right") if axis == 0 else ("lower", "upper")
    found = sorted(_square_edges(loop, axis), key=lambda one: (-round(one[2]), -one[1], one[0]))
    outer = [one for one in found if one[2] >= HOOK
             and abs(one[0] - (low if one[1] > 0 else high)) < ONE_ARC]  # fmt: skip
    for at, sense, _ in sorted(outer, key=lambda one: -one[1]):
        return Datum(at, sense, f"{names[0] if sense > 0 else names[1]} edge", True)
    other = box[3 - axis] - box[1 - axis]
    if found and found[0][2] >= max(HOOK, FAIR_SHARE * other):
        at, sense, _ = found[0]
        side = names[0] if sense > 0 else names[1]
        return Datum(at, sense, f"straight {side} edge", True)
    outermost = "left-most" if axis == 0 else "lowest"
    return Datum(low, 1, f"{outermost} point", False)


def _square_edges(loop: Loop, axis: int) -> Iterator[tuple[float, int, float]]:
    """Straight edges square to an axis: coordinate, +1 where the metal lies beyond, length."""
    for curve in simplified(loop):
        if isinstance(curve, Line):
            along = curve.tangent(0)
            if abs(along[axis]) < ALIGNED:
                # the outline runs anticlockwise: metal on the left of the way it runs
                inward = -along[1] if axis == 0 else along[0]
                yield curve.start[axis], 1 if inward > 0 else -1, curve.length
