"""The outline of a tab: the tight hull of its holes and its root, with the foot let in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, atan2, cos, inf, radians, sin

from parts.sheet.curve import Curve, Line, Point, at_words, distance
from parts.sheet.loop import Loop, circle, contains, joined, self_meetings
from parts.sheet.outline import hull

PLACES = 64  # along the line on which a lightening hole is looked for
FINER = 4  # times that look is made finer


@dataclass(frozen=True, slots=True)
class TabOutline:
    """A tab in its own axes (x along the root, y up): its outline, anticlockwise, with the foot
    first, and the centres of its holes."""

    outer: Loop
    foot: tuple[Curve, ...]
    holes: tuple[Point, ...]
    hole: float

    @property
    def openings(self) -> tuple[Loop, ...]:
        """The holes as cut-outs, clockwise."""
        return tuple(circle(centre, self.hole) for centre in self.holes)


def row_of_holes(
    middle: Point, pitch: float, count: int, direction_deg: float
) -> tuple[Point, ...]:
    """Adjustment holes in a straight row about its middle.

    >>> [(round(x, 3), round(y, 3)) for x, y in row_of_holes((0, 50), 25, 3, 0)]
    [(-25.0, 50.0), (0.0, 50.0), (25.0, 50.0)]
    """
    c, s = cos(radians(direction_deg)), sin(radians(direction_deg))
    steps = [(k - (count - 1) / 2) * pitch for k in range(count)]
    return tuple((middle[0] + step * c, middle[1] + step * s) for step in steps)


def arc_of_holes(middle: Point, about: Point, pitch: float, count: int) -> tuple[Point, ...]:
    """Adjustment holes on the arc through `middle` about a point, `pitch` straight across from
    one to the next.

    Raises ValueError where the pitch is wider than the arc.

    >>> holes = arc_of_holes((0, 100), (0, 0), 25, 3)
    >>> round(distance(holes[0], holes[1]), 9), round(distance(holes[0], (0, 0)), 9)
    (25.0, 100.0)
    """
    radius = distance(middle, about)
    if pitch > 2 * radius:
        raise ValueError(f"a pitch of {pitch:g} mm does not fit an arc of {radius:g} mm radius")
    step = 2 * asin(pitch / (2 * radius))
    start = atan2(middle[1] - about[1], middle[0] - about[0])
    angles = [start + (k - (count - 1) / 2) * step for k in range(count)]
    return tuple((about[0] + radius * cos(a), about[1] + radius * sin(a)) for a in angles)


def tab_outline(
    holes: Sequence[Point], hole: float, edge_radius: float, foot: Sequence[Curve]
) -> TabOutline:
    """The tab round its holes, `edge_radius` from each centre, and down to both ends of its
    foot: a straight line, or the cut that copes it, from left to right.

    A 50 mm root with a hole of 17 at 60 mm in an edge of 25 is 50 x 60 and half a circle:

    >>> from parts.sheet.loop import area
    >>> tab = tab_outline([(0, 60)], 17, 25, [Line((-25, 0), (25, 0))])
    >>> round(area(tab.outer), 2)   # 3000 + pi 25^2 / 2
    3981.75

    Raises ValueError where a hole's edge reaches below the line between the foot's ends, where
    the foot is cut into an edge or a hole, or where it arches out of the tab.
    """
    if edge_radius <= hole / 2:
        raise ValueError(
            f"an edge of {edge_radius:g} mm round a hole of {hole:g} mm; needs over {hole / 2:g} mm"
        )
    left, right = foot[0].start, foot[-1].end
    band = hull([*((centre, edge_radius) for centre in holes), (left, 0.0), (right, 0.0)])
    base = [n for n, side in enumerate(band) if _is_base(side, left, right)]
    if not base:
        raise ValueError(
            f"the edge of {edge_radius:g} mm round a hole reaches past the root from "
            f"{at_words(left, 1)} to {at_words(right, 1)}: move the hole up or widen the root"
        )
    rest = (*band[base[0] + 1 :], *band[: base[0]])
    outer = joined((*foot, *rest), "the tab")
    if crossed := self_meetings(outer):
        raise ValueError(f"the foot is cut into the tab's edge at {at_words(crossed[0], 1)}")
    for centre in holes:
        if not contains([outer], centre) or _near(outer, centre) <= hole / 2:
            raise ValueError(f"the foot is cut into the hole at {at_words(centre, 1)}")
    return TabOutline(outer, tuple(foot), tuple(holes), hole)


def least_edge(outline: TabOutline) -> tuple[float, Point]:
    """The least distance from a hole's centre to the outline, and which hole."""
    return min((_near(outline.outer, centre), centre) for centre in outline.holes)


def ligament(outline: TabOutline) -> float:
    """The least metal between two holes; infinite for one hole alone."""
    pairs = [
        distance(a, b) for n, a in enumerate(outline.holes) for b in outline.holes[n + 1 :]
    ]
    return min(pairs, default=inf) - outline.hole


def lightening_hole(
    outline: TabOutline, web: float, least: float
) -> tuple[Point, float] | None:
    """The largest round hole, centre and diameter, on the line from the foot's middle to the
    lowest hole, that leaves `web` of metal to the edge, the foot and every hole; None where it
    would be under `least`.

    Midway between a straight foot and a hole of 17 whose edge is 51.5 above it:

    >>> tab = tab_outline([(0, 60)], 17, 25, [Line((-25, 0), (25, 0))])
    >>> at, diameter = lightening_hole(tab, 10, 12)
    >>> round(at[1], 2), round(diameter, 2)   # the sides are 25 away: 2 x (25 - 10)
    (25.0, 30.0)
    """
    low = min(outline.holes, key=lambda centre: centre[1])
    ends = (outline.foot[0].start, outline.foot[-1].end)
    line = Line(((ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2), low)
    start, end, best = 0.0, 1.0, 0.5
    for _ in range(FINER):
        tried = [start + k * (end - start) / PLACES for k in range(PLACES + 1)]
        best = max(tried, key=lambda f: _room(outline, line.at(f)))
        step = (end - start) / PLACES
        start, end = max(best - step, 0.0), min(best + step, 1.0)
    diameter = 2 * (_room(outline, line.at(best)) - web)
    return (line.at(best), diameter) if diameter >= least else None


def _is_base(side: Curve, left: Point, right: Point) -> bool:
    return (
        isinstance(side, Line)
        and distance(side.start, left) < 1e-6
        and distance(side.end, right) < 1e-6
    )


def _near(outer: Loop, at: Point) -> float:
    return min(distance(curve.nearest(at), at) for curve in outer)


def _room(outline: TabOutline, at: Point) -> float:
    if not contains([outline.outer], at):
        return -inf
    holes = [distance(at, centre) - outline.hole / 2 for centre in outline.holes]
    return min(_near(outline.outer, at), *holes)
