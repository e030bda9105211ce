"""The least clearance over all travel, with a bound on what lies between the poses looked at.

A box of travels is looked at in its middle. From there nothing of the tyre moves further than
the motion's rates times the half sizes of the box; and past the plane that parts tyre and
surface in the middle, no further than it creeps along the plane's normal. Where the clearance
less the better of the two is no lower than the least found, the box is done with, else it is
halved. What is left undone in the end could be lower by at most the tolerance.

Where the tyre and a surface meet, the clearance is negative and the search goes on to the
deepest place, but no longer to the tolerance: a twentieth of the depth found will do, since
contact is certain. `may_miss` says what was held.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.trade.sweep.creep import creep
from parts.trade.sweep.motion import Motion
from parts.trade.sweep.rolled import CLOSE
from parts.trade.sweep.surfaces import Creep, Surface
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
TOLERANCE = 0.1
CONTACT_SHARE = 0.05
MOST_POSES = 400_000
BATCH = 2048


@dataclass(frozen=True, eq=False)
class Least:
    """The least clearance found, where, at which travels; and how much lower it may truly be."""

    clearance: float
    travels: Floats
    at: Vector
    may_miss: float
    poses: int


class TooSlow(ValueError):
    """More poses than are sensible; the message says what to ask for instead."""


def clearances(
    wheel: Wheel, motion: Motion, surfaces: Sequence[Surface], travels: Floats
) -> tuple[Floats, Vector]:
    """Least clearance (n,) to any of the surfaces at travels (n, d), and where (n, 3)."""
    gaps, feet = [], []
    for start in range(0, len(travels), BATCH):
        centers, axes = motion.at(travels[start : start + BATCH])
        best, where = np.full(len(centers), np.inf), np.zeros_like(centers)
        for surface in surfaces:
            rows = np.flatnonzero(surface.nearer_than(wheel, centers, axes) < best)
            if len(rows):
                gap, foot = surface.clearance(wheel, centers[rows], axes[rows])
                nearer = gap < best[rows]
                best[rows[nearer]], where[rows[nearer]] = gap[nearer], foot[nearer]
        gaps.append(best)
        feet.append(where)
    return np.concatenate(gaps), np.vstack(feet)


def least(
    wheel: Wheel,
    motion: Motion,
    surfaces: Sequence[Surface],
    tolerance: float = TOLERANCE,
    seeds: Floats | None = None,
) -> Least:
    """The least clearance to any of the surfaces over the motion's whole box of travels.

    `seeds` (n, d) are poses to look at first. Raises ValueError for no surfaces, TooSlow after
    MOST_POSES.
    """
    if not surfaces:
        raise ValueError("no surfaces to tell the clearance to")
    first = np.array(np.meshgrid(*zip(motion.low, motion.high, strict=True))).T
    first = np.unique(first.reshape(-1, len(motion.low)), axis=0)
    if seeds is not None:
        first = np.vstack([first, seeds])
    gaps, feet = clearances(wheel, motion, surfaces, first)
    best = int(gaps.argmin())
    lowest, travels, at = float(gaps[best]), first[best], feet[best]
    rates = motion.rates[0] + wheel.reach * motion.rates[1]
    middles = (motion.low + motion.high)[None, :] / 2
    halves = (motion.high - motion.low)[None, :] / 2
    floors = np.full(1, -np.inf)
    tight = max(tolerance - motion.stray - CLOSE, tolerance / 10)
    poses, missed = len(first), 0.0
    while len(middles):
        if poses > MOST_POSES:
            raise TooSlow(
                f"over {MOST_POSES} poses looked at for {tolerance:g} mm: ask for a wider tolerance"
            )
        now, later = np.split(floors.argsort(), [BATCH])
        m, h = middles[now], halves[now]
        slack = max(tight, -CONTACT_SHARE * lowest)
        gap, foot, floor = _bounds(wheel, motion, surfaces, m, h, lowest - slack)
        floor = np.maximum(floor, floors[now])
        poses += len(now)
        best = int(gap.argmin())
        if gap[best] < lowest:
            lowest, travels, at = float(gap[best]), m[best], foot[best]
            slack = max(tight, -CONTACT_SHARE * lowest)
        done = floor >= lowest - slack
        missed = max(missed, float((lowest - floor[done]).max(initial=0.0)))
        halved_middles, halved_halves = _halved(m[~done], h[~done], rates)
        middles = np.vstack([middles[later], halved_middles])
        halves = np.vstack([halves[later], halved_halves])
        floors = np.concatenate([floors[later], np.tile(floor[~done], 2)])
    return Least(lowest, travels, at, missed + motion.stray + CLOSE, poses)


def _bounds(
    wheel: Wheel,
    motion: Motion,
    surfaces: Sequence[Surface],
    middles: Floats,
    halves: Floats,
    wanted: float,
) -> tuple[Floats, Vector, Floats]:
    """Clearances (n,) at the middles of boxes and where (n, 3), inf where it cannot matter; and
    a clearance (n,) that nothing in each box falls short of, or that is `wanted` at least."""
    centers, axes = motion.at(middles)
    moves, turns = motion.rates
    turning = halves @ turns * wheel.reach
    moving = halves @ moves + turning

    def creep_of(chosen: NDArray[np.intp]) -> Creep:
        c, h = middles[chosen], halves[chosen]
        return lambda rows, ways: creep(wheel, motion, c[rows], h[rows], axes[chosen][rows], ways)

    best, where = np.full(len(centers), np.inf), np.zeros_like(centers)
    floors = np.full(len(centers), np.inf)
    for surface in surfaces:
        floor = surface.nearer_than(wheel, centers, axes) - moving
        rows = np.flatnonzero(floor < wanted)
        told = surface.parted(wheel, centers[rows], axes[rows], creep_of(rows), wanted)
        floor[rows] = np.maximum(floor[rows], told)
        rows = np.flatnonzero(floor < wanted)
        if len(rows):
            c, a = centers[rows], axes[rows]
            gap, foot = surface.clearance(wheel, c, a)
            floor[rows] = np.maximum(floor[rows], gap - moving[rows])
            ways = wheel.outward(c, a, foot)
            told = surface.parted(wheel, c, a, creep_of(rows), wanted, ways)
            floor[rows] = np.maximum(floor[rows], told)
            nearer = gap < best[rows]
            best[rows[nearer]], where[rows[nearer]] = gap[nearer], foot[nearer]
        floors = np.minimum(floors, floor)
    return best, where, floors


def _halved(middles: Floats, halves: Floats, rates: Floats) -> tuple[Floats, Floats]:
    """Every box cut in two across the travel that moves the tyre most within it."""
    widest = (halves * rates).argmax(axis=1)
    rows = np.arange(len(middles))
    smaller = halves.copy()
    smaller[rows, widest] /= 2
    step = np.zeros_like(halves)
    step[rows, widest] = smaller[rows, widest]
    return np.vstack([middles - step, middles + step]), np.vstack([smaller, smaller])
