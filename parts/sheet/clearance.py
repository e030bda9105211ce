"""How near the folded metal comes to a point in space."""

from __future__ import annotations

from math import ceil, hypot

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.sheet.bent import axis_height, skin_radius, unrolled
from parts.sheet.blank import Bend
from parts.sheet.curve import Point, distance
from parts.sheet.fold import Folded, Region
from parts.sheet.loop import contains

STEP = 0.02  # mm between samples of a cut edge on a bend: no distance is more than 0.01 out


def distance_to_metal(folded: Folded, point: Vector) -> float:
    """Least distance from a point (3,) in the part's own axes to any metal; 0 inside it.

    Exact over flat regions and over the faces of bends; to cut edges on bends within 0.01 mm.
    """
    return float(distances_to_metal(folded, point[None, :])[0])


def distances_to_metal(folded: Folded, points: Vector) -> Vector:
    """The same for many points (n, 3): (n,)."""
    nearest = np.full(len(points), np.inf)
    for region in folded.regions:
        local = region.place.inverse().apply(points)
        bend, t = folded.bend_of(region), folded.blank.thickness
        if bend is None:
            found = [_to_flat(t, region, one) for one in local]
        else:
            edges = _edges_on_bend(t, region, bend)
            found = [_to_bend(t, region, bend, edges, one) for one in local]
        nearest = np.minimum(nearest, found)
    return nearest


def flats_apart(folded: Folded, one: Region, other: Region) -> float:
    """Least distance between two flat regions, from edge samples: at most 0.3 mm too much.

    >>> from parts.sheet.blank import Blank
    >>> from parts.sheet.fold import fold
    >>> from parts.sheet.loop import polygon
    >>> outline = polygon([(0, 0), (90, 0), (90, 20), (0, 20)])
    >>> bends = [Bend("a", (30, 20), (30, 0), 90, 2, 4), Bend("b", (60, 20), (60, 0), 90, 2, 4)]
    >>> channel = fold(Blank(2, outline, (), tuple(bends), (45, 5)))
    >>> legs = channel.region_at((5, 5)), channel.region_at((85, 5))
    >>> round(flats_apart(channel, *legs), 6)   # 60 - 34 of flat and two radii
    30.0
    """
    t, nearest = folded.blank.thickness, float("inf")
    for here, there in ((one, other), (other, one)):
        samples = [
            [*curve.at(i / count), w]
            for loop in here.curves
            for curve in loop
            for count in (max(2, ceil(curve.length)),)
            for i in range(count + 1)
            for w in (0.0, t)
        ]
        local = there.place.inverse().apply(here.place.apply(np.array(samples)))
        nearest = min([nearest, *(_to_flat(t, there, point) for point in local)])
    return nearest


def _to_flat(t: float, region: Region, local: Vector) -> float:
    above = max(-float(local[2]), float(local[2]) - t, 0.0)
    flat = (float(local[0]), float(local[1]))
    beside = 0.0
    if not contains(region.curves, flat):
        beside = min(distance(c.nearest(flat), flat) for loop in region.curves for c in loop)
    return hypot(above, beside)


def _to_bend(
    t: float, region: Region, bend: Bend, edges: tuple[Vector, Vector], local: Vector
) -> float:
    x, y, w = unrolled(bend, t, local)
    flat: Point = (x, y)
    if -1e-9 <= bend.ahead(flat) <= bend.allowance + 1e-9 and contains(region.curves, flat):
        return max(-w, w - t, 0.0)
    back, run = edges  # a cut edge is straight through the thickness
    f = np.clip(np.sum((local - back) * run, axis=1) / t**2, 0.0, 1.0)
    off = local - back - f[:, None] * run
    return float(np.sqrt((off**2).sum(axis=1).min()))


def _edges_on_bend(t: float, region: Region, bend: Bend) -> tuple[Vector, Vector]:
    """Samples of the cut edges of a bent region: on the back face, and the way through (n, 3)."""
    samples = np.array(
        [
            side.curve.at(i / count)
            for loop in region.loops
            for side in loop
            if side.fold is None  # beyond a tangent line the metal goes on, flat
            for count in (max(2, ceil(side.curve.length / STEP)),)
            for i in range(count + 1)
        ]
    )
    back = _rolled_all(bend, t, samples, 0.0)
    return back, _rolled_all(bend, t, samples, t) - back


def _rolled_all(bend: Bend, t: float, flat: NDArray[np.float64], w: float) -> Vector:
    """`bent.rolled` for many flat points (n, 2) at one depth: (n, 3)."""
    from_start = flat - np.array(bend.start)
    angle = from_start @ np.array(bend.across) / bend.neutral_radius
    beside = from_start @ np.array(bend.along)
    radius = skin_radius(bend, t, w)
    way = -1.0 if bend.up else 1.0
    plan = np.outer(beside, bend.along) + np.outer(radius * np.sin(angle), bend.across)
    rise = axis_height(bend, t) + way * radius * np.cos(angle)
    return np.column_stack([plan + np.array(bend.start), rise])
