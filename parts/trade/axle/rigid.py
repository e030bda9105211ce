"""A rigid axle by six numbers, with all derivatives, many poses at a time.

The numbers are x, y, z, the shift of the middle between the wheel centres, then yaw, roll and
twist: turn = Rz(yaw) · Rx(roll) · Ry(twist), in axes whose y runs along the line through the
wheel centres. So z and roll are the two travels, exactly and in closed form, and x, y, yaw and
twist are left for the links to settle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parts.place import Matrix, Place, Vector
from parts.trade.axle.pose import Floats

X, Y, Z, YAW, ROLL, TWIST = range(6)
FREE = [X, Y, YAW, TWIST]  # settled by the links
DRIVEN = [Z, ROLL]  # settled by the travels
_ANGLES = slice(3, 6)
_ORDER = np.eye(3, dtype=int)  # which of the three turns each angle is


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
        own = _turns(ride[None])[0, 0, 0, 0]
        return Rigid((left + right) / 2, own, float(np.linalg.norm(along)) / 2, ride)

    def local(self, points: Vector) -> Vector:
        """Points (n, 3) at ride, in the axle's own axes."""
        return np.asarray((points - self.middle) @ self.own)

    def spread(self, numbers: Floats, local: Vector) -> Spread:
        """Own points (n, 3) at m poses (m, 6)."""
        turns = _turns(numbers)
        base = self.middle + numbers[:, None, :3]
        at = base + _carry(turns[:, 0, 0, 0], local)
        shape = (*at.shape, 6)
        first, second = np.zeros(shape), np.zeros((*shape, 6))
        first[..., :3] = np.eye(3)
        for a in range(3):
            i, j, k = _ORDER[a]
            first[..., 3 + a] = _carry(turns[:, i, j, k], local)
            for b in range(a, 3):
                i, j, k = _ORDER[a] + _ORDER[b]
                second[..., 3 + a, 3 + b] = _carry(turns[:, i, j, k], local)
                second[..., 3 + b, 3 + a] = second[..., 3 + a, 3 + b]
        return Spread(at, first, second)

    def moved(self, numbers: Floats) -> Place:
        """The rigid move from ride of one pose (6,)."""
        turn = _turns(numbers[None])[0, 0, 0, 0] @ self.own.T
        return Place(turn, self.middle + numbers[:3] - turn @ self.middle)

    def turn_axes(self, numbers: Floats) -> Matrix:
        """The axes (3, 3), as columns, about which yaw, roll and twist turn at one pose (6,)."""
        yaw = _turns(np.array([[0, 0, 0, numbers[YAW], 0, 0]]))[0, 0, 0, 0]
        both = _turns(np.array([[0, 0, 0, numbers[YAW], numbers[ROLL], 0]]))[0, 0, 0, 0]
        return np.column_stack([[0.0, 0, 1], yaw[:, 0], both[:, 1]])


def _carry(turn: Floats, local: Vector) -> Floats:
    return np.asarray(local @ np.swapaxes(turn, -1, -2))


def _turns(numbers: Floats) -> Floats:
    """All products of derivatives 0, 1, 2 of the three turns: (m, 3, 3, 3, 3, 3)."""
    yaw, roll, twist = (numbers[:, angle] for angle in (YAW, ROLL, TWIST))
    first = _about(yaw, 2)[:, :, None] @ _about(roll, 0)[:, None, :]
    return np.asarray(first[:, :, :, None] @ _about(twist, 1)[:, None, None, :])


def _about(angle_rad: Floats, axis: int) -> Floats:
    """Rotation about a coordinate axis, and its first two derivatives: (m, 3, 3, 3)."""
    i, j = (axis + 1) % 3, (axis + 2) % 3
    cos, sin = np.cos(angle_rad), np.sin(angle_rad)
    out = np.zeros((len(angle_rad), 3, 3, 3))
    out[:, 0, axis, axis] = 1.0
    for order, (c, s) in enumerate(((cos, sin), (-sin, cos), (-cos, -sin))):
        out[:, order, i, i] = out[:, order, j, j] = c
        out[:, order, j, i] = s
        out[:, order, i, j] = -s
    return out


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
