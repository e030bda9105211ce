"""How the piece is held for each step: what is bent already, which face is up, which side of the
bend lies toward the back gauge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from math import atan2, ceil, degrees, sqrt

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector, cross, unit
from parts.sheet.bend_lines import bend_lines
from parts.sheet.bend_rules import outside_setback
from parts.sheet.blank import Bend
from parts.sheet.curve import Line, Point
from parts.sheet.fold import Folded, Region, fold, neighbours, tangent_sides
from parts.sheet.fold_order.steps import FoldOrder, Step

HAIR = 1e-3  # mm beside a bend, where the flat next to it is looked for
SAME_SWING = 0.01  # degrees
OFF = 5e-3  # mm that the chords of a bend may lie inside it


@dataclass(frozen=True, eq=False)
class Held:
    """One step: `folded` is the metal once it is made, `bends` are the step's numbers in it.

    `middle` is the middle of the longest stretch of the bend on the blank. `side` is +1 where the
    metal ahead of the bend points to the gauge, -1 where that behind it does. `before` is the step
    before, None for the first.
    """

    step: Step
    folded: Folded
    bends: tuple[int, ...]
    middle: Point
    side: int
    before: Held | None = None

    @property
    def back(self) -> Point:
        """Unit direction on the blank that points to the gauge."""
        nx, ny = self.bend.across
        return (self.side * nx, self.side * ny)

    @property
    def swing_deg(self) -> float:
        """By how much the piece is swung flat on the die since the step before, seen from above,
        anticlockwise; where it is turned over, that is done first, sideways, so that what was at
        the back stays there."""
        if self.before is None:
            return 0.0
        (ax, ay), (bx, by) = self.before.back, self.back
        turn = degrees(atan2(ax * by - ay * bx, ax * bx + ay * by))
        found = -turn if self.step.drawn_face_up else turn
        return 180.0 if found < 1e-6 - 180 else found

    @property
    def bend(self) -> Bend:
        """The bend made in this step; the first of several in one line."""
        return self.folded.blank.bends[self.bends[0]]

    def _edge(self, side: int) -> Point | None:
        """The middle of the longest edge of the bend on one side; None where no metal follows."""
        edges = [edge.curve for number in self.bends
                 for edge in tangent_sides(self.folded, number, 1 if side > 0 else 0)]  # fmt: skip
        return max(edges, key=lambda edge: edge.length).at(0.5) if edges else None

    def beside(self, side: int, by: float = HAIR) -> Point:
        """A point of the metal so far off the edge of the bend, ahead of it or behind; off its
        middle where no metal follows."""
        x, y = self._edge(side) or self.middle
        nx, ny = self.bend.across
        return (x + side * by * nx, y + side * by * ny)

    @cached_property
    def _ahead(self) -> tuple[bool, ...]:
        """Which regions hang on the far side of the bend, seen the way it is drawn."""
        chains = neighbours(self.folded).chains
        through = [any(number in self.bends for number, _ in chain) for chain in chains]
        side = 1 if self._edge(1) else -1
        here = self.folded.regions.index(self.folded.region_at(self.beside(side)))
        return tuple((one == through[here]) == (side > 0) for one in through)

    def regions(self, side: int) -> list[Region]:
        """The metal on one side of the bend, the bend itself left out."""
        return [
            region
            for region, ahead in zip(self.folded.regions, self._ahead, strict=True)
            if region.bend not in self.bends and ahead == (side > 0)
        ]

    def area(self, side: int) -> float:
        """How much metal is on one side, mm2."""
        return sum(region.area for region in self.regions(side))

    @cached_property
    def larger(self) -> int:
        """The side with more metal; that of the operator where they are alike."""
        ahead, behind = self.area(1), self.area(-1)
        if abs(ahead - behind) < 0.01 * (ahead + behind):
            return -self.side
        return 1 if ahead > behind else -1

    def axes(self, side: int) -> tuple[Vector, Vector, Vector]:
        """Right, back and up of the operator (3,) when the flat on that side lies level."""
        if self._edge(side) is None:
            side = -side
        near, far = self.beside(side), self.beside(side, 2 * HAIR)
        region = self.folded.region_at(near)
        away = unit(self.folded.space(region, far) - self.folded.space(region, near))
        back = away if side == self.side else -away
        up = self.folded.normal(region, near) * (1.0 if self.step.drawn_face_up else -1.0)
        return cross(back, up), back, up

    def leg(self, side: int) -> float:
        """Outside length of the metal on one side, from where the outer faces would meet (past a
        right angle from the outermost face) to its farthest point, mm."""
        bend, thickness = self.bend, self.folded.blank.thickness
        setback = outside_setback(bend.radius, thickness, bend.turn_deg, leg_to="tangent")
        if self._edge(side) is None:
            return setback
        near, far = self.beside(side, 0.0), self.beside(side)
        region = self.folded.region_at(far)
        start = self.folded.space(region, near)
        away = unit(self.folded.space(region, far) - start)
        reach = max(
            float(((points - start) @ away).max())
            for one in self.regions(side)
            for points in skins(self.folded, one)
        )
        return reach + setback


def held_steps(whole: Folded, order: FoldOrder) -> list[Held]:
    """Every step of the order, with the metal as it is after it; `whole` is folded to the end."""
    found: list[Held] = []
    made: list[int] = []
    for step in order.steps:
        made = sorted({*made, *step.bends})
        bends_made = tuple(whole.blank.bends[k] for k in made)
        done = len(made) == len(whole.blank.bends)
        folded = whole if done else fold(replace(whole.blank, bends=bends_made))
        bends = tuple(made.index(k) for k in step.bends)
        lines = [line for k in bends for line in bend_lines(folded, k)]
        middle = max(lines, key=lambda line: line.length).at(0.5)
        one = Held(step, folded, bends, middle, 1, found[-1] if found else None)
        found.append(replace(one, side=_side(one)))
    return found


def _side(one: Held) -> int:
    """The side of the gauge; where there is none, that to which the piece is swung, else the
    lesser one, for the larger is held."""
    if one.step.gauge is not None:
        (x0, y0), (x1, y1) = one.step.gauge.edge
        ahead = one.bend.ahead(((x0 + x1) / 2, (y0 + y1) / 2))
        return 1 if ahead > one.bend.allowance / 2 else -1
    if one.before is not None:
        swings = [abs(replace(one, side=side).swing_deg) - one.step.swing_deg for side in (1, -1)]
        if abs(abs(swings[0]) - abs(swings[1])) > SAME_SWING:
            return 1 if abs(swings[0]) < abs(swings[1]) else -1
    return 1 if one.area(1) < one.area(-1) else -1


def skins(folded: Folded, region: Region) -> Iterator[NDArray[np.float64]]:
    """Points (n, 3) along the edges of a region, on its back face and on its drawn face."""
    bend = folded.bend_of(region)
    count = 1
    if bend is not None:
        outer = bend.radius + folded.blank.thickness
        count = ceil(bend.turn_rad / (2 * sqrt(2 * OFF / outer))) + 1
    flat = np.array(
        [
            curve.at(k / parts)
            for loop in region.curves
            for curve in loop
            for parts in [max(count, 1 if isinstance(curve, Line) else 64)]
            for k in range(parts + 1)
        ]
    )
    for w in (0.0, folded.blank.thickness):
        yield folded.space_all(region, flat, w)


def finished(folded: Folded) -> tuple[float, float, float]:
    """Outside sizes of the folded metal along the piece's own x, y and z, mm."""
    points = np.vstack([p for region in folded.regions for p in skins(folded, region)])
    x, y, z = np.ptp(points, axis=0).tolist()
    return (x, y, z)
