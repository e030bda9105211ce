"""What is held against the back gauge while a bend is made, and how the piece is turned for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import acos, degrees, sin

from parts.sheet.blank import Bend
from parts.sheet.collide import region_names
from parts.sheet.curve import Line, Point
from parts.sheet.fold import Folded, Region
from parts.sheet.fold_order.metal import Hanging, stretches_of
from parts.sheet.fold_order.steps import Gauge
from parts.sheet.fold_order.units import Unit

SQUARE_RAD = 0.0087  # half a degree: an edge further askew does not lie on the gauge
SQUARE_DEG = 0.5  # a flange that far off square does not either
SHORTEST = 8.0  # mm of edge that a finger needs
SHARE = 1 / 3  # of the bend's length that the edge must have; with LONG it is long enough
LONG = 60.0
OUT = 0.5  # mm that other metal may stand out past an edge


@dataclass(frozen=True, slots=True)
class Held:
    """A gauge and the side of the bend that it is on, +1 ahead or -1 behind."""

    side: int
    gauge: Gauge | None


def gauged(folded: Folded, unit: Unit, swung: tuple[Hanging, ...], made: int, die_v: float) -> Held:
    """The edge to gauge on: of the raw blank before a bent flange, the nearest, then the longest.

    Without one the lesser side is put to the back.
    """
    found = [
        (wrapped, round(gauge.distance, 1), -length, side, gauge)
        for wrapped, length, side, gauge in _edges(folded, unit, swung, made)
        if gauge.distance > die_v / 2
    ]
    if found:
        best = min(found, key=lambda one: one[:4])
        return Held(best[3], best[4])
    weight = {1: 0.0, -1: 0.0}
    for one in swung:
        weight[one.side] += folded.regions[one.region].area
    return Held(1 if weight[1] < weight[-1] else -1, None)


def swing_deg(one: Bend, side: int, other: Bend, other_side: int) -> float:
    """By how much the piece is turned flat on the die between two bends, 0 to 180.

    >>> one, other = Bend("a", (0, 0), (9, 0), 90, 2, 4), Bend("b", (9, 0), (9, 9), 90, 2, 4)
    >>> swing_deg(one, 1, other, 1), swing_deg(one, 1, one, -1)
    (90.0, 180.0)
    """
    a, b = one.across, other.across
    turn = side * other_side * (a[0] * b[0] + a[1] * b[1])
    return round(degrees(acos(max(-1.0, min(1.0, turn)))), 6)


def _edges(
    folded: Folded, unit: Unit, swung: tuple[Hanging, ...], made: int
) -> Iterator[tuple[bool, float, int, Gauge]]:
    """(bent before, length, side, gauge) of every edge that can lie on the gauge."""
    first = folded.blank.bends[unit.bends[0]]
    names = region_names(folded)
    spans = stretches_of(folded, unit)
    least = max(SHORTEST, min(LONG, SHARE * sum(high - low for low, high in spans)))
    level = [one for one in swung if not one.mask & made]
    reach = [(one, *_spread(first, folded.regions[one.region], one.side)) for one in level]
    for one in level:
        region = folded.regions[one.region]
        for side in region.loops[0]:
            curve = side.curve
            if not isinstance(curve, Line) or curve.length < least:
                continue
            near, far = (_out(first, one.side, p) for p in (curve.start, curve.end))
            if abs(near - far) > sin(SQUARE_RAD) * curve.length or _inward(first, one.side, curve):
                continue
            low, high = sorted(first.beside(p) for p in (curve.start, curve.end))
            edge, distance = (curve.start, curve.end), (near + far) / 2
            if side.fold is None:
                behind = any(
                    other.side == one.side and top > distance + OUT
                    and min(high, wide[1]) - max(low, wide[0]) > OUT
                    for other, wide, top in reach
                )  # fmt: skip
                if not behind:
                    told = f"the edge of {names[one.region]}"
                    yield False, curve.length, one.side, Gauge(told, distance, edge)
            elif made >> side.fold[0] & 1:
                bend = folded.blank.bends[side.fold[0]]
                if abs(abs(bend.turn_deg) - 90) <= SQUARE_DEG:
                    outer = distance + bend.radius + folded.blank.thickness
                    told = f"the outside of the flange at bend {bend.name}"
                    yield True, curve.length, one.side, Gauge(told, outer, edge)


def _out(first: Bend, side: int, p: Point) -> float:
    """How far a flat point lies from the middle of the bend, away from it on a side."""
    return side * (first.ahead(p) - first.allowance / 2)


def _inward(first: Bend, side: int, curve: Line) -> bool:
    """Whether the metal beside an edge, on its left, lies away from the bend."""
    dx, dy = curve.tangent(0.5)
    return side * (-dy * first.across[0] + dx * first.across[1]) > 0


def _spread(first: Bend, region: Region, side: int) -> tuple[tuple[float, float], float]:
    """The stretch along the bend that a flat region takes up, and how far out it reaches."""
    points = [curve.at(f) for curve in region.curves[0] for f in (0.0, 0.5)]
    along = [first.beside(p) for p in points]
    return (min(along), max(along)), max(_out(first, side, p) for p in points)
