"""Outlines made from others: the tight hull round discs, and an edge moved out or in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import acos, atan2, cos, pi, sin, tau
from typing import TypeAlias

from parts.sheet.curve import SAME_POINT, Curve, Line, Point, arc, at_words, distance, meetings
from parts.sheet.loop import Loop, area, joined, reversed_loop, self_meetings

Disc: TypeAlias = tuple[Point, float]  # centre and radius; a radius of 0 is a sharp corner

TIE = 1e-9  # radians; tangents nearer in direction than this touch the same straight edge
BEHIND = 1e-6  # radians; a turn back by less than this is rounding


def hull(discs: Sequence[Disc]) -> Loop:
    """The tight band round discs and points, anticlockwise: tangent lines and arcs, exact.

    A disc inside another leaves no mark; one disc alone gives its own circle. Raises ValueError
    where nothing is enclosed or a radius is below 0.

    A link of 30 mm between centres, 20 wide, is 30 x 20 and one full circle of 20:

    >>> from parts.sheet.loop import area
    >>> round(area(hull([((0, 0), 10), ((30, 0), 10)])), 3)
    914.159
    """
    for center, radius in discs:
        if radius < 0:
            raise ValueError(f"disc at {at_words(center)}: radius {radius:g} must be 0 mm or more")
    outer = _not_swallowed(discs)
    if len(outer) == 1 and outer[0][1] > SAME_POINT:
        return (arc(outer[0][0], outer[0][1], -pi / 2, tau),)
    if len(outer) > 1:
        sides = _tangents(outer)
        if len(sides) > 2 or any(radius > SAME_POINT for _, radius in outer):
            return _banded(outer, sides)
    raise ValueError("a hull needs a disc with a radius, or three points not in one line")


def _not_swallowed(discs: Sequence[Disc]) -> list[Disc]:
    """The discs that stick out of every larger one, by more than a point's width."""
    kept: list[Disc] = []
    for center, radius in sorted(discs, key=lambda disc: -disc[1]):
        if all(distance(center, c) + radius > r + SAME_POINT for c, r in kept):
            kept.append((center, radius))
    return kept


def _tangents(discs: list[Disc]) -> list[tuple[int, int, float]]:
    """The straight edges in order: from disc, to disc, direction of the outward normal."""
    least = min(y - r for (_, y), r in discs)
    lowest = [i for i, ((_, y), r) in enumerate(discs) if y - r < least + TIE]
    here = max(lowest, key=lambda i: discs[i][0][0])
    normal = -pi / 2
    sides: list[tuple[int, int, float]] = []
    while True:
        step, after = _next_tangent(discs, here, normal)
        if sides and (here, after) == sides[0][:2]:
            return sides
        normal += step
        sides.append((here, after, normal))
        here = after


def _next_tangent(discs: list[Disc], here: int, normal: float) -> tuple[float, int]:
    """The least turn from `normal` to a tangent that leaves disc `here`, and where it leads."""
    (x, y), radius = discs[here]
    found: list[tuple[float, float, int]] = []
    for i, (other, r) in enumerate(discs):
        if i == here:
            continue
        gap = distance((x, y), other)
        lean = acos(max(-1.0, min(1.0, (radius - r) / gap)))
        step = (atan2(other[1] - y, other[0] - x) - lean - normal) % tau
        found.append((step if step < tau - BEHIND else 0.0, gap * sin(lean), i))
    least = min(step for step, _, _ in found)
    step, _, after = max((f for f in found if f[0] < least + TIE), key=lambda f: f[1])
    return step, after


def _banded(discs: list[Disc], sides: list[tuple[int, int, float]]) -> Loop:
    def rim(i: int, normal: float) -> Point:
        (x, y), r = discs[i]
        return (x + r * cos(normal), y + r * sin(normal))

    curves: list[Curve] = []
    for k, (before, here, normal) in enumerate(sides):
        curves.append(Line(rim(before, normal), rim(here, normal)))
        turn = (sides[(k + 1) % len(sides)][2] - normal) % tau
        if discs[here][1] * turn > SAME_POINT:
            curves.append(arc(*discs[here], normal, turn))
    return joined(tuple(curves), "hull")


def offset(loop: Loop, by: float) -> Loop:
    """The outline moved out by `by` mm everywhere, or in where `by` is below 0.

    Out and in are as seen from the area enclosed, whichever way the loop runs, so a cut-out
    offset by +1 gets bigger. Every point of the result is exactly `by` from the loop: corners
    that open get a round, curves that vanish are left out. Raises ValueError where nothing is
    left, or where the result is not one plain outline.

    A square of 10 moved out by 1 is 10 x 10, four strips of 10 x 1 and one circle of radius 1:

    >>> from parts.sheet.loop import area, polygon
    >>> round(area(offset(polygon([(0, 0), (10, 0), (10, 10), (0, 10)]), 1)), 4)
    143.1416
    """
    if by == 0:
        return loop
    if area(loop) < 0:
        return reversed_loop(offset(reversed_loop(loop), by))
    pieces = [p for p in _divided(_shifted(loop, by)) if _clear(loop, p.at(0.5), abs(by))]
    what = f"moved {'out' if by > 0 else 'in'} by {abs(by):g} mm, the outline"
    if not pieces:
        raise ValueError(f"{what} has nothing left: move it by less")
    chain, rest = _chained(pieces, what)
    if rest:
        raise ValueError(f"{what} falls into separate loops: move it by less")
    result = joined(chain, what)
    if area(result) <= 0:
        raise ValueError(f"{what} has nothing left: move it by less")
    if crossed := self_meetings(result):
        raise ValueError(f"{what} meets itself at {at_words(crossed[0])}: move it by less")
    return result


def _shifted(loop: Loop, by: float) -> list[Curve]:
    """Every curve moved to its right, with rounds where corners open; it may cross itself."""
    shifted: list[Curve] = []
    for i, curve in enumerate(loop):
        if (moved := _beside(curve, by)) is not None:
            shifted.append(moved)
        after = loop[(i + 1) % len(loop)]
        (ax, ay), (bx, by_) = curve.tangent(1.0), after.tangent(0.0)
        turn = atan2(ax * by_ - ay * bx, ax * bx + ay * by_)
        if turn * by > 0 and abs(turn * by) > SAME_POINT:
            away = atan2(-ax, ay) if by > 0 else atan2(ax, -ay)
            shifted.append(arc(curve.end, abs(by), away, turn))
    return shifted


def _beside(curve: Curve, by: float) -> Curve | None:
    """The curve moved `by` to its right, or None for an arc that shrinks to nothing."""
    if isinstance(curve, Line):
        dx, dy = curve.tangent(0.0)
        (x0, y0), (x1, y1) = curve.start, curve.end
        return Line((x0 + by * dy, y0 - by * dx), (x1 + by * dy, y1 - by * dx))
    radius = curve.radius + (by if curve.sweep > 0 else -by)
    if radius <= SAME_POINT:
        return None
    return arc(curve.center, radius, curve.start_angle, curve.sweep)


def _divided(curves: list[Curve]) -> Iterator[Curve]:
    """The curves cut wherever they meet each other."""
    for i, curve in enumerate(curves):
        marks = {0.0, 1.0}
        for j, other in enumerate(curves):
            if i != j:
                marks |= {curve.nearest_fraction(p) for p in meetings(curve, other)}
        kept = [0.0]
        for mark in sorted(marks):
            if (mark - kept[-1]) * curve.length > SAME_POINT:
                kept.append(mark)
        if len(kept) > 1 and (1 - kept[-1]) * curve.length <= SAME_POINT:
            kept[-1] = 1.0
        yield from (curve.between(a, b) for a, b in pairwise(kept))


def _clear(loop: Loop, point: Point, by: float) -> bool:
    """Whether the point is no nearer to the loop than it should be."""
    return all(distance(curve.nearest(point), point) > by - SAME_POINT / 4 for curve in loop)


def _chained(pieces: list[Curve], what: str) -> tuple[Loop, list[Curve]]:
    """The pieces end to end from the first until it closes, and those left over."""
    chain, rest = [pieces[0]], list(pieces[1:])
    while distance(chain[-1].end, chain[0].start) > 2 * SAME_POINT:
        end = chain[-1].end
        after = min(rest, key=lambda piece: distance(piece.start, end), default=None)
        if after is None or distance(after.start, end) > 2 * SAME_POINT:
            raise ValueError(f"{what} breaks open at {at_words(end)}: move it by less")
        rest.remove(after)
        chain.append(after)
    return tuple(chain), rest
