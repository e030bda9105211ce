"""Relief notches: what is cut away at the end of a bend, or where two bends meet, to fold."""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin, tau
from typing import Literal, TypeAlias

from parts.sheet.curve import SAME_POINT, Arc, Curve, Line, Point, arc, at_words, distance, meetings
from parts.sheet.loop import Loop, area, contains, joined, polygon, self_meetings

Shape: TypeAlias = Literal["round", "square"]


def edge_relief(
    loop: Loop,
    at: Point,
    direction: Point,
    width: float,
    depth: float,
    shape: Shape = "round",
    back: float | None = None,
) -> Loop:
    """The outline (anticlockwise) with a notch cut in from its edge, beside the end of a bend.

    `at` is the middle of the notch's mouth, `direction` points from there into the metal, and
    `depth` runs from `at` to the deepest point; a round notch ends in a half circle. A side of
    the notch may lie in line with an edge of the flange. The notch also clears what stands up
    to `back` mm behind `at` (its own width unless said). Raises ValueError where the notch does
    not cut the edge beside `at`, or breaks through to another.

    A square notch 3 wide and 5 deep takes 15 mm2 from a square of 400:

    >>> from parts.sheet.loop import area, polygon
    >>> sheet = polygon([(0, 0), (20, 0), (20, 20), (0, 20)])
    >>> round(area(edge_relief(sheet, (8, 0), (0, 1), 3, 5, "square")), 6)
    385.0
    """
    size = hypot(*direction)
    if width <= 0 or depth <= 0 or size == 0:
        raise ValueError(
            f"notch at {at_words(at)}: width {width:g} and depth {depth:g} must be more than 0 mm, "
            "and its direction must not be (0, 0)"
        )
    if shape == "round" and depth < width / 2:
        raise ValueError(
            f"notch at {at_words(at)}: depth {depth:g} must be at least half its width, "
            f"{width / 2:g} mm, for a round end; make it deeper or square"
        )
    ux, uy = direction[0] / size, direction[1] / size
    half, behind = width / 2, width if back is None else back
    if behind <= 0:
        raise ValueError(f"notch at {at_words(at)}: back {behind:g} must be more than 0 mm")

    def put(across: float, ahead: float) -> Point:
        return (at[0] + across * uy + ahead * ux, at[1] - across * ux + ahead * uy)

    if shape == "square":
        corners = [(-half, -behind), (half, -behind), (half, depth), (-half, depth)]
        return _bitten(loop, polygon([put(*corner) for corner in corners]), at)
    ends = [put(half, depth - half), put(-half, depth - half)]
    tool = (
        Line(put(-half, -behind), put(half, -behind)),
        Line(put(half, -behind), ends[0]),
        Arc(ends[0], ends[1], put(0.0, depth - half), pi),
        Line(ends[1], put(-half, -behind)),
    )
    return _bitten(loop, tool, at)


def corner_relief(
    loop: Loop, center: Point, size: float, shape: Shape = "round", angle_deg: float = 0.0
) -> Loop:
    """The outline (anticlockwise) with the corner between two flanges cut clear.

    `center` is where the two bend lines meet; what goes is a round hole of diameter `size`
    about it, or a square of that side with its sides along `angle_deg`. Raises ValueError where
    it does not reach the edge of the metal, or breaks through to another edge.

    A corner of 270 degrees loses three quarters of a circle, 3/4 x pi x 2 x 2 = 9.4248:

    >>> from parts.sheet.loop import area, polygon
    >>> ell = polygon([(0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30)])
    >>> round(area(ell) - area(corner_relief(ell, (10, 10), 4)), 4)
    9.4248
    """
    if size <= 0:
        raise ValueError(f"relief at {at_words(center)}: size {size:g} must be more than 0 mm")
    if shape == "round":
        return _bitten(loop, (arc(center, size / 2, 0.0, tau),), center)
    half, turn = size / 2, radians(angle_deg)
    ux, uy = half * cos(turn), half * sin(turn)
    corners = [(1, -1), (1, 1), (-1, 1), (-1, -1)]
    spots = [(center[0] + a * ux - b * uy, center[1] + a * uy + b * ux) for a, b in corners]
    return _bitten(loop, polygon(spots), center)


def _bitten(loop: Loop, tool: Loop, near: Point) -> Loop:
    """The outline less the tool (anticlockwise), where it bites the edge nearest to `near`.

    From that edge the outline is followed both ways to where it leaves the tool; the tool's own
    edge, run backward, takes the place of what lies between.
    """
    home = min(range(len(loop)), key=lambda i: distance(loop[i].nearest(near), near))
    foot = loop[home].nearest_fraction(near)
    if not contains([tool], loop[home].at(foot)):
        raise ValueError(
            f"the notch at {at_words(near)} does not reach the edge of the metal, "
            f"{distance(loop[home].at(foot), near):.3f} mm away: move or enlarge it"
        )
    others = range(1, len(loop))
    ahead = [(home, foot), *(((home + k) % len(loop), 0.0) for k in others), (home, 0.0)]
    back = [(home, 1 - foot), *(((home - k) % len(loop), 0.0) for k in others), (home, 0.0)]
    leaves = _exit(loop, tool, ahead, near)
    enters, left_over = _exit(tuple(curve.reversed() for curve in loop), tool, back, near)
    kept = _run(loop, leaves, (enters, 1 - left_over))
    bite = _run(tool, _place_on(tool, kept[0].start), _place_on(tool, kept[-1].end))
    cut = [curve.reversed() for curve in reversed(bite)]
    result = joined(_merged([*kept, *cut]), "the notched outline")
    if crossed := self_meetings(result):
        raise ValueError(
            f"the notch at {at_words(near)} breaks through another edge at {at_words(crossed[0])}: "
            "move it or make it smaller"
        )
    if not 0 < area(result) < area(loop):
        raise ValueError(f"the notch at {at_words(near)} leaves the wrong side: turn its direction")
    return result


def _exit(loop: Loop, tool: Loop, spans: list[tuple[int, float]], near: Point) -> tuple[int, float]:
    """Where the loop, followed from (curve, fraction) over the spans, first meets the tool."""
    for i, low in spans:
        curve = loop[i]
        marks = [curve.nearest_fraction(p) for side in tool for p in meetings(curve, side)]
        if after := [mark for mark in marks if mark > low]:
            return i, min(after)
    raise ValueError(f"the notch at {at_words(near)} swallows the whole outline: make it smaller")


def _run(loop: Loop, start: tuple[int, float], stop: tuple[int, float]) -> list[Curve]:
    """The curves from one (curve, fraction) forward to another, at least a point's width long."""
    (i, low), (j, high) = start, stop
    if i == j and low < high:
        return [loop[i].between(low, high)]
    between = ((j - i - 1) % len(loop)) if i != j else len(loop) - 1
    run = [
        loop[i].between(low, 1.0),
        *(loop[(i + k) % len(loop)] for k in range(1, between + 1)),
        loop[j].between(0.0, high),
    ]
    return [curve for curve in run if curve.length > SAME_POINT]


def _place_on(loop: Loop, point: Point) -> tuple[int, float]:
    i = min(range(len(loop)), key=lambda k: distance(loop[k].nearest(point), point))
    return i, loop[i].nearest_fraction(point)


def _merged(curves: list[Curve]) -> Loop:
    """The closed run with lines in line, and arcs about one centre, made one."""
    merged: list[Curve] = []
    for curve in curves:
        one = _as_one(merged[-1], curve) if merged else None
        merged[-1:] = [one] if one else [*merged[-1:], curve]
    if len(merged) > 2 and (one := _as_one(merged[-1], merged[0])):
        merged = [one, *merged[1:-1]]
    return tuple(merged)


def _as_one(a: Curve, b: Curve) -> Curve | None:
    if isinstance(a, Arc) and isinstance(b, Arc):
        if distance(a.center, b.center) < 1e-9 and a.sweep * b.sweep > 0:
            return Arc(a.start, b.end, a.center, a.sweep + b.sweep)
        return None
    if isinstance(a, Line) and isinstance(b, Line):
        (ax, ay), (bx, by) = a.tangent(1.0), b.tangent(0.0)
        if abs(ax * by - ay * bx) < 1e-9 and ax * bx + ay * by > 0:
            return Line(a.start, b.end)
    return None
