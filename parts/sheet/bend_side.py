"""The flat metal beside a bend, seen from the bend: what the die must hold and what is near.

Every side has axes of its own: x along the line where the bend starts, y away from the bend.

        y    .---------------.   the flange
        ^    |               |
        |    |               |_____
        +----+===============+-----> x     the tangent line; the span is the === of it
                 bent zone        the bent zone lies below
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import atan2, cos, degrees, inf, pi, sin

from parts.sheet.blank import Bend, Blank
from parts.sheet.curve import SAME_POINT, Arc, Curve, Line, Point, boxes_near, distance
from parts.sheet.fold import stretches
from parts.sheet.loop import Loop, moved

Span = tuple[float, float]

EDGE = 1e-5  # mm; nearer to the rim of a window than this is on the rim
HAIR = 1e-3  # mm
ROLLED = 10.0  # thicknesses; a wider inside radius is rolled, not pressed into a die
STEEP = 0.99  # an edge at 45 degrees to the bend is still a side
ALONG: Point = (1.0, 0.0)
AWAY: Point = (0.0, 1.0)


@dataclass(frozen=True, slots=True)
class End:
    """Where the flat ends: its height over the tangent line, the place, the bend there if any."""

    height: float
    at: Point  # in the side's own axes
    bend: int | None = None


@dataclass(frozen=True, eq=False)
class BendSide:
    """One side of a bend: `which` is 0 before its start line, 1 beyond its end line.

    `lines` are the tangent lines of the other bends, each with its bend's number; `outline`
    and `lines` are in the side's own axes.
    """

    number: int
    which: int
    bend: Bend
    outline: Loop
    lines: tuple[tuple[int, Line], ...]

    @cached_property
    def spans(self) -> tuple[Span, ...]:
        """The stretches of the tangent line that lie in the metal and belong to this bend."""
        reach = distance(self.bend.start, self.bend.end)
        own = (0.0, reach) if self.which else (-reach, 0.0)
        return tuple(
            (low, high)
            for low, high in stretches(self.outline, (0.0, 0.0), ALONG)
            if min(high, own[1]) - max(low, own[0]) > SAME_POINT
        )

    def on_blank(self, p: Point) -> Point:
        """Where a point of these axes lies on the blank."""
        origin, ex, ey = _axes(self.bend, self.which)
        return (
            origin[0] + p[0] * ex[0] + p[1] * ey[0],
            origin[1] + p[0] * ex[1] + p[1] * ey[1],
        )

    def end(self, span: Span, top: float) -> End | None:
        """The lowest end of the flat under `top`, by edges and by the lines of other bends.

        An edge within 45 degrees of the bend's direction ends the flat, and so does the tip of
        a notch; a steeper edge is only its side.
        """
        low, high = span
        ends = [
            End(p.start[1], p.start) if p.start[1] < p.end[1] else End(p.end[1], p.end)
            for p in _inside(self.outline, low, high, 0.0, top)
            if _runs_along(p)
        ]
        ends += [End(p[1], p) for p in _tips(self.outline, low, high, top)]
        for number, line in self.lines:
            for p in _inside([line], low, high, 0.0, top):
                if _runs_along(p):
                    at = p.start if p.start[1] < p.end[1] else p.end
                    ends.append(End(at[1], at, number))
        return min(ends, key=lambda end: end.height, default=None)

    def held(self, span: Span, height: float) -> float:
        """Length of the metal at a height over the span."""
        return sum(high - low for low, high in self._held(span, height))

    def height_of_half(self, span: Span, top: float) -> float:
        """The height, up to `top`, at which half the span's length of metal is left."""
        half = (span[1] - span[0]) / 2
        low, high = 0.0, top
        for _ in range(40):
            middle = (low + high) / 2
            low, high = (middle, high) if self.held(span, middle) >= half else (low, middle)
        return low

    def notches(self, span: Span, top: float) -> Iterator[End]:
        """Notches in the flat whose bottom lies under `top`, metal on both sides of each."""
        held = self._held(span, top)
        for (_, low), (high, _) in pairwise(held):
            bottoms = [
                p.start if p.start[1] < p.end[1] else p.end
                for p in _inside(self.outline, low, high, 0.0, top, rim=-EDGE)
            ]
            if bottoms:
                at = min(bottoms, key=lambda p: p[1])
                yield End(at[1], at)

    def notches_in_bend(self) -> Iterator[End]:
        """Notches that run into the bend from this side and end there; heights below 0."""
        for (_, low), (high, _) in pairwise(self.spans):
            pieces = _inside(self.outline, low, high, -self.bend.allowance, 0.0)
            bottoms = [p.start if p.start[1] < p.end[1] else p.end for p in pieces]
            if bottoms:
                at = min(bottoms, key=lambda p: p[1])
                yield End(at[1], at)

    def gap(self, x: float, way: int) -> tuple[float, bool]:
        """Open width beside the span's end at `x` (`way` +1 or -1), and if the bend goes on.

        Seen a hair away from the bend, so that an edge flush with its start counts as metal.
        """
        beside = stretches(self.outline, (0.0, HAIR), ALONG)
        if way > 0:
            onward = [(low - x, (low, high)) for low, high in beside if low > x]
        else:
            onward = [(x - high, (low, high)) for low, high in beside if high < x]
        width, (low, high) = min(onward, default=(inf, (inf, inf)))
        return width, any(span[0] < high and low < span[1] for span in self.spans)

    def relief_depth(self, x: float) -> float:
        """Height over the tangent line at which metal begins at `x`; inf where there is none."""
        tops = [pair for pair in stretches(self.outline, (x, 0.0), AWAY) if pair[1] > EDGE]
        return max(0.0, tops[0][0]) if tops else inf

    def runs_through(self, end: Point, hit: Point) -> bool:
        """Whether one smooth cut passes the bend's end and the point `hit`."""
        here = [c for c in self.outline if distance(c.nearest(end), end) < EDGE]
        if len(here) == 2:
            before, after = here if distance(here[0].end, end) < EDGE else here[::-1]
            (ax, ay), (bx, by) = before.tangent(1.0), after.tangent(0.0)
            if ax * bx + ay * by < cos(pi / 180):
                return False
        return any(distance(c.nearest(hit), hit) < EDGE for c in here)

    def _held(self, span: Span, height: float) -> list[Span]:
        found = stretches(self.outline, (0.0, height), ALONG)
        clipped = [(max(low, span[0]), min(high, span[1])) for low, high in found]
        return [(low, high) for low, high in clipped if high - low > SAME_POINT]


def is_rolled(bend: Bend, thickness: float) -> bool:
    """Whether the bend counts as rolled: its inside radius is over ten thicknesses."""
    return bend.radius > ROLLED * thickness


def bend_sides(blank: Blank) -> tuple[BendSide, ...]:
    """Both sides of every bend, in the blank's order.

    >>> from parts.sheet.loop import polygon
    >>> sheet = polygon([(0, 0), (40, 0), (40, 60), (0, 60)])
    >>> bend = Bend("tab", (0, 20), (40, 20), 90, 3, 6)
    >>> [side.end(side.spans[0], 100).height for side in bend_sides(Blank(2, sheet, (), (bend,),
    ...                                                                   (5, 5)))]
    [20.0, 34.0]
    """
    lines: list[tuple[int, Line]] = []
    for number in range(len(blank.bends)):
        for which in (0, 1):
            bare = _side(blank, number, which, ())
            lines += [
                (number, Line(bare.on_blank((low, 0.0)), bare.on_blank((high, 0.0))))
                for low, high in bare.spans
            ]
    return tuple(
        _side(blank, number, which, lines) for number in range(len(blank.bends)) for which in (0, 1)
    )


def _axes(bend: Bend, which: int) -> tuple[Point, Point, Point]:
    """Origin, x and y directions of a side's axes on the blank."""
    d, n = bend.along, bend.across
    if which:
        return bend.end_line()[0], d, n
    return bend.start, (-d[0], -d[1]), (-n[0], -n[1])


def own_axes(bend: Bend, which: int, loop: Loop) -> Loop:
    """A loop of the blank in the axes of one side of a bend."""
    origin, ex, _ = _axes(bend, which)
    angle = -atan2(ex[1], ex[0])
    c, s = cos(angle), sin(angle)
    shift = (-(c * origin[0] - s * origin[1]), -(s * origin[0] + c * origin[1]))
    return moved(loop, shift, degrees(angle))


def _side(
    blank: Blank, number: int, which: int, lines: Sequence[tuple[int, Line]]
) -> BendSide:
    bend = blank.bends[number]
    others = [(n, own_axes(bend, which, (line,))[0]) for n, line in lines if n != number]
    straight = tuple((n, line) for n, line in others if isinstance(line, Line))
    return BendSide(number, which, bend, own_axes(bend, which, blank.outline), straight)


def _inside(
    curves: Sequence[Curve], low: float, high: float, bottom: float, top: float, rim: float = EDGE
) -> Iterator[Curve]:
    """The pieces of the curves in a window; y and steepness change one way along each."""
    window = (low, bottom, high, top)
    walls = (((low, 0.0), AWAY), ((high, 0.0), AWAY), ((0.0, bottom), ALONG), ((0.0, top), ALONG))
    for curve in curves:
        if not boxes_near(curve.box(), window, EDGE):
            continue
        marks = {0.0, 1.0}
        for point, along in walls:
            marks.update(curve.crossings(point, along))
        if isinstance(curve, Arc):
            eighths = (curve.fraction_at(k * pi / 4) for k in range(8))
            marks.update(f for f in eighths if f is not None)
        cuts = sorted(marks)
        for a, b in pairwise(cuts):
            x, y = curve.at((a + b) / 2)
            if low + rim < x < high - rim and bottom + EDGE < y < top:
                yield curve.between(a, b)


def _runs_along(piece: Curve) -> bool:
    """Whether a piece runs within 45 degrees of the bend's direction."""
    dx, dy = piece.tangent(0.5)
    return abs(dy) < STEEP * abs(dx)


def _tips(outline: Loop, low: float, high: float, top: float) -> Iterator[Point]:
    """Corners under `top` from which the outline goes up on both sides."""
    for i, after in enumerate(outline):
        x, y = after.start
        before = outline[i - 1]
        inside = low + EDGE < x < high - EDGE and EDGE < y < top
        if inside and before.tangent(1.0)[1] < -EDGE and after.tangent(0.0)[1] > EDGE:
            yield after.start
