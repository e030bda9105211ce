"""The space a tyre takes up over all its travel, as a skin to look at."""

from __future__ import annotations

from itertools import product

import numpy as np
from numpy.typing import NDArray

from parts.place import unit
from parts.trade.sweep.motion import Motion
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
STEPS = 80  # steps toward the tyre along a ray; each covers what is left of the way
CLOSE = 0.05  # mm off the tyre that ends a ray
POSES = {1: 9, 2: 5, 3: 4}  # along each travel, by how many travels there are


def swept_skin(wheel: Wheel, motion: Motion, stations: int = 24, around: int = 60) -> Floats:
    """Grid (stations + 2, around, 3) round all that the tyre takes up, in poses of a grid.

    Rays square to the wheel's mean axis, from the furthest tyre inward: what they meet first. The
    two ends are points on the axis. For the eye only: between two poses the tyre may stand out
    of it by a little.
    """
    centers, axes = motion.at(_travels(motion))
    axis, middle = unit(axes.mean(axis=0)), (centers.min(axis=0) + centers.max(axis=0)) / 2
    up = unit(np.array([0.0, 0, 1]) - axis[2] * axis)
    ahead = np.cross(axis, up)
    turn = np.linspace(0.0, 2 * np.pi, around, endpoint=False)
    ways = np.outer(np.cos(turn), up) + np.outer(np.sin(turn), ahead)
    along = (centers - middle) @ axis
    toward = np.broadcast_to(axis, axes.shape)
    high = float((along + wheel.extent(axes, toward)).max())
    low = float((along - wheel.extent(axes, -toward)).min())
    bow = np.cos(np.linspace(0.0, np.pi, stations))  # closer together where it closes
    places = (high + low) / 2 + bow * (high - low) / 2 * (1 - 1e-4)
    starts = middle + np.outer(places, axis)
    far = float(np.linalg.norm(centers - middle, axis=1).max()) + wheel.reach + 1.0
    reach = np.zeros((stations, around))
    for center, spin in zip(centers, axes, strict=True):
        np.maximum(reach, _met(wheel, center, spin, starts, ways, far), out=reach)
    grid = starts[:, None] + reach[..., None] * ways
    caps = np.broadcast_to(starts[[0, -1], None], (2, around, 3))
    return np.concatenate([caps[:1], grid, caps[1:]])


def _travels(motion: Motion) -> Floats:
    count = POSES[len(motion.low)]
    spans = [
        np.linspace(low, high, count if high > low else 1)
        for low, high in zip(motion.low, motion.high, strict=True)
    ]
    return np.array(list(product(*spans)))


def _met(
    wheel: Wheel, center: Floats, axis: Floats, starts: Floats, ways: Floats, far: float
) -> Floats:
    """How far out (stations, around) a ray from each start meets the tyre first, coming from
    `far`; 0 where it passes by. The distance to the tyre is never more than what is left."""
    shape = (len(starts), len(ways))
    t = np.full(shape, far)
    for _ in range(STEPS):
        points = starts[:, None] + t[..., None] * ways
        gap = wheel.distance(
            np.broadcast_to(center, points.shape), np.broadcast_to(axis, points.shape), points
        )
        moving = (gap > CLOSE) & (t > 0)
        if not moving.any():
            break
        t = np.where(moving, t - gap, t)
    return np.asarray(np.where((t > 0) & (gap <= CLOSE), t, 0.0))
