"""Steer: the wheels of any axle turned about their kingpins."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from parts.place import Place, Vector, turned_about, unit
from parts.trade.axle.pose import (
    LEFT,
    RIGHT,
    Axle,
    AxlePose,
    Cell,
    Floats,
    MotionBound,
    Point,
    Speed,
)


@dataclass(frozen=True, slots=True)
class Kingpin:
    """The line a wheel steers about, by two points told at ride, wheels straight ahead."""

    lower: Point
    upper: Point

    def __post_init__(self) -> None:
        if self.upper[2] <= self.lower[2]:
            raise ValueError("the kingpin's upper point must be above its lower one")


@dataclass(frozen=True, slots=True, eq=False)
class Steered:
    """An axle whose wheels steer about kingpins that go with what carries them.

    Steer is + to the left (anticlockwise seen from above), in degrees about each kingpin, the
    same on both sides. What a tie rod adds as the axle moves (bump steer) is not in it.
    """

    axle: Axle
    left: Kingpin
    right: Kingpin

    def pose(self, left: float, right: float, steer_deg: float = 0.0) -> AxlePose:
        """As the axle's pose, each wheel turned about its kingpin."""
        return self._steered(self.axle.pose(left, right), steer_deg)

    def poses(self, travels: Floats) -> tuple[AxlePose, ...]:
        """At many travels (n, 2) or, with steer in degrees, (n, 3); raises CannotFollow."""
        pairs, which = np.unique(travels[:, :2], axis=0, return_inverse=True)
        straight = self.axle.poses(pairs)
        steers = travels[:, 2] if travels.shape[1] > 2 else np.zeros(len(travels))
        return tuple(
            self._steered(straight[i], float(steer))
            for i, steer in zip(which.ravel(), steers, strict=True)
        )

    def _steered(self, pose: AxlePose, steer_deg: float) -> AxlePose:
        wheels = []
        for side in (LEFT, RIGHT):
            lower, axis = self._kingpin(pose, side)
            turn = turned_about(axis, steer_deg)
            wheels.append(Place(turn, lower - turn @ lower).then(pose.wheels[side]))
        return replace(pose, left=wheels[LEFT], right=wheels[RIGHT])

    def speed(self, left: float, right: float, steer_deg: float = 0.0) -> Speed:
        """As the axle's speeds, with those per degree of steer in the last row."""
        straight, now = self.axle.pose(left, right), self.pose(left, right, steer_deg)
        speed = self.axle.speed(left, right)
        centre, turn = speed.centre.copy(), speed.turn.copy()
        for side in (LEFT, RIGHT):
            moved = now.wheels[side].origin - straight.wheels[side].origin
            centre[side, :2] += np.cross(turn[side, :2], moved)
            lower, axis = self._kingpin(straight, side)
            turn[side, 2] = np.radians(axis)
            centre[side, 2] = np.cross(turn[side, 2], now.wheels[side].origin - lower)
        return Speed(centre, turn)

    def motion_bound(self, cell: Cell) -> MotionBound:
        """Rates that no pose of the cell exceeds.

        Steer takes the centre round a circle about the kingpin, no further from straight ahead
        than the chord; the axle's own turning acts on that chord. Proved from the axle's bound.
        """
        base = self.axle.motion_bound(Cell(cell.left, cell.right))
        most = max(abs(cell.steer_deg[0]), abs(cell.steer_deg[1]))
        if most > 90:
            raise ValueError(f"steer {most:g}° is past 90°; write the wheel's own lock")
        ride = self.axle.pose(0.0, 0.0)
        centre, turn = base.centre.copy(), base.turn.copy()
        tilt = (base.turn if most else base.tilt).copy()
        for side in (LEFT, RIGHT):
            lower, axis = self._kingpin(ride, side)
            wheel = ride.wheels[side]
            radius = float(np.linalg.norm(np.cross(axis, wheel.origin - lower)))
            centre[side] += turn[side] * 2 * radius * np.sin(np.radians(most) / 2)
            centre[side, 2] = np.radians(radius)
            turn[side, 2] = np.radians(1.0)
            tilt[side, 2] = np.radians(np.linalg.norm(np.cross(axis, wheel.turn[:, 1])))
        return MotionBound(centre, turn, tilt)

    def _kingpin(self, pose: AxlePose, side: int) -> tuple[Vector, Vector]:
        """A point of the kingpin (3,) and its direction up (3,), where the axle is now."""
        pin = (self.left, self.right)[side]
        moved = pose.carried[side]
        return moved.apply(pin.lower), moved.direction(unit(np.subtract(pin.upper, pin.lower)))
