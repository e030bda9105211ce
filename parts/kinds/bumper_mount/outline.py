"""The outline round the bracket's holes: tangent hulls joined by straight roots at the bends."""

from __future__ import annotations

from dataclasses import dataclass
from math import tan
from typing import TypeAlias

from parts.kinds.bumper_mount.bracket import FlatHole
from parts.sheet.blank import Bend
from parts.sheet.corner import fillet_all, turn_at
from parts.sheet.curve import SAME_POINT, Curve, Line, Point, distance
from parts.sheet.loop import Loop
from parts.sheet.outline import hull
from parts.sheet.tidy import SPECK, tidied

Disc: TypeAlias = tuple[Point, float]

OUTER_ROUND = 3.0  # external corners: 2.5 at least is asked of bumper parts
ON_EDGE = 1e-5  # mm; nearer than this a point lies on an edge
WAIST_ROUND = 8.0  # where the waist meets a leg, as much of it as stays clear of the bend


@dataclass(frozen=True, slots=True)
class Root:
    """Where a bend crosses the bracket: from `low` to `high` along the bend line.

    The edges run square to the bend for `neck` on either side of it.
    """

    bend: Bend
    low: float
    high: float
    neck: float

    @property
    def width(self) -> float:
        return self.high - self.low

    def before(self, v: float) -> Point:
        """The corner where the straight edge at `v` starts, `neck` before the bend."""
        return self._at(v, -self.neck)

    def after(self, v: float) -> Point:
        """The corner where it ends, `neck` beyond the bend."""
        return self._at(v, self.bend.allowance + self.neck)

    def _at(self, v: float, u: float) -> Point:
        (x, y), d, n = self.bend.start, self.bend.along, self.bend.across
        return (x + v * d[0] + u * n[0], y + v * d[1] + u * n[1])

    @property
    def ends(self) -> tuple[float, float]:
        """Both ends along the bend line."""
        return (self.low, self.high)

    @property
    def corners(self) -> tuple[Point, ...]:
        return tuple(p for v in self.ends for p in (self.before(v), self.after(v)))


@dataclass(frozen=True, slots=True)
class Return:
    """A stiffening flange hung on the edge of one leg (0 the first, -1 the last).

    `edge` runs anticlockwise along the leg's straight edge; `bend` lies `stand` outside it, so
    that both its ends are free; `depth` is the flat metal beyond the bend.
    """

    leg: int
    edge: tuple[Point, Point]
    bend: Bend
    depth: float


def bosses(holes: tuple[FlatHole, ...]) -> tuple[Disc, ...]:
    """The discs of metal kept round every hole: two for a slot."""
    return tuple((end, flat.hole.boss) for flat in holes for end in dict.fromkeys(flat.ends))


def root(bend: Bend, sides: tuple[tuple[Disc, ...], ...], least: float, neck: float) -> Root:
    """The width at a bend: what both sides' bosses share, and no less than `least`."""
    spans = [
        (
            min(bend.beside(c) - r for c, r in discs),
            max(bend.beside(c) + r for c, r in discs),
        )
        for discs in sides
    ]
    low, high = max(s[0] for s in spans), min(s[1] for s in spans)
    if high - low < least:
        middle = (low + high) / 2
        low, high = middle - least / 2, middle + least / 2
    return Root(bend, low, high, neck)


def outline(
    legs: tuple[tuple[Disc, ...], ...], roots: tuple[Root, ...], flange: Return | None
) -> Loop:
    """The bracket's outline, anticlockwise, corners rounded.

    `legs` has one set of discs more than there are `roots`; a leg without discs (the web of a
    step) is what lies between its two roots. Raises ValueError where a boss reaches past its
    root, or the corners leave no outline.
    """
    curves = _leg(0, legs, roots, flange)
    loop = tidied(tuple(curve for curve in curves if curve.length > SAME_POINT))
    for r in roots:
        for corner in r.corners:
            loop = _rounded(loop, corner, r.neck)
    return tidied(fillet_all(loop, OUTER_ROUND, "both", shrink=True))


def _leg(
    number: int,
    legs: tuple[tuple[Disc, ...], ...],
    roots: tuple[Root, ...],
    flange: Return | None,
) -> list[Curve]:
    """The outline of a leg and all beyond it, from one corner of its own root to the other."""
    points: list[Point] = []
    own = roots[number - 1] if number > 0 else None
    onward = roots[number] if number < len(roots) else None
    if own is not None:
        points += [own.after(own.low), own.after(own.high)]
    if onward is not None:
        points += [onward.before(onward.low), onward.before(onward.high)]
    hung = flange if flange is not None and flange.leg % len(legs) == number else None
    if hung is not None:
        points += list(hung.edge)
    curves: list[Curve] = list(hull([*legs[number], *((p, 0.0) for p in points)]))
    if hung is not None:
        at = _edge(curves, *hung.edge, "the return flange")
        curves[at : at + 1] = _hung(hung)
    if onward is not None:
        start, end = onward.before(onward.high), onward.before(onward.low)
        at = _edge(curves, start, end, f"bend {onward.bend.name}")
        curves[at : at + 1] = [
            Line(start, onward.after(onward.high)),
            *_leg(number + 1, legs, roots, flange),
            Line(onward.after(onward.low), end),
        ]
    if own is not None:
        at = _edge(curves, own.after(own.low), own.after(own.high), f"bend {own.bend.name}")
        curves = [*curves[at + 1 :], *curves[:at]]
    return curves


def _edge(curves: list[Curve], start: Point, end: Point, what: str) -> int:
    """Where in `curves` the straight edge from `start` to `end` runs.

    A boss that just touches the edge's own line makes the hull's edge longer: it is divided.
    """
    for i, curve in enumerate(curves):
        on_it = distance(curve.nearest(start), start) < ON_EDGE
        if not (on_it and isinstance(curve, Line) and distance(curve.nearest(end), end) < ON_EDGE):
            continue
        if distance(curve.start, start) < distance(curve.start, end):
            pieces = (Line(curve.start, start), Line(start, end), Line(end, curve.end))
            kept = [piece for piece in pieces if piece.length > ON_EDGE]
            curves[i : i + 1] = kept
            return i + kept.index(pieces[1])
    raise ValueError(f"the metal round a hole reaches past {what}")


def _hung(flange: Return) -> list[Curve]:
    """The detour of the outline round a return flange, square out from its edge and back."""
    (start, end), bend = flange.edge, flange.bend
    n = bend.across
    reach = bend.allowance + flange.depth - bend.ahead(start)
    out = (n[0] * reach, n[1] * reach)
    corner_a = (start[0] + out[0], start[1] + out[1])
    corner_b = (end[0] + out[0], end[1] + out[1])
    return [Line(start, corner_a), Line(corner_a, corner_b), Line(corner_b, end)]


def _rounded(loop: Loop, corner: Point, room: float) -> Loop:
    """The loop with the corner at a point rounded by what leaves the bend alone."""
    for i, curve in enumerate(loop):
        if distance(curve.end, corner) < SPECK:
            turn = abs(turn_at(loop, i))
            if turn < 1e-3:
                return loop
            radius = min(WAIST_ROUND, room / tan(turn / 2))
            others = tuple(c.end for c in loop if distance(c.end, corner) >= SPECK)
            return fillet_all(loop, radius, "both", skip=others, shrink=True)
    return loop
