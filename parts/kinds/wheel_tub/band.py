"""The band's blank: end flanges, legs and roll in one strip, notched for the rail, its free
edge cut to the leaning body side."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from parts.kinds.wheel_tub.notch import notches
from parts.kinds.wheel_tub.path import BandPath, NoBand
from parts.kinds.wheel_tub.surround import BodySide, Rail
from parts.sheet.biarc import biarcs
from parts.sheet.combine import subtract
from parts.sheet.curve import Curve, Line, Point
from parts.sheet.loop import Loop, joined

TOLERANCE = 0.01  # mm, of arcs laid through the free edge


@dataclass(frozen=True, eq=False)
class BandEdges:
    """What the band's edges must meet: where its inboard edge runs and the inner skin, as
    distances from the centre plane, and the rail with the gap to keep from it."""

    inboard: float
    skin: BodySide
    rail: Rail | None
    rail_gap: float


def width_at(path: BandPath, edges: BandEdges, u: float) -> float:
    """Width of the band there: no skin of the rolled metal may stand out of the inner skin."""
    return min(_reach(path, edges, u, w) for w in (0.0, path.thickness))


def _reach(path: BandPath, edges: BandEdges, u: float, w: float) -> float:
    return edges.skin.out(*path.at(u, w)) - edges.inboard


def outline(path: BandPath, edges: BandEdges) -> tuple[Loop, tuple[Loop, ...]]:
    """The whole blank's outline, and the notches cut out of it: u along x, v = 0 at the disc and
    up toward the body side. Raises NoBand where the disc or the rail leaves none."""
    free = _free_edge(path, edges)
    if min(curve.box()[1] for curve in free) <= 0:
        raise NoBand("the disc is outboard of the inner skin: the band has no width")
    bottom = Line((0.0, 0.0), (path.length, 0.0))
    right = Line(bottom.end, free[0].start)
    left = Line(free[-1].end, bottom.start)
    loop = joined((bottom, right, *free, left), "the band's outline")
    cut = notches(path, edges.inboard, edges.rail, edges.rail_gap)
    for notch in cut:
        parts = subtract(loop, notch)
        if len(parts) != 1:
            raise NoBand("the rail cuts the band right through")
        loop = parts[0]
    return loop, cut


def _free_edge(path: BandPath, edges: BandEdges) -> tuple[Curve, ...]:
    """From the far end back to the near one, as arcs within TOLERANCE."""
    skin, t = edges.skin, path.thickness
    if skin.along == 0 and skin.up == 0:
        wide = width_at(path, edges, 0.0)
        return (Line((path.length, wide), (0.0, wide)),)

    def toward_tyre(u: float) -> float:
        """How the skin's distance grows from the band's outer skin to the one at the tyre."""
        dp, dq = path.way(u, 0.0)
        return skin.along * dq - skin.up * dp

    def slope(u: float) -> float:
        dp, dq = path.way(u, t if toward_tyre(u) < 0 else 0.0)
        return skin.along * dp + skin.up * dq

    def curve(s: float) -> Point:
        return (path.length - s, width_at(path, edges, path.length - s))

    def tangent(s: float) -> Point:
        return (-1.0, -slope(min(max(path.length - s, 1e-9), path.length - 1e-9)))

    def turnings() -> Iterator[float]:
        """Where the other skin begins to govern: at most once in a zone."""
        for low, high in itertools.pairwise((0.0, *path.marks)):
            low, high, first = low + 1e-9, high - 1e-9, toward_tyre(low + 1e-9) < 0
            if first == (toward_tyre(high) < 0):
                continue
            for _ in range(60):
                middle = (low + high) / 2
                if (toward_tyre(middle) < 0) == first:
                    low = middle
                else:
                    high = middle
            yield low

    breaks = [path.length - u for u in (*path.marks[:-1], *turnings())]
    return biarcs(curve, tangent, 0.0, path.length, TOLERANCE, sorted(breaks))
