"""The metal with some of its bends made, placed by other means: slides and turns, bend by bend."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil, pi, radians, sqrt, tan

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.proof.folding import axis_point, chains, folded_point
from parts.sheet.blank import Bend, Blank
from parts.sheet.curve import Arc, Curve, Point
from parts.sheet.fold import Folded, fold

CHORD_OFF = 5e-3  # mm that a chord may lie off its arc
HAIR = 1e-3  # mm beside a line, where the metal next to it is looked for

Flat = NDArray[np.float64]  # (n, 2)


@dataclass(frozen=True, eq=False)
class Partly:
    """A blank of which some bends are made; `numbers` are theirs in the whole blank."""

    folded: Folded
    numbers: tuple[int, ...]

    @classmethod
    def of(cls, blank: Blank, made: Iterable[int]) -> Partly:
        """The blank with those bends made."""
        numbers = tuple(sorted(set(made)))
        return cls(fold(replace(blank, bends=tuple(blank.bends[k] for k in numbers))), numbers)

    @cached_property
    def _rigid(self) -> list[tuple[Vector, Vector]]:
        """What carries each region's flat axes to its place: a turn (3, 3) and a shift (3,)."""
        found = []
        for chain in chains(self.folded):
            origin, *ends = (folded_point(self.folded.blank, chain, p)
                             for p in (np.zeros(3), *np.eye(3)))  # fmt: skip
            found.append((np.column_stack([end - origin for end in ends]), origin))
        return found

    def placed(self, i: int, flat: Flat, w: float) -> Vector:
        """Where flat points of region number `i` go at depth w over the back face (n, 3)."""
        points = np.column_stack([flat, np.full(len(flat), w)])
        bend = self.folded.bend_of(self.folded.regions[i])
        if bend is not None:
            points = _rolled(bend, self.folded.blank.thickness, points)
        turn, shift = self._rigid[i]
        return np.asarray(points @ turn.T + shift)

    def metal(self, regions: Iterable[int]) -> Vector:
        """Points (n, 3) on both faces of those regions, close enough to find how far they reach."""
        found = []
        for i in regions:
            region = self.folded.regions[i]
            count = _count(self.folded.bend_of(region), self.folded.blank.thickness)
            flat = np.vstack([_along(curve, count) for loop in region.curves for curve in loop])
            found += [self.placed(i, flat, w) for w in (0.0, self.folded.blank.thickness)]
        return np.vstack(found)

    def at(self, point: Point) -> int:
        """The number of the region that holds a point of the blank."""
        return self.folded.regions.index(self.folded.region_at(point))

    def beyond(self, start: int, shut: Collection[int]) -> set[int]:
        """The regions reached from one without entering those of the bends that are shut."""
        regions = self.folded.regions
        found, waiting = {start}, [start]
        sharing: dict[int, list[int]] = {}
        for i, region in enumerate(regions):
            for loop in region.loops:
                for side in loop:
                    if side.fold is not None:
                        sharing.setdefault(side.edge, []).append(i)
        while waiting:
            here = waiting.pop()
            for both in sharing.values():
                for i in both if here in both else ():
                    if i not in found and regions[i].bend not in shut:
                        found.add(i)
                        waiting.append(i)
        return found


def _rolled(bend: Bend, thickness: float, points: Vector) -> Vector:
    """Flat points (n, 3) of a bend, slid back to its start and turned about its axis."""
    along, across = np.array([*bend.along, 0.0]), np.array([*bend.across, 0.0])
    ahead = (points[:, :2] - np.array(bend.start)) @ across[:2]
    angle = radians(bend.turn_deg) * ahead / bend.allowance
    axis = axis_point(bend, thickness)
    v = points - np.outer(ahead, across) - axis
    c, s = np.cos(angle)[:, None], np.sin(angle)[:, None]
    turned = v * c + np.cross(along, v) * s + np.outer(v @ along, along) * (1 - c)
    return np.asarray(axis + turned)


def _count(bend: Bend | None, thickness: float) -> int:
    """Into how many parts a line must be cut in a bend, so that chords keep to it."""
    if bend is None:
        return 1
    return ceil(bend.turn_rad / _step(bend.radius + thickness))


def _step(radius: float) -> float:
    """The angle of a chord that lies so little off an arc, radians."""
    return 2 * sqrt(2 * CHORD_OFF / radius)


def _along(curve: Curve, count: int) -> Flat:
    if isinstance(curve, Arc):
        count = max(count, ceil(abs(curve.sweep) / _step(curve.radius)))
    return np.array([curve.at(k / count) for k in range(count + 1)])


def edge_of(folded: Folded, number: int, which: int) -> Point | None:
    """The middle of the longest stretch of a bend's start (0) or end (1) in the metal, or None."""
    edges = [side.curve for region in folded.regions for loop in region.loops for side in loop
             if side.fold == (number, which)]  # fmt: skip
    return max(edges, key=lambda edge: edge.length).at(0.5) if edges else None


def _ahead(point: Point, bend: Bend, by: float) -> Point:
    return (point[0] + by * bend.across[0], point[1] + by * bend.across[1])


def outside_legs(partly: Partly, numbers: Sequence[int]) -> tuple[float, float]:
    """Outside lengths ahead of a bend and behind it, mm; `numbers` are of the whole blank.

    From where the outer faces meet, past a right angle from the outermost face, to the farthest
    point of all the metal on that side.
    """
    own = [partly.numbers.index(number) for number in numbers]
    bend, thickness = partly.folded.blank.bends[own[0]], partly.folded.blank.thickness
    turn = min(bend.turn_rad, pi / 2)
    setback = (bend.radius + thickness) * tan(turn / 2)
    legs = []
    for which, way in ((1, 1.0), (0, -1.0)):
        edge = edge_of(partly.folded, own[0], which)
        if edge is None:  # the bend ends at the edge of the blank
            legs.append(setback)
            continue
        near = _ahead(edge, bend, way * HAIR)
        i = partly.at(near)
        a, b = (partly.placed(i, np.array([p]), 0.0)[0] for p in (edge, near))
        away = (b - a) / np.linalg.norm(b - a)
        metal = partly.metal(partly.beyond(i, own))
        legs.append(float(((metal - a) @ away).max()) + setback)
    return legs[0], legs[1]


def gauge_distance(partly: Partly, whole: Folded, number: int, edge: tuple[Point, Point]) -> float:
    """From what touches the gauge to the middle of a bend that is not made yet, square to it, mm;
    `whole` has all bends, `edge` are two points of the blank on what touches."""
    bend, thickness = whole.blank.bends[number], whole.blank.thickness
    start, end = edge_of(whole, number, 0), edge_of(whole, number, 1)
    if start is None:
        assert end is not None, "a bend that is gauged has metal beside it"
        start = _ahead(end, bend, -bend.allowance)
    i = partly.at(_ahead(start, bend, HAIR))
    middle = _ahead(start, bend, bend.allowance / 2)
    here, there = partly.placed(i, np.array([middle, _ahead(middle, bend, 1.0)]), 0.0)
    (x0, y0), (x1, y1) = edge
    size = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    nx, ny = HAIR * (y0 - y1) / size, HAIR * (x1 - x0) / size
    tip = ((x0 + x1) / 2, (y0 + y1) / 2)
    reach = []
    for way in (1.0, -1.0):
        try:
            j = partly.at((tip[0] + way * nx, tip[1] + way * ny))
        except ValueError:
            continue  # past the edge of the blank
        if partly.folded.regions[j].bend is not None:  # the outside of a flange
            found = partly.metal([j])
        else:
            found = np.vstack([partly.placed(j, np.array([tip]), w) for w in (0.0, thickness)])
        reach.append(float(np.abs((found - here) @ (there - here)).max()))
    return max(reach)
