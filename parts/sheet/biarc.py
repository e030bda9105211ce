"""Any smooth curve as arcs: pairs of arcs that join without a kink, within a stated tolerance."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import atan2, hypot, inf, sqrt
from typing import TypeAlias

from parts.sheet.curve import Arc, Curve, Line, Point, arc_through, distance

Path: TypeAlias = Callable[[float], Point]  # the curve's parameter to its point, or direction

STRAIGHT = 1e-6  # mm; an arc that bows out by less is drawn as a line
FLATTEST = 1e9  # mm; above this radius an arc's centre is too far off to be drawn from
WIDEST = 2.6  # radians; the most that one pair of arcs may turn
TRIED = 24  # places along a pair of arcs where it is measured while it grows
PROVED = 192  # and once it stands
SPLIT = 0.5 * (sqrt(5) - 1)


def biarcs(
    curve: Path,
    slope: Path,
    low: float,
    high: float,
    tolerance: float = 0.01,
    breaks: Sequence[float] = (),
) -> tuple[Curve, ...]:
    """Arcs and lines that follow `curve(s)` from s = `low` to `high` within `tolerance` mm.

    `slope(s)` is the derivative (dx/ds, dy/ds). Joints lie on one tangent (an arc that bows
    out by under 1e-6 mm is drawn as a line), except at `breaks`: the values of s where the
    curve has a corner. A corner that is not named costs many short arcs. The tolerance holds
    for the distance from the curve to its arcs, measured afresh at 192 places along every pair
    and refined round the worst of them. Raises ValueError where the curve stands still or
    cannot be followed. Biarcs with equal tangent lengths: Bolton, Computer-Aided Design 7
    (1975), from memory.

    A parabola y = x^2 / 100 over 100 mm:

    >>> chain = biarcs(lambda s: (s, s * s / 100), lambda s: (1, s / 50), 0, 100)
    >>> len(chain), chain[0].start, chain[-1].end
    (12, (0, 0.0), (100, 100.0))
    """
    if not low < high:
        raise ValueError(f"the curve must run upward in s, not from {low:g} to {high:g}")
    if tolerance < 10 * STRAIGHT:
        raise ValueError(f"tolerance {tolerance:g} mm must be at least {10 * STRAIGHT:g} mm")
    marks = [low, *sorted(s for s in breaks if low < s < high), high]
    chain: list[Curve] = []
    for a, b in pairwise(marks):
        spans = _spans(curve, slope, a, b, tolerance)
        for s, e in pairwise(spans):
            pair = _pair(curve, slope, a, b, s, e)
            worst = _deviation(curve, pair, s, e, PROVED, inf) if pair else tolerance
            if pair is None or worst > tolerance:
                raise ValueError(
                    f"the curve cannot be followed between {s:g} and {e:g} ({worst:.4g} mm off): "
                    "it bends between the places measured; give `breaks` there"
                )
            chain += pair
    return tuple(chain)


def _spans(curve: Path, slope: Path, low: float, high: float, tolerance: float) -> list[float]:
    """Values of s that part the pairs of arcs: each as long as the tolerance lets it be."""

    def fits(s: float, e: float) -> bool:
        pair, most = _pair(curve, slope, low, high, s, e), 0.98 * tolerance
        return pair is not None and _deviation(curve, pair, s, e, TRIED, most) <= most

    marks, step = [low], (high - low) / 8
    while marks[-1] < high:
        s = marks[-1]
        if fits(s, high):
            marks.append(high)
            break
        good, bad = s, high
        if s + step < high:
            while s + step < bad and fits(s, s + step):
                good, step = s + step, 2 * step
            bad = min(bad, s + step)
        while bad - good > 0.01 * (good - s):
            middle = (good + bad) / 2
            if middle - s < 1e-7 * (high - low):
                raise ValueError(
                    f"the curve has a corner or stands still near {s:g}: give it in `breaks`"
                )
            good, bad = (middle, bad) if fits(s, middle) else (good, middle)
        marks.append(good)
        step = good - s
    if len(marks) > 2:  # an even last pair, where a short one is left over
        middle = (marks[-3] + marks[-1]) / 2
        if fits(marks[-3], middle) and fits(middle, marks[-1]):
            marks[-2] = middle
    return marks


def _pair(
    curve: Path, slope: Path, low: float, high: float, s: float, e: float
) -> tuple[Curve, ...] | None:
    """The arcs from curve(s) to curve(e) along its tangents there; None where it turns too far."""
    nudge = 1e-9 * (high - low)  # one-sided at a corner
    start, end = curve(s), curve(e)
    t1, t2 = _unit(slope, s + nudge if s == low else s), _unit(slope, e - nudge if e == high else e)
    if distance(start, end) == 0 or _turning(slope, s, e, t1, t2) > WIDEST:
        return None
    vx, vy = end[0] - start[0], end[1] - start[1]
    ahead = vx * (t1[0] + t2[0]) + vy * (t1[1] + t2[1])
    if ahead <= 0:
        return None
    spread = 2 * (1 - t1[0] * t2[0] - t1[1] * t2[1])
    square = vx * vx + vy * vy
    reach = square / (ahead + sqrt(ahead * ahead + spread * square))
    joint = (
        (start[0] + end[0] + reach * (t1[0] - t2[0])) / 2,
        (start[1] + end[1] + reach * (t1[1] - t2[1])) / 2,
    )
    whole, again = arc_through(start, end, t1), arc_through(end, start, (-t2[0], -t2[1]))
    if isinstance(whole, Line) and isinstance(again, Line):
        return (whole,)
    tip = whole.tangent(1.0)
    if hypot(tip[0] - t2[0], tip[1] - t2[1]) * sqrt(square) < STRAIGHT:
        return (_drawn(whole),)
    first = arc_through(start, joint, t1)
    second = arc_through(end, joint, (-t2[0], -t2[1])).reversed()
    return (_drawn(first), _drawn(second))


def _drawn(curve: Curve) -> Curve:
    flat = isinstance(curve, Arc) and curve.radius > FLATTEST
    return Line(curve.start, curve.end) if flat else curve


def _unit(slope: Path, s: float) -> Point:
    dx, dy = slope(s)
    size = hypot(dx, dy)
    if size == 0:
        raise ValueError(f"the curve stands still at {s:g}: its derivative is (0, 0)")
    return (dx / size, dy / size)


def _turning(slope: Path, s: float, e: float, t1: Point, t2: Point) -> float:
    """How far the curve turns in all, left and right added, radians."""
    tangents = [t1, *(_unit(slope, s + (e - s) * k / 8) for k in range(1, 8)), t2]
    return sum(
        abs(atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]))
        for a, b in pairwise(tangents)
    )


def _deviation(
    curve: Path, pair: Sequence[Curve], s: float, e: float, count: int, most: float
) -> float:
    """The greatest distance from the curve to the arcs, refined round the worst of `count`; or
    the first that is more than `most`."""

    def off(at: float) -> float:
        p = curve(at)
        return min(_away(piece, p) for piece in pair)

    step = (e - s) / count
    places = [s + (k + 0.5) * step for k in range(count)]
    found = []
    for at in places:
        found.append(off(at))
        if found[-1] > most:
            return found[-1]
    worst = max(range(count), key=found.__getitem__)
    low, high = max(places[worst] - step, s), min(places[worst] + step, e)
    greatest = found[worst]
    for _ in range(8):  # golden section
        a, b = high - SPLIT * (high - low), low + SPLIT * (high - low)
        da, db = off(a), off(b)
        greatest = max(greatest, da, db)
        low, high = (low, b) if da > db else (a, high)
    return greatest


def _away(piece: Curve, p: Point) -> float:
    """Distance of a point from a line or arc."""
    if isinstance(piece, Line):
        return distance(piece.nearest(p), p)
    dx, dy = p[0] - piece.center[0], p[1] - piece.center[1]
    if piece.fraction_at(atan2(dy, dx)) is None:
        return min(distance(piece.start, p), distance(piece.end, p))
    return abs(hypot(dx, dy) - piece.radius)
