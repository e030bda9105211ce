"""Left and right links as pairs, and where the two of a pair meet seen from above.

Those meeting points are the ones drawn on paper: the line through that of the lower pair and
that of the upper pair is the roll axis; beside a pair that runs parallel it runs parallel to that
pair in side view; and a lateral bar gives its point where it crosses the centre plane (SAE
construction, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from parts.place import HERE, Place, Vector
from parts.trade.axle import Link
from parts.trade.axle.pose import Point

ALIKE = 0.25  # of a link's length: what the mirror image of its mate may be off (our own limit)
PARALLEL = 1e-6


@dataclass(frozen=True, slots=True)
class LinkPair:
    """Two links that are near enough each other's mirror image, left one first."""

    left: Link
    right: Link

    @property
    def name(self) -> str:
        return f"{self.left.name} and {self.right.name}"


def link_pairs(links: tuple[Link, ...]) -> tuple[LinkPair, ...]:
    """Pairs of links, the nearest mirror images first; a lateral bar has no mate.

    >>> links = (Link("L", (-600, -400, 300), (0, -450, 290)),
    ...          Link("bar", (0, -390, 331), (0, 330, 331)),
    ...          Link("R", (-600, 400, 300), (0, 450, 290)))
    >>> [pair.name for pair in link_pairs(links)]
    ['L and R']
    """
    found: list[LinkPair] = []
    for _, one, two in sorted(
        ((off, a, b) for a, b in combinations(links, 2) if (off := _unlike(a, b)) < ALIKE),
        key=lambda entry: entry[0],
    ):
        if not any(link in (pair.left, pair.right) for pair in found for link in (one, two)):
            left, right = sorted((one, two), key=lambda link: link.axle[1] + link.chassis[1])
            found.append(LinkPair(left, right))
    return tuple(found)


def _unlike(one: Link, two: Link) -> float:
    """How far two links are from mirror images, over their length; 1 for both on one side."""
    sides = [link.axle[1] + link.chassis[1] for link in (one, two)]
    if sides[0] * sides[1] >= 0:
        return 1.0
    mirror = np.array([1.0, -1.0, 1.0])
    off = [np.linalg.norm(np.array(getattr(one, end)) * mirror - getattr(two, end))
           for end in ("chassis", "axle")]  # fmt: skip
    return float(max(off)) / max(one.length, two.length)


def plan_centre(pair: LinkPair, moved: Place = HERE) -> Point | None:
    """Where the two links meet seen from above, at the mean of their heights there.

    `moved` is the axle's rigid move from ride. None for links that run parallel from above.

    >>> pair = LinkPair(Link("L", (-54, -16, 30), (0, -2, 29)),
    ...                 Link("R", (-54, 16, 30), (0, 2, 29)))
    >>> [round(float(value), 4) for value in plan_centre(pair)]
    [7.7143, 0.0, 28.8571]
    """
    starts, ways = [], []
    for link in (pair.left, pair.right):
        starts.append(np.array(link.chassis, dtype=float))
        ways.append(moved.apply(link.axle) - starts[-1])
    flat = np.column_stack([ways[0][:2], -ways[1][:2]])
    size = float(np.linalg.norm(ways[0]) * np.linalg.norm(ways[1]))
    if abs(np.linalg.det(flat)) < PARALLEL * size:
        return None
    along = np.linalg.solve(flat, starts[1][:2] - starts[0][:2])
    met: list[Vector] = [s + t * w for s, t, w in zip(starts, along, ways, strict=True)]
    x, y, z = (float(value) for value in (met[0] + met[1]) / 2)
    return (x, y, z + 0.0)
