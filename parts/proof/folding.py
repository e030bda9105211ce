"""Folding once more, by other means: each point is slid and turned bend after bend.

The rest of tinwright carries points by matrices; here every bend is a slide back by its allowance
and a rotation by Rodrigues' formula, straight from the bend table.
"""

from __future__ import annotations

from math import cos, radians, sin
from typing import TypeAlias

import numpy as np

from parts.place import Vector, cross
from parts.sheet.blank import Bend, Blank
from parts.sheet.curve import Point
from parts.sheet.fold import Folded

Step: TypeAlias = tuple[int, bool]  # bend number; whether it is crossed from start to end
Chain: TypeAlias = tuple[Step, ...]  # from the base outward


def chains(folded: Folded) -> list[Chain]:
    """For every region, the bends between the base and the flat axes it is drawn in."""
    sharing: dict[int, list[int]] = {}
    for i, region in enumerate(folded.regions):
        for loop in region.loops:
            for side in loop:
                if side.fold is not None:
                    sharing.setdefault(side.edge, []).append(i)
    base = folded.regions.index(folded.region_at(folded.blank.base))
    found: dict[int, Chain] = {base: ()}
    waiting = [base]
    while waiting:
        i = waiting.pop()
        for loop in folded.regions[i].loops:
            for side in loop:
                for j in sharing.get(side.edge, ()):
                    if j not in found and side.fold is not None:
                        number, which = side.fold
                        leaves = folded.regions[i].bend == number
                        found[j] = found[i] + (((number, leaves),) if which == 1 else ())
                        waiting.append(j)
    return [found[i] for i in range(len(folded.regions))]


def folded_point(blank: Blank, chain: Chain, point: Vector) -> Vector:
    """Where a point (3,) of flat axes goes once the chain is bent, outermost bend first."""
    for number, forward in reversed(chain):
        bend = blank.bends[number]
        along, across = np.array([*bend.along, 0.0]), np.array([*bend.across, 0.0])
        axis = axis_point(bend, blank.thickness)
        if forward:
            point = rodrigues(point - bend.allowance * across, axis, along, bend.turn_deg)
        else:
            point = rodrigues(point, axis, along, -bend.turn_deg) + bend.allowance * across
    return point


def folded_flat(blank: Blank, chain: Chain, point: Point, w: float) -> Vector:
    """The same for a flat point at depth w over the back face."""
    return folded_point(blank, chain, np.array([point[0], point[1], w]))


def axis_point(bend: Bend, thickness: float) -> Vector:
    """A point (3,) on the bend's axis: over the drawn face going up, under the back going down."""
    height = thickness + bend.radius if bend.turn_deg > 0 else -bend.radius
    return np.array([bend.start[0], bend.start[1], height])


def rodrigues(point: Vector, center: Vector, axis: Vector, angle_deg: float) -> Vector:
    """A point (3,) turned about an axis (unit, (3,)) through a centre.

    >>> x, z = np.array([1.0, 0, 0]), np.array([0, 0, 1.0])
    >>> rodrigues(x, np.zeros(3), z, 90).round(9).tolist()
    [0.0, 1.0, 0.0]
    """
    v, c, s = point - center, cos(radians(angle_deg)), sin(radians(angle_deg))
    turned = v * c + cross(axis, v) * s + axis * float(axis @ v) * (1 - c)
    return np.asarray(center + turned)
