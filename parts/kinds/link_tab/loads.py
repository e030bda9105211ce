"""What a link does to its tab: the forces of all load cases, or one that was given."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import cos, radians, sin

import numpy as np

from parts.place import Vector
from parts.trade.axle import standard_poses
from parts.trade.gear import Gear
from parts.trade.links import CaseForces, link_forces, load_cases

ROUND = 15  # degrees between the directions tried of a force that may come from anywhere
GIVEN = "force given"


@dataclass(frozen=True, eq=False)
class Pull:
    """A force (3,) on the joint's tab, N, in vehicle axes as they lie at ride, and what does
    it."""

    case: str
    force: Vector

    @property
    def size_n(self) -> float:
        return float(np.linalg.norm(self.force))


def all_forces(gear: Gear, shock: float | None) -> tuple[CaseForces, ...]:
    """Forces of every load case at every pose, with a shock factor of the user's own if given.

    Raises ValueError for an axle without links, CannotFollow.
    """
    assert gear.car is not None
    cases = load_cases()
    if shock is not None:
        cases = tuple(replace(case, shock=shock) for case in cases)
    own = tuple(pose for pose in gear.poses if pose.name not in _usual(gear))
    return link_forces(gear.axle, gear.car, gear.stops, gear.springs, gear.bump_stops, cases, own)


def _usual(gear: Gear) -> set[str]:
    return {pose.name for pose in standard_poses(gear.stops)}


def of_link(forces: Iterable[CaseForces], link: str, end: str) -> tuple[Pull, ...]:
    """What that link does to the tab at one end of it, the forces that matter alone."""
    pulls = []
    for one in forces:
        for found in one.links:
            if found.name == link:
                way = np.array(found.way_on_axle if end == "axle" else found.way)
                toward = way if end == "axle" else -way
                pulls.append(Pull(one.name, found.force_n * toward))
    return outermost(pulls)


def toward(force_n: float, way: Vector) -> tuple[Pull, ...]:
    """A force given, pull and push along a link that runs `way` (unit) from the tab."""
    return (
        Pull(f"{GIVEN}, pull", force_n * way),
        Pull(f"{GIVEN}, push", -force_n * way),
    )


def from_anywhere(force_n: float, bolt: Vector, up: Vector) -> tuple[Pull, ...]:
    """A force given, from every side in the plane square to the bolt."""
    across = np.cross(up, bolt)
    return tuple(
        Pull(f"{GIVEN}, {angle} degrees from straight up",
             force_n * (cos(radians(angle)) * up + sin(radians(angle)) * across))
        for angle in range(0, 360, ROUND)
    )  # fmt: skip


def outermost(pulls: Sequence[Pull]) -> tuple[Pull, ...]:
    """Those that are the greatest in some direction: what any of the others does, one of these
    does more of.

    >>> import numpy as np
    >>> few = outermost([Pull(str(n), np.array([n, 0.0, 0.0])) for n in (-3, 1, 2)])
    >>> [one.case for one in few]
    ['-3', '2']
    """
    if not pulls:
        return ()
    all_of = np.array([pull.force for pull in pulls])
    sizes = np.linalg.norm(all_of, axis=1)
    own = all_of[sizes > 0] / sizes[sizes > 0][:, None]
    rough = np.array([w for w in product((-1.0, 0.0, 1.0), repeat=3) if any(w)])
    ways = np.vstack([own, rough])
    ahead = all_of @ ways.T
    kept = sorted({int(n) for n in ahead.argmax(axis=0)})
    return tuple(pulls[n] for n in kept if sizes[n] > 0)
