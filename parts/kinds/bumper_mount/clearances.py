"""How near the bracket comes to the places it must keep clear of, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from parts.kinds.bench import Spots
from parts.kinds.bumper_mount.bracket import BoltHole
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.layout import Bracket
from parts.kinds.bumper_mount.side import Side
from parts.place import Vector
from parts.sheet.clearance import distances_to_metal
from parts.sheet.fold import Folded
from parts.trade.bolts import bolt

SMALL_STEP = 0.05  # mm, to find the way to the nearest metal; many times the sampling's 0.01
SURE = 0.9  # a distance grows by one for one; where it grows by less, two places are as near


@dataclass(frozen=True, slots=True)
class Gap:
    """The gap from the bracket to a point that it must keep clear of, mm.

    `found` with the bolts in the middle of their slots; `error` is the 95 % half width of the
    point against the rail holes, `travel` how far the slots let the bracket move toward it.
    """

    point: str
    wished: float
    found: float
    error: float
    travel: float

    @property
    def least(self) -> float:
        """What may be left of it."""
        return self.found - self.error - self.travel


def gaps(
    config: BumperMount, side: Side, spots: Spots, bracket: Bracket, folded: Folded
) -> Iterator[Gap]:
    """The gap to every point of `keep_clear`, in the job's order."""
    diameter = bolt(config.rail_bolt).diameter
    back = bracket.chain.base.inverse()
    for clear in side.keep_clear:
        at = spots.at(clear.point)
        found, local = _nearest(folded, back.apply(at))
        ways = bracket.chain.base.direction(local)
        error = max(
            spots.error_between(clear.point, flat.hole.name, way)
            for flat in bracket.rail_holes
            for way in ways
        )
        travel = max(
            min(_travel(flat.hole, bracket.rail.metal, way, diameter) for flat in
                bracket.rail_holes)
            for way in ways
        )  # fmt: skip
        yield Gap(clear.point, clear.gap, found, error, travel)


def _nearest(folded: Folded, at: Vector) -> tuple[float, Vector]:
    """Distance to the nearest metal, and the unit directions away from it (n, 3).

    One direction, but for a point midway between two legs, or in the metal: there the three axes.
    """
    steps = SMALL_STEP * np.vstack([np.zeros(3), np.eye(3), -np.eye(3)])
    found = distances_to_metal(folded, at + steps)
    slope = (found[1:4] - found[4:7]) / (2 * SMALL_STEP)
    size = float(np.linalg.norm(slope))
    return float(found[0]), slope[None, :] / size if size > SURE else np.eye(3)


def _travel(hole: BoltHole, normal: Vector, way: Vector, diameter: float) -> float:
    """How far one rail bolt lets the bracket move in a direction: along its slot, and its play."""
    across = np.cross(normal, hole.along)
    return float(
        abs(way @ hole.along) * (hole.length - diameter) / 2
        + abs(way @ across) * (hole.width - diameter) / 2
    )
