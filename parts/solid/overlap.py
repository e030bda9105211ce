"""Lines and arcs that lie on one another, drawn once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import atan2, hypot, pi, tau
from typing import TypeAlias

from parts.sheet.curve import Arc, Curve, Line

Run: TypeAlias = tuple[Curve, ...]  # curves end to end
Span = tuple[float, float]
Key = tuple[int, ...]

GRAIN = 0.01  # mm; lines and circles that are nearer than this are one
TURN = 5e-5  # radians between lines that are one
UPRIGHT = 4 * TURN  # radians; lines that lean by less all run up
LEAST = 0.02  # mm; shorter rests are not drawn


def not_yet_drawn(runs: Iterable[Run], before: Iterable[Run]) -> tuple[Run, ...]:
    """The runs, less what of their lines and arcs lies on one drawn `before` or earlier here.

    >>> long, short = (Line((0, 0), (9, 0)),), (Line((2, 0), (4, 0)),)
    >>> not_yet_drawn([long, short], ())
    ((Line(start=(0, 0), end=(9, 0)),),)
    >>> [(one.start, one.end) for (one,) in not_yet_drawn([long], [short])]
    [((0, 0), (2.0, 0.0)), ((4.0, 0.0), (9, 0))]
    """
    drawn: dict[Key, list[Span]] = {}
    for run in before:
        for curve in run:
            for key, span in _spans(curve):
                drawn.setdefault(key, []).append(span)
    found: list[Run] = []
    for run in runs:
        if len(run) > 1:  # chords of some other curve
            found.append(run)
            continue
        for curve in run:
            spans = list(_spans(curve))
            covered = [span for key, _ in spans for span in _near(drawn, key)]
            for low, high in _rest(spans[0][1], covered):
                found.append((_part(curve, spans[0][1], (low, high)),))
            for key, span in spans:
                drawn.setdefault(key, []).append(span)
    return tuple(found)


def _spans(curve: Curve) -> Iterator[tuple[Key, Span]]:
    """What line or circle a curve lies on, in grains, and from where to where along it, mm; on a
    circle again a turn earlier and later, so that spans that pass 0 meet."""
    if isinstance(curve, Line):
        ends = (curve.end, curve.start) if _backward(curve) else (curve.start, curve.end)
        (x0, y0), (x1, y1) = ends
        size = hypot(x1 - x0, y1 - y0)
        ux, uy = (x1 - x0) / size, (y1 - y0) / size
        heading = round(atan2(uy, ux) / TURN) % round(pi / TURN)
        line: Key = (heading, round((ux * y0 - uy * x0) / GRAIN))
        yield line, (ux * x0 + uy * y0, ux * x1 + uy * y1)
        return
    key: Key = tuple(round(v / GRAIN) for v in (*curve.center, curve.radius))
    first = curve.start_angle if curve.sweep > 0 else curve.start_angle + curve.sweep
    first, around = curve.radius * (first % tau), curve.radius * tau
    for turn in (0.0, around, -around):
        yield key, (first + turn, first + turn + curve.length)


def _backward(curve: Curve) -> bool:
    """Whether a curve runs against the way its places are counted: to the right, or straight up;
    anticlockwise."""
    if isinstance(curve, Arc):
        return curve.sweep < 0
    dx, dy = curve.end[0] - curve.start[0], curve.end[1] - curve.start[1]
    return dy < 0 if abs(dx) < UPRIGHT * abs(dy) else dx < 0


def _near(drawn: dict[Key, list[Span]], key: Key) -> Iterator[Span]:
    """Spans on the same line or circle, to the grain."""
    around: list[Key] = [()]
    for number in key:
        around = [(*one, number + step) for one in around for step in (-1, 0, 1)]
    for one in around:
        yield from drawn.get(one, ())


def _rest(span: Span, covered: Iterable[Span]) -> Iterator[Span]:
    """What is left of a span."""
    low, high = span
    for a, b in sorted(covered):
        if b <= low + LEAST or a >= high:
            continue
        if a > low + LEAST:
            yield (low, a)
        low = max(low, b)
        if low >= high - LEAST:
            return
    if high - low > LEAST:
        yield (low, high)


def _part(curve: Curve, whole: Span, part: Span) -> Curve:
    """The part of a curve between two places, run its own way."""
    size = whole[1] - whole[0]
    low, high = (part[0] - whole[0]) / size, (part[1] - whole[0]) / size
    if _backward(curve):
        low, high = 1 - high, 1 - low
    snapped = (0.0 if low < 1e-9 else low, 1.0 if high > 1 - 1e-9 else high)
    return curve if snapped == (0.0, 1.0) else curve.between(*snapped)
