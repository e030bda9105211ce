"""An outline without specks: cuts too short to be meant, and joints in a straight edge."""

from __future__ import annotations

from math import hypot, sin, tan

from parts.sheet.curve import Arc, Curve, Line, Point
from parts.sheet.loop import Loop

SPECK = 0.01  # mm; shorter cuts come from tangents that nearly meet, never from a drawing
STRAIGHT = 1e-7  # sine of the angle at a joint that is none


def tidied(loop: Loop, speck: float = SPECK) -> Loop:
    """The same outline with every cut shorter than `speck` drawn together to its middle, and
    straight edges that go straight on made one.

    No point moves by more than half a speck; a loop of two curves is left as it is.

    >>> from parts.sheet.loop import polygon
    >>> len(tidied(polygon([(0, 0), (5, 0), (10, 0), (10, 10), (9.995, 10), (0, 10)])))
    4
    """
    curves = list(loop)
    while len(curves) > 3:
        shortest = min(range(len(curves)), key=lambda i: curves[i].length)
        if curves[shortest].length >= speck:
            break
        curves = _drawn_together(curves, shortest)
    return tuple(_straightened(curves))


def _drawn_together(curves: list[Curve], at: int) -> list[Curve]:
    middle = curves[at].at(0.5)
    before, after = (at - 1) % len(curves), (at + 1) % len(curves)
    moved = list(curves)
    moved[before] = _between(curves[before], curves[before].start, middle)
    moved[after] = _between(curves[after], middle, curves[after].end)
    del moved[at]
    return moved


def _between(curve: Curve, start: Point, end: Point) -> Curve:
    """The curve with other ends; an arc keeps its sweep."""
    if isinstance(curve, Line):
        return Line(start, end)
    dx, dy = end[0] - start[0], end[1] - start[1]
    if hypot(dx, dy) < 1e-9 or abs(sin(curve.sweep / 2)) < 1e-9:
        return Line(start, end)
    off = 0.5 / tan(curve.sweep / 2)
    center = (start[0] + dx / 2 - off * dy, start[1] + dy / 2 + off * dx)
    return Arc(start, end, center, curve.sweep)


def _straightened(curves: list[Curve]) -> list[Curve]:
    done: list[Curve] = []
    for curve in curves:
        if done and _goes_on(done[-1], curve):
            done[-1] = Line(done[-1].start, curve.end)
        else:
            done.append(curve)
    if len(done) > 3 and _goes_on(done[-1], done[0]):
        done[0] = Line(done.pop().start, done[0].end)
    return done


def _goes_on(a: Curve, b: Curve) -> bool:
    if not (isinstance(a, Line) and isinstance(b, Line)):
        return False
    (ax, ay), (bx, by) = a.tangent(0), b.tangent(0)
    return abs(ax * by - ay * bx) < STRAIGHT and ax * bx + ay * by > 0
