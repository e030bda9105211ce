"""A rigid axle by six numbers, with all derivatives, many poses at a time.

The numbers are x, y, z, the shift of the middle between the wheel centres, then yaw, roll and
twist: turn = Rz(yaw) · Rx(roll) · Ry(twist), in axes whose y runs along the line through the
wheel centres. So z and roll are the two travels, exactly and in closed form, and x, y, yaw and
twist are left for the links to settle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parts.place import Matrix, Place, Vector
from parts.trade.axle.pose import Floats

X, Y, Z, YAW, ROLL, TWIST = range(6)
FREE = [X, Y, YAW, TWIST]  # settled by the links
DRIVEN = [Z, ROLL]  # settled by the travels
_ANGLES = slice(3, 6)
# how often the three turns are derived: not at all, once by each angle, twice by each two
_PAIRS = ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))
_ONE = np.eye(3, dtype=int)
_ORDERS = np.array([[0, 0, 0], *_ONE, *(_ONE[a] + _ONE[b] for a, b in _PAIRS)])
_PAIR = np.array([[_PAIRS.index((min(a, b), max(a, b))) for a in range(3)] for b in range(3)])


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """Points (n, 3) with their derivatives by the six numbers, for m poses.

    at (m, n, 3); first (m, n, 3, 6); second (m, n, 3, 6, 6).
    """

    at: Floats
    first: Floats
    second: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Rigid:
    """The axle at ride: middle (3,), own axes (3, 3) as columns, half the wheel centres' gap."""

    middle: Vector
    own: Matrix
    half: float
    ride: Floats  # (6,), the six numbers at ride

    @staticmethod
    def between(left: Vector, right: Vector) -> Rigid:
        """The axle through two wheel centres; ValueError if they are not left and right."""
        along = right - left
        flat = float(np.hypot(along[0], along[1]))
        if along[1] <= 0 or abs(along[2]) > 0.5 * flat:
            raise ValueError(
                "the wheel centres must lie left and right of each other: the right one at the "
                "larger Y, and neither far above the other"
            )
        yaw, roll = np.arctan2(-along[0], along[1]), np.arctan2(along[2], flat)
        ride = np.array([0, 0, 0, yaw, roll, 0])
        own = _turn(ride)
        return Rigid((left + right) / 2, own, float(np.linalg.norm(along)) / 2, ride)

    def local(self, points: Vector) -> Vector:
        """Points (n, 3) at ride, in the axle's own axes."""
        return np.asarray((points - self.middle) @ self.own)

    def spread(self, numbers: Floats, local: Vector) -> Spread:
        """Own points (n, 3) at m poses (m, 6)."""
        carried = _carry(_turns(numbers, _ORDERS), local)
        at, first = self._first(numbers, carried)
        second = np.zeros((*first.shape, 6))
        second[..., _ANGLES, _ANGLES] = np.moveaxis(carried[:, 4:], 1, -1)[..., _PAIR]
        return Spread(at, first, second)

    def rates(self, numbers: Floats, local: Vector) -> tuple[Floats, Floats]:
        """The `at` and `first` of `spread`, without the work for the rest."""
        return self._first(numbers, _carry(_turns(numbers, _ORDERS[:4]), local))

    def _first(self, numbers: Floats, carried: Floats) -> tuple[Floats, Floats]:
        at = carried[:, 0] + (self.middle + numbers[:, None, :3])
        first = np.zeros((*at.shape, 6))
        first[..., :3] = np.eye(3)
        first[..., _ANGLES] = np.moveaxis(carried[:, 1:4], 1, -1)
        return at, first

    def moved(self, numbers: Floats) -> Place:
        """The rigid move from ride of one pose (6,)."""
        turn = _turn(numbers) @ self.own.T
        return Place(turn, self.middle + numbers[:3] - turn @ self.middle)

    def turn_axes(self, numbers: Floats) -> Matrix:
        """The axes (3, 3), as columns, about which yaw, roll and twist turn at one pose (6,)."""
        yaw = _turn(np.array([0, 0, 0, numbers[YAW], 0, 0]))
        both = _turn(np.array([0, 0, 0, numbers[YAW], numbers[ROLL], 0]))
        return np.column_stack([[0.0, 0, 1], yaw[:, 0], both[:, 1]])


def _carry(turns: Floats, local: Vector) -> Floats:
    """Own points (n, 3) by turns (m, k, 3, 3): (m, k, n, 3)."""
    return np.asarray(local @ np.swapaxes(turns, -1, -2))


def _turn(numbers: Floats) -> Matrix:
    """The turn (3, 3) of one pose (6,)."""
    return np.asarray(_turns(numbers[None], _ORDERS[:1])[0, 0])


def _turns(numbers: Floats, orders: NDArray[np.int_]) -> Floats:
    """The turns of m poses, derived as often as `orders` (k, 3) say: (m, k, 3, 3)."""
    angles = numbers[:, _ANGLES, None, None, None]
    each = np.cos(angles) * _COSINES + np.sin(angles) * _SINES + _STILL
    yaw, roll, twist = (each[:, i, orders[:, i]] for i in range(3))
    return np.asarray(yaw @ roll @ twist)


def _about(axis: int) -> tuple[Floats, Floats, Floats]:
    """A rotation about a coordinate axis and its first two derivatives, as what the cosine is
    multiplied by, the sine, and what stays: each (3, 3, 3)."""
    i, j = (axis + 1) % 3, (axis + 2) % 3
    even, odd, still = np.zeros((3, 3)), np.zeros((3, 3)), np.zeros((3, 3, 3))
    even[i, i] = even[j, j] = odd[j, i] = 1.0
    odd[i, j] = -1.0
    still[0, axis, axis] = 1.0
    return np.stack([even, odd, -even]), np.stack([odd, -even, -odd]), still


_COSINES, _SINES, _STILL = (np.stack(each) for each in zip(*map(_about, (2, 0, 1)), strict=True))


def third_bound(local: Vector) -> Floats:
    """Bound (n, 6, 6, 6) on the size of every third derivative of own points (n, 3).

    A turn and its derivatives lengthen no vector, so the distance from the middle will do; where
    twist is among the three, the distance from the axle's line.
    """
    out = np.zeros((len(local), 6, 6, 6))
    out[:, _ANGLES, _ANGLES, _ANGLES] = np.linalg.norm(local, axis=1)[:, None, None, None]
    from_line = np.hypot(local[:, 0], local[:, 2])[:, None, None]
    out[:, TWIST, _ANGLES, _ANGLES] = from_line
    out[:, _ANGLES, TWIST, _ANGLES] = from_line
    out[:, _ANGLES, _ANGLES, TWIST] = from_line
    return out
