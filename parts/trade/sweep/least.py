"""The least clearance over all travel, with a bound on what lies between the poses looked at.

A box of travels is looked at in its middle. From there nothing of the tyre moves further than
the motion's rates times the half sizes of the box; and past the plane that parts tyre and
surface in the middle, no further than it creeps along the plane's normal. Where the clearance
less the better of the two is no lower than the least found, the box is done with, else it is
cut across the travel that brings most of it. What is left undone in the end could be lower by
at most the tolerance.

Where the tyre and a surface meet, the clearance is negative and the search goes on to the
deepest place, but no longer to the tolerance: a twentieth of the depth found will do, since
contact is certain. `may_miss` says what was held.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.trade.sweep.creep import Creep
from parts.trade.sweep.motion import Motion
from parts.trade.sweep.nearest import leading
from parts.trade.sweep.rolled import CLOSE
from parts.trade.sweep.surfaces import Surface
from parts.trade.sweep.together import Together
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]
TOLERANCE = 0.1
CONTACT_SHARE = 0.05
ALIKE = 7  # decimals in which equal clearances are alike
MOST_POSES = 20_000  # of one set; hundreds are usual
BATCH = 2048
FEW = 16  # boxes; so few are cut twice, since more at a time cost little more


@dataclass(frozen=True, eq=False)
class Least:
    """The least clearance found, where, at which travels; and how much lower it may truly be.

    `may_miss` is infinite where not all travel was looked at.
    """

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
    gaps, feet = clearances_to(wheel, motion, Together.of([surfaces]), travels)
    return gaps[:, 0], feet[:, 0]


def clearances_to(
    wheel: Wheel, motion: Motion, together: Together, travels: Floats
) -> tuple[Floats, Vector]:
    """Least clearance (n, k) to each set of surfaces at travels (n, d), and where (n, k, 3)."""
    told = [
        together.clearance(wheel, *motion.at(travels[start : start + BATCH]))
        for start in range(0, len(travels), BATCH)
    ]
    return np.concatenate([gaps for gaps, _ in told]), np.concatenate([feet for _, feet in told])


def lowest(travels: Floats, gaps: Floats, feet: Vector) -> list[Least]:
    """The least to each of k sets of surfaces among clearances (n, k) known at travels (n, d),
    and where (n, k, 3), the first of equal ones; all other travel is left open."""
    return [
        Least(float(gaps[row, k]), travels[row], feet[row, k], np.inf, len(travels))
        for k, row in enumerate(gaps.round(ALIKE).argmin(axis=0))
    ]


def least(
    wheel: Wheel,
    motion: Motion,
    surfaces: Sequence[Surface],
    tolerance: float = TOLERANCE,
    seeds: Floats | None = None,
    enough: float = -np.inf,
) -> Least:
    """The least clearance to any of the surfaces over the motion's whole box of travels.

    `seeds` (n, d) are poses to look at first; once a clearance of `enough` or less is found, how
    much lower it gets elsewhere is left open. Raises ValueError for no surfaces, TooSlow after
    MOST_POSES.
    """
    together = Together.of([surfaces])
    first = np.array(np.meshgrid(*zip(motion.low, motion.high, strict=True))).T
    first = np.unique(first.reshape(-1, len(motion.low)), axis=0)
    if seeds is not None:
        first = np.vstack([first, seeds])
    known = lowest(first, *clearances_to(wheel, motion, together, first))
    (found,) = leasts(wheel, motion, together, known, [tolerance], [enough])
    if isinstance(found, TooSlow):
        raise found
    return found


def leasts(
    wheel: Wheel,
    motion: Motion,
    together: Together,
    known: Sequence[Least],
    tolerances: Sequence[float],
    enough: Sequence[float],
) -> tuple[Least | TooSlow, ...]:
    """As `least` for each set of surfaces, all searched side by side, from the least clearances
    `known`. A set that takes too many poses is told by its TooSlow."""
    k, d = together.count, len(motion.low)
    best = list(known)
    depth = np.array([one.clearance for one in known])
    stray = motion.stray + CLOSE
    tight = np.maximum(np.array(tolerances) - stray, np.array(tolerances) / 10)
    end, missed = np.array(enough), np.zeros(k)
    poses = np.array([one.poses for one in known])
    owner = np.flatnonzero(depth > end)  # the set that each box is searched for
    middles = np.tile((motion.low + motion.high) / 2, (len(owner), 1))
    halves = np.tile((motion.high - motion.low) / 2, (len(owner), 1))
    floors = np.where(together.whose == owner[:, None], -np.inf, np.inf)
    while len(owner):
        now, later = np.split(floors.min(axis=1).argsort(), [BATCH])
        mine, m, h = owner[now], middles[now], halves[now]
        slack = np.maximum(tight, -CONTACT_SHARE * depth)
        looked = _looked(wheel, motion, together, m, h, floors[now], (depth - slack)[mine])
        poses += np.bincount(mine, minlength=k)
        for row in leading(looked.gaps, mine):
            if looked.gaps[row] < depth[mine[row]]:
                depth[mine[row]] = gap = float(looked.gaps[row])
                best[mine[row]] = Least(gap, m[row], looked.feet[row], np.inf, 0)
        slack = np.maximum(tight, -CONTACT_SHARE * depth)
        floor = looked.floors.min(axis=1)
        done = floor >= (depth - slack)[mine]
        np.maximum.at(missed, mine[done], depth[mine[done]] - floor[done])
        rest = np.flatnonzero(~done)
        some, smaller, which = _cut(m[rest], h[rest], looked.shares[rest])
        owner = np.concatenate([owner[later], mine[rest[which]]])
        middles = np.concatenate([middles[later], some]).reshape(-1, d)
        halves = np.concatenate([halves[later], smaller]).reshape(-1, d)
        floors = np.concatenate([floors[later], looked.floors[rest[which]]])
        unfit = (depth <= end) | (poses > MOST_POSES)
        missed[unfit & np.isin(np.arange(k), owner)] = np.inf
        keep = ~unfit[owner]
        owner, middles, halves, floors = owner[keep], middles[keep], halves[keep], floors[keep]
    missed[depth <= end] = np.inf
    return tuple(
        TooSlow(
            f"over {MOST_POSES} poses looked at for {tolerances[i]:g} mm: ask for a wider tolerance"
        )
        if missed[i] == np.inf and depth[i] > end[i]
        else replace(best[i], may_miss=float(missed[i]) + stray, poses=int(poses[i]))
        for i in range(k)
    )


@dataclass(frozen=True, eq=False)
class _Looked:
    """What was seen from the middles of n boxes: clearances (n,), inf where they cannot matter,
    and where (n, 3); clearances (n, b) that nothing in each box falls short of, or that are what
    was wanted at least; and about how much of what keeps a box from being done with is due to
    each travel (n, d)."""

    gaps: Floats
    feet: Vector
    floors: Floats
    shares: Floats


def _looked(
    wheel: Wheel,
    motion: Motion,
    together: Together,
    middles: Floats,
    halves: Floats,
    floors: Floats,
    wanted: Floats,
) -> _Looked:
    """With clearances `floors` (n, b) that are known to hold, for clearances `wanted` (n,)."""
    centers, axes = motion.at(middles)
    creep = Creep(wheel, motion, middles, halves, centers, axes)
    moving = creep.anyhow
    gaps, feet = np.full(len(centers), np.inf), np.zeros_like(centers)
    floors, shares = floors.copy(), np.zeros_like(halves)
    worst = np.full(len(centers), np.inf)
    for group, span in together.spans:
        floor = floors[:, span]
        rows = np.flatnonzero((floor < wanted[:, None]).any(axis=1))
        if len(rows):
            near = group.near(wheel, centers[rows], axes[rows]) - moving[rows, None]
            floor[rows] = np.maximum(floor[rows], near)
        rows, which = np.nonzero(floor < wanted[:, None])
        if len(rows):
            told = group.parted(wheel, centers[rows], axes[rows], which, creep, rows, wanted[rows])
            floor[rows, which] = np.maximum(floor[rows, which], told)
            rows, which = np.nonzero(floor < wanted[:, None])
        if len(rows):
            c, a = centers[rows], axes[rows]
            gap, foot = group.met(wheel, c, a, which)
            ways = wheel.outward(c, a, foot)
            told = group.parted(wheel, c, a, which, creep, rows, wanted[rows], ways)
            told = np.maximum(np.maximum(told, gap - moving[rows]), floor[rows, which])
            floor[rows, which] = told
            lead = leading(gap, rows)
            lead = lead[gap[lead] < gaps[rows[lead]]]
            gaps[rows[lead]], feet[rows[lead]] = gap[lead], foot[lead]
            lead = leading(told, rows)
            lead = lead[told[lead] < np.minimum(worst, wanted)[rows[lead]]]
            worst[rows[lead]] = told[lead]
            shares[rows[lead]] = creep.by_travel(rows[lead], ways[lead], foot[lead])
    return _Looked(gaps, feet, floors, shares)


def _cut(middles: Floats, halves: Floats, shares: Floats) -> tuple[Floats, Floats, Rows]:
    """Every box cut in two across the travel that matters most within it, few boxes again; the
    middles and halves of the parts, and which box each is of."""
    which, shares = np.arange(len(middles)), shares.copy()
    for _ in range(2 if len(middles) <= FEW else 1):
        rows, widest = np.arange(len(which)), shares.argmax(axis=1)
        halves, step = halves.copy(), np.zeros_like(halves)
        halves[rows, widest] /= 2
        step[rows, widest] = halves[rows, widest]
        shares[rows, widest] /= 2
        middles = np.concatenate([middles - step, middles + step])
        halves, shares, which = (np.concatenate([v, v]) for v in (halves, shares, which))
    return middles, halves, which
