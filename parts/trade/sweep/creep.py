"""How much further a tyre may reach along a direction while it moves a little."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.trade.sweep.motion import Motion
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]


def creep(
    wheel: Wheel, motion: Motion, middles: Floats, halves: Floats, axes: Vector, ways: Vector
) -> Floats:
    """How much further (n,) wheels reach along unit directions (n, 3), anywhere in boxes of
    travels (n, d), than in the middles, where their axes are (n, 3).

    With s the axis' part along the direction, a ring reaches y s + r sqrt(1 - s s) past the
    centre. That is concave in s: from the middle on it gains no more than its slope there times
    the change of s. The ring foremost in the middle gives a lever, by which centre and axis may
    undo each other; other rings may come `past` it.
    """
    y, r = wheel.outline[1:-1].T
    s = (axes * ways).sum(axis=1)[:, None]
    steep = np.abs(s[:, 0]) > 1 - 1e-9  # along the axis every ring's slope is endless
    s = np.where(steep[:, None], 0.0, s)
    reach = y * s + r * np.sqrt(1 - s * s)
    slope = y - r * s / np.sqrt(1 - s * s)
    rows, lead = np.arange(len(ways)), reach.argmax(axis=1)
    lever, foremost = slope[rows, lead], reach[rows, lead]
    swing = motion.swing(ways, halves)
    past = reach + np.abs(slope - lever[:, None]) * swing[:, None] - foremost[:, None]
    past = past.max(axis=1)
    turning = halves @ motion.rates[1] * wheel.reach
    plainly = motion.drift(ways, halves) + turning
    together = motion.advance(ways, lever, middles, halves) + past
    return np.asarray(np.where(steep, plainly, np.minimum(plainly, together)))
