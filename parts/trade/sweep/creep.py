"""How much further a tyre may reach along a direction while it moves a little."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.trade.sweep.motion import Motion
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]
NEARLY = 0.99  # cosine from which a direction counts as along the axis


@dataclass(frozen=True, eq=False)
class Creep:
    """A wheel anywhere in boxes of travels: `middles` and `halves` (n, d), and the wheel's centres
    and axes (n, 3) in the middles.

    With s the axis' part along a direction, a ring reaches y s + r sqrt(1 - s s) past the
    centre. That is concave in s: from the middle on it gains no more than its slope there times
    the change of s. The ring foremost in the middle gives a lever, by which centre and axis may
    undo each other; other rings may come past it.
    """

    wheel: Wheel
    motion: Motion
    middles: Floats
    halves: Floats
    centers: Vector
    axes: Vector

    @cached_property
    def anyhow(self) -> Floats:
        """How far (n,) any point of the tyre moves at most, in any direction: told quickly."""
        return np.asarray(self.halves @ self._rates)

    def along(self, rows: Rows, ways: Vector) -> Floats:
        """How much further (m,) than in their middles the wheels of some boxes reach along unit
        directions (m, 3)."""
        return self._along(rows, ways)[0]

    def by_travel(self, rows: Rows, ways: Vector, feet: Vector) -> Floats:
        """About how much each travel brings (m, d) of what keeps the wheels of some boxes from
        being parted from what they are nearest to, at `feet` (m, 3) along `ways` (m, 3)."""
        total, brought = self._along(rows, ways)
        flat = np.flatnonzero(np.abs(np.vecdot(self.axes[rows], ways)) > NEARLY)
        if len(flat):
            _, beside = self._beside(rows[flat], feet[flat, None])
            better = beside.sum(axis=1) < total[flat]
            brought[flat[better]] = beside[better]
        return brought

    def _along(self, rows: Rows, ways: Vector) -> tuple[Floats, Floats]:
        halves, motion, slopes = self.halves[rows], self.motion, self._slopes[rows]
        axes = self.axes[rows]
        y, r = self.wheel.outline[1:-1].T[:, :, None]
        s = np.vecdot(axes, ways)
        steep = np.abs(s) > 1 - 1e-9  # along the axis every ring's slope is endless
        s = np.where(steep, 0.0, s)
        size = np.sqrt(1 - s * s)
        reach = y * s + r * size
        slope = y - r * s / size
        lead = reach.argmax(axis=0)[None]
        lever = np.take_along_axis(slope, lead, 0)
        gain = np.abs(slope - lever)  # of every ring on the foremost
        swing = motion.swing(ways, slopes, halves)
        past = reach + gain * (swing.sum(axis=1) + motion.uneven)
        next_ = past.argmax(axis=0)[None]
        over = (np.take_along_axis(past, next_, 0) - np.take_along_axis(reach, lead, 0))[0]
        advance = motion.advance(ways, lever[0], slopes, halves)
        together = advance.sum(axis=1) + np.abs(lever[0]) * motion.uneven + over
        plainly = motion.drift(ways, halves) + halves @ motion.rates[1] * self.wheel.reach
        plain = steep | (plainly < together)
        brought = advance + np.take_along_axis(gain, next_, 0).T * swing
        brought = np.where(plain[:, None], halves * self._rates, brought)
        return np.where(plain, plainly, together), brought

    def beside(self, rows: Rows, points: Vector) -> Floats:
        """How far (m,) beyond the flat side of the wheels of some boxes all points (m, k, 3) are
        at least, measured along the axis, on the side where they are in the middle.

        A flat side tilts with the wheel: a plane that goes with it parts the two over more
        travel than one that stays. A point's place along the axis, (p - c) a, changes by its
        slope in the middle, and by the bounds on how that changes.
        """
        return self._beside(rows, points)[0]

    def _beside(self, rows: Rows, points: Vector) -> tuple[Floats, Floats]:
        """And about how much (m, d) each travel takes from that."""
        motion, halves, axes = self.motion, self.halves[rows], self.axes[rows]
        off = points - self.centers[rows, None]
        along = np.vecdot(off, axes[:, None])
        side = np.where(along.mean(axis=1) >= 0, 1.0, -1.0)
        low, high = self.wheel.outline[[0, -1], 0]
        apart = side[:, None] * along - np.where(side > 0, high, -low)[:, None]
        centers, turns = self._slopes[rows, :, :3], self._slopes[rows, :, 3:]
        slopes = off @ turns.transpose(0, 2, 1) - (centers @ axes[:, :, None])[..., 0][:, None]
        first = np.abs(slopes) * halves[:, None]
        left = apart - first.sum(axis=2)
        far = np.sqrt(np.vecdot(off, off)).max(axis=1) + halves @ motion.rates[0]
        (moves, turning), (one, other) = motion.rates, motion.pairs
        bent, twisted = motion.bends
        second = bent + moves[one] * turning[other] + moves[other] * turning[one]
        second = motion.products(halves) * (second + far[:, None] * twisted)
        told = left.min(axis=1) - second.sum(axis=1) - far * motion.uneven
        nearest = left.argmin(axis=1)[:, None, None]
        brought = np.take_along_axis(first, nearest, 1)[:, 0] + motion.by_travel(second)
        return told, brought

    @cached_property
    def _rates(self) -> Floats:
        """mm (d,) that any point of the tyre moves at most by a unit of each travel."""
        moves, turns = self.motion.rates
        return moves + turns * self.wheel.reach

    @cached_property
    def _slopes(self) -> Floats:
        return self.motion.slopes(self.middles)
