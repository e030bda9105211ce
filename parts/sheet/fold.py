"""From blank to regions: every zone of the sheet, flat or bent, put where it goes.

Each region has one exact map between flat and space. Neighbouring regions share vertices and
edges, so whatever is built from them closes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parts.place import HERE, Place, Vector
from parts.sheet.bent import beyond, rolled, rolled_all, unrolled
from parts.sheet.blank import Bend, Blank
from parts.sheet.curve import Point
from parts.sheet.fold_line import stretches
from parts.sheet.loop import Loop, area, contains
from parts.sheet.zones import Cut, Side, Unsound, Zone, cut_along_bends

__all__ = [
    "Chain", "Folded", "Neighbours", "Region", "Side", "Unsound",
    "fold", "neighbours", "stretches", "tangent_sides",
]  # fmt: skip

Step: TypeAlias = tuple[int, bool]  # bend number; whether it is crossed from start to end
Chain: TypeAlias = tuple[Step, ...]  # from the base outward


@dataclass(frozen=True, eq=False)
class Region:
    """A flat (`bend` is None) or bent zone of the blank.

    `loops` holds the outer loop first; `place` carries its flat points (x, y, w) to the part's
    own axes: for a bent region it is the place of the side before the bend.
    """

    loops: tuple[tuple[Side, ...], ...]
    bend: int | None
    place: Place

    @cached_property
    def curves(self) -> tuple[Loop, ...]:
        """The plain curves of every loop."""
        return tuple(tuple(side.curve for side in loop) for loop in self.loops)

    @cached_property
    def area(self) -> float:
        """Flat area, mm2."""
        return sum(area(loop) for loop in self.curves)


@dataclass(frozen=True, eq=False)
class Folded:
    """A blank with its regions in place: all that is known of the metal's shape.

    Flat points are (x, y) with a depth w: 0 is the back face, `blank.thickness` the drawn face.
    """

    blank: Blank
    vertices: tuple[Point, ...]
    regions: tuple[Region, ...]
    edge_count: int

    def bend_of(self, region: Region) -> Bend | None:
        """The bend a region belongs to, or None for a flat one."""
        return None if region.bend is None else self.blank.bends[region.bend]

    def region_at(self, point: Point) -> Region:
        """The region whose metal (or opening) surrounds a flat point; else ValueError."""
        for region in self.regions:
            if contains(region.curves[:1], point):
                return region
        raise ValueError(f"({point[0]:.3f}, {point[1]:.3f}) is not on the blank")

    def space(self, region: Region, point: Point, w: float = 0.0) -> Vector:
        """Where a flat point of the region goes, at depth w (3,)."""
        bend = self.bend_of(region)
        if bend is None:
            return region.place.apply([point[0], point[1], w])
        return region.place.apply(rolled(bend, self.blank.thickness, point, w))

    def space_all(self, region: Region, flat: NDArray[np.float64], w: float = 0.0) -> Vector:
        """`space` for many flat points (n, 2) at one depth: (n, 3)."""
        bend = self.bend_of(region)
        if bend is None:
            return region.place.apply(np.column_stack([flat, np.full(len(flat), w)]))
        return region.place.apply(rolled_all(bend, self.blank.thickness, flat, w))

    def flat(self, region: Region, point: ArrayLike) -> tuple[float, float, float]:
        """The flat (x, y, w) of a point in space, by the region's own map carried on."""
        local = region.place.inverse().apply(point)
        bend = self.bend_of(region)
        if bend is None:
            return (float(local[0]), float(local[1]), float(local[2]))
        return unrolled(bend, self.blank.thickness, local)

    def normal(self, region: Region, point: Point) -> Vector:
        """Unit direction out of the drawn face at a flat point (3,)."""
        t = self.blank.thickness
        return (self.space(region, point, t) - self.space(region, point, 0.0)) / t


def fold(blank: Blank) -> Folded:
    """Cut the blank into regions and put each in its place; the base region stays put.

    Raises Unsound where a bend line does not cross the metal, bends overlap or cross, a bend
    ends inside the metal, or the metal closes on itself. The outline and cut-outs must be sound
    (see `sheet.soundness`).
    """
    cut = cut_along_bends(blank)
    regions = tuple(
        Region(zone, bend, place)
        for zone, bend, place in zip(cut.zones, cut.bends, _places(blank, cut), strict=True)
    )
    return Folded(blank, cut.vertices, regions, cut.edge_count)


@dataclass(frozen=True, eq=False)
class Neighbours:
    """Which regions meet at a tangent line, and how each is reached from the base.

    `order` is every region's number from the base outward. `over` gives for each region the
    tangent line (bend number, 0 start or 1 end) that it is reached over, None for the base;
    `chains` the bends crossed between the base and the flat axes that the region is drawn in.
    """

    order: tuple[int, ...]
    over: tuple[tuple[int, int] | None, ...]
    chains: tuple[Chain, ...]
    owners: dict[tuple[int, bool], int]

    def across(self, side: Side) -> int:
        """Number of the region on the other side of a tangent line."""
        return self.owners[side.edge, not side.forward]


def neighbours(folded: Folded) -> Neighbours:
    """How the regions of a folded blank hang together.

    >>> from parts.sheet.loop import polygon
    >>> sheet = polygon([(0, 0), (40, 0), (40, 60), (0, 60)])
    >>> ell = fold(Blank(2, sheet, (), (Bend("lip", (0, 20), (40, 20), 90, 2, 4),), (5, 5)))
    >>> beside = neighbours(ell)
    >>> [(beside.over[i], beside.chains[i]) for i in beside.order]
    [(None, ()), ((0, 0), ()), ((0, 1), ((0, True),))]
    """
    zones = tuple(region.loops for region in folded.regions)
    bends = tuple(region.bend for region in folded.regions)
    base = folded.regions.index(folded.region_at(folded.blank.base))
    return _walked(zones, bends, base)


def _walked(zones: tuple[Zone, ...], bends: tuple[int | None, ...], base: int) -> Neighbours:
    owners = {
        (side.edge, side.forward): i
        for i, zone in enumerate(zones)
        for loop in zone
        for side in loop
        if side.fold is not None
    }
    over: dict[int, tuple[int, int] | None] = {base: None}
    chains: dict[int, Chain] = {base: ()}
    waiting = [base]
    for i in waiting:
        for loop in zones[i]:
            for side in loop:
                if side.fold is None:
                    continue
                j = owners[side.edge, not side.forward]
                if j in over:
                    continue
                number, which = side.fold
                # a bent zone is drawn in the axes of its start line
                step: Chain = ((number, bends[i] is not None),) if which == 1 else ()
                over[j], chains[j] = side.fold, chains[i] + step
                waiting.append(j)
    every = range(len(zones))
    return Neighbours(
        tuple(waiting), tuple(over[i] for i in every), tuple(chains[i] for i in every), owners
    )


def _places(blank: Blank, cut: Cut) -> list[Place]:
    """Walk outward from the base region; every crossing of a tangent line is a known move."""
    outers = [[[side.curve for side in zone[0]]] for zone in cut.zones]
    base = next((i for i, outer in enumerate(outers) if contains(outer, blank.base)), None)
    if base is None:
        raise Unsound(
            f"the base point ({blank.base[0]:.2f}, {blank.base[1]:.2f}) is not on the metal"
        )
    beside = _walked(cut.zones, cut.bends, base)
    moves = [beyond(bend, blank.thickness) for bend in blank.bends]
    places: dict[int, Place] = {base: HERE}
    for i in beside.order:
        for loop in cut.zones[i]:
            for side in loop:
                if side.fold is None:
                    continue
                j = beside.across(side)
                place = _crossed(places[i], moves, side.fold, cut.bends[i] is not None)
                if places.setdefault(j, place).gap_to(place) > 1e-6:
                    name = blank.bends[side.fold[0]].name
                    raise Unsound(
                        f"the metal closes on itself round bend {name} and does not meet: "
                        "cut it open"
                    )
    return [places[i] for i in range(len(cut.zones))]


def _crossed(
    place: Place, moves: list[Place], fold_line: tuple[int, int], leaves_bend: bool
) -> Place:
    number, which = fold_line
    if which == 0:
        return place  # both sides of a start line share the flat axes before the bend
    return place.then(moves[number]) if leaves_bend else place.then(moves[number].inverse())


def tangent_sides(folded: Folded, number: int, which: int) -> list[Side]:
    """The stretches of a bend's start (0) or end (1) line that lie in the metal."""
    return [
        side
        for region in folded.regions
        if region.bend == number
        for loop in region.loops
        for side in loop
        if side.fold == (number, which)
    ]
