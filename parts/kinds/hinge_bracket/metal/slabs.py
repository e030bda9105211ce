"""A folded piece as slabs along the pivot's axis, each with what the section sees of it.

Seen along the fold, the outer faces of leg and foot would meet in the corner at (0, 0):

          z
          |  .-.           y runs along the leg to the corner, z from the leg's outer face
          |  | |  foot     toward the foot; the metal lies between the outer faces and those
    ------'  | |           t within
    leg      / /
    --------' /            z = 0 is the leg's outer face
    ---------'
             y = 0
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil, cos, radians, sin, tan
from typing import TypeAlias

from parts.sheet.curve import Point

THICK = 4.0  # mm, the most of a slab of a fold or of a leaning foot
STEPS = 12  # straight runs in place of the fold's arcs; they err outward
SAME = 1e-9  # mm

Strip: TypeAlias = tuple[float, float, float, float]


def strips(
    deep: float, depth: float, radius: float, thickness: float, turn_deg: float
) -> list[Strip]:
    """Slabs that hold all of a fold and its foot: (z from, z to, y from, y to), mm.

    The leg is told from y = -`deep` on; the foot's outer face ends `depth` from the corner. A foot
    of 30 square to its leg, 4 thick, lies between y -4 and 0 beyond its fold of 4 + 4:

    >>> [tuple(round(n, 6) for n in one) for one in strips(12, 30, 4, 4, 90)][-1]
    (8, 30.0, -4.0, 0.0)
    """
    around = _outline(deep, depth, radius, thickness, turn_deg)
    top = max(z for _, z in around)
    level = {0.0, thickness, radius + thickness, top}
    for low, high in pairwise(sorted(z for z in level if z <= top)):
        count = ceil((high - low) / THICK - SAME)
        level |= {low + (high - low) * k / count for k in range(1, count)}
    found: list[Strip] = []
    for low, high in pairwise(sorted(z for z in level if z <= top)):
        if high - low < SAME:
            continue
        ys = list(_between(around, low, high))
        strip = (low, high, min(ys), max(ys))
        if found and abs(found[-1][2] - strip[2]) < SAME and abs(found[-1][3] - strip[3]) < SAME:
            strip = (found.pop()[0], *strip[1:])
        found.append(strip)
    return found


def _outline(
    deep: float, depth: float, radius: float, thickness: float, turn_deg: float
) -> list[Point]:
    """Corners (y, z) round the metal: along the outer faces, and back within."""
    turn = radians(turn_deg)
    outer = radius + thickness
    back = outer * tan(turn / 2)
    step = turn / STEPS
    wide = outer / cos(step / 2)  # corners of straight runs that touch the outer arc from outside
    bow = [
        (-back + wide * sin((k + 0.5) * step), outer - wide * cos((k + 0.5) * step))
        for k in range(STEPS)
    ]
    hollow = [
        (-back + radius * sin(k * step), outer - radius * cos(k * step))
        for k in range(STEPS, -1, -1)
    ]
    along, across = (cos(turn), sin(turn)), (-sin(turn), cos(turn))
    tip = (depth * along[0], depth * along[1])
    inner = (tip[0] + thickness * across[0], tip[1] + thickness * across[1])
    return [
        (-deep, 0.0), (-back, 0.0), *bow, (back * along[0], back * along[1]), tip, inner,
        *hollow, (-deep, thickness),
    ]  # fmt: skip


def _between(around: Sequence[Point], low: float, high: float) -> Iterator[float]:
    """The y of all corners between two levels, and of all sides where they cross them."""
    for (y, z), (v, w) in zip(around, (*around[1:], around[0]), strict=True):
        if low - SAME <= z <= high + SAME:
            yield y
        for level in (low, high):
            if min(z, w) < level < max(z, w):
                yield y + (v - y) * (level - z) / (w - z)
