"""Where the rail passes the band: openings in its inboard edge, a gap wide of the rail."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from math import hypot

from parts.kinds.wheel_tub.path import BandPath
from parts.kinds.wheel_tub.surround import Rail
from parts.sheet.curve import Curve, Line, Point, arc_through, meetings
from parts.sheet.loop import Loop, contains, joined

OVERHANG = 5.0  # how far a notch is cut beyond the sheet's edge
ROUGH = 0.02  # mm that a notch's bottom may be deeper than it must
STEP = 2.0  # mm along the band between first looks at a bottom
ALIKE = 1e-6  # mm


def notches(
    path: BandPath, inboard: float, rail: Rail | None, gap: float
) -> tuple[Loop, ...]:
    """Openings in the inboard edge, which runs `inboard` of the centre plane, so that the gap to
    the rail is kept from both skins of the folded metal and from what is between them."""
    if rail is None:
        return ()
    swollen = rail.swollen(gap)
    through = (0.0, path.thickness / 2, path.thickness)

    def depth(u: float) -> float:
        u = min(max(u, 0.0), path.length)
        return max(rail.keeps_off(*path.at(u, w), gap) for w in through) - inboard

    found = []
    for low, high in _passed(path, swollen, through):
        for start, end in _above(depth, low, high):
            first = start if start > ALIKE else -OVERHANG
            last = end if end < path.length - ALIKE else path.length + OVERHANG
            found.append(_notch(first, last, depth))
    return tuple(found)


def _passed(
    path: BandPath, swollen: Loop, through: tuple[float, ...]
) -> Iterator[tuple[float, float]]:
    """Stretches of the band where any of its depths is inside an outline seen from the side."""
    cuts = {0.0, path.length}
    for w in through:
        for low, high, curve in _zones(path, w):
            for side in swollen:
                for p in meetings(curve, side):
                    cuts.add(low + curve.nearest_fraction(p) * (high - low))
    start: float | None = None
    for a, b in itertools.pairwise(sorted(cuts)):
        if b - a < ALIKE:
            continue
        inside = any(contains([swollen], path.at((a + b) / 2, w)) for w in through)
        if inside and start is None:
            start = a
        if not inside and start is not None:
            yield start, a
            start = None
    if start is not None:
        yield start, path.length


def _zones(path: BandPath, w: float) -> Iterator[tuple[float, float, Curve]]:
    """Every zone of the band as a curve of the side view, at one depth of the sheet."""
    for low, high in itertools.pairwise((0.0, *path.marks)):
        if high - low > ALIKE:
            dp, dq = path.way(low + ALIKE / 2, w)
            way = (dp / hypot(dp, dq), dq / hypot(dp, dq))
            yield low, high, arc_through(path.at(low, w), path.at(high, w), way)


def _above(
    depth: Callable[[float], float], low: float, high: float
) -> Iterator[tuple[float, float]]:
    """Stretches where the depth is over 0: elsewhere the rail stays inboard of the band."""
    count = max(2, int((high - low) / STEP) + 1)
    spots = [low + (high - low) * i / count for i in range(count + 1)]
    start = low if depth(low) > 0 else None
    for a, b in itertools.pairwise(spots):
        before, after = depth(a) > 0, depth(b) > 0
        if before == after:
            continue
        for _ in range(50):
            middle = (a + b) / 2
            a, b = (middle, b) if (depth(middle) > 0) == before else (a, middle)
        if after:
            start = b
        elif start is not None:
            yield start, a
            start = None
    if start is not None:
        yield start, high


def _notch(start: float, end: float, depth: Callable[[float], float]) -> Loop:
    """A notch open to the inboard edge; its bottom keeps to the rail's face."""
    corners = _bottom(start, end, depth)
    right, left = (end, -OVERHANG), (start, -OVERHANG)
    ring = [left, right, *reversed(corners)]
    return joined(
        tuple(Line(a, b) for a, b in itertools.pairwise([*ring, ring[0]])), "a notch"
    )


def _bottom(start: float, end: float, depth: Callable[[float], float]) -> list[Point]:
    """Corners of a line that is nowhere short of the depth, and not ROUGH deeper."""
    count = max(2, int((end - start) / STEP) + 1)
    spots = [start + (end - start) * i / count for i in range(count + 1)]
    looked = [(u, depth(u)) for u in spots]
    fine = [looked[0]]
    for a, b in itertools.pairwise(looked):
        fine += [*_between(a, b, depth, 8), b]
    kept, bow = _straightened(fine)
    lift = ROUGH / 2 if bow > ALIKE else 0.0
    return [(u, v + lift) for u, v in kept]


def _between(
    a: Point, b: Point, depth: Callable[[float], float], halvings: int
) -> Iterator[Point]:
    """Places between two looks, closer where the depth is not straight."""
    spots = [a[0] + (b[0] - a[0]) * share for share in (0.25, 0.5, 0.75)]
    looked = [(u, depth(u)) for u in spots]
    if halvings == 0 or max(_off(p, a, b) for p in looked) < ROUGH / 8:
        return
    middle = looked[1]
    yield from _between(a, middle, depth, halvings - 1)
    yield middle
    yield from _between(middle, b, depth, halvings - 1)


def _straightened(points: list[Point]) -> tuple[list[Point], float]:
    """The fewest of the points, greedily, that leave none ROUGH / 4 off, and how far one is."""
    kept, bow, i = [points[0]], 0.0, 0
    while i < len(points) - 1:
        far, off = i + 1, 0.0
        for j in range(i + 2, len(points)):
            worst = max(_off(p, points[i], points[j]) for p in points[i + 1 : j])
            if worst > ROUGH / 4:
                break
            far, off = j, worst
        bow, i = max(bow, off), far
        kept.append(points[i])
    return kept, bow if len(kept) > 2 or bow > ALIKE else 0.0


def _off(p: Point, a: Point, b: Point) -> float:
    return abs(p[1] - a[1] - (b[1] - a[1]) * (p[0] - a[0]) / (b[0] - a[0]))
