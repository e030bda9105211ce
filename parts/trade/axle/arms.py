"""Wheels that go up and down each on its own: a swinging arm, or straight up and down."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from parts.place import HERE, Place, Vector, turned_about, unit
from parts.trade.axle.pose import (
    LEFT,
    RIGHT,
    SIDES,
    AxlePose,
    CannotFollow,
    Cell,
    Floats,
    MotionBound,
    Point,
    Speed,
    Wheel,
)


class Carrier(Protocol):
    """What carries one wheel; `wheel` is its place at ride, `travel` in mm. ValueError past reach
    is told by `reach`, the least and most travel."""

    def reach(self, wheel: Place) -> tuple[float, float]: ...

    def moved(self, wheel: Place, travel: float) -> Place: ...

    def rates(self, wheel: Place, travel: float) -> tuple[Vector, Vector]: ...

    def most(self, wheel: Place, low: float, high: float) -> tuple[float, float, float]: ...


@dataclass(frozen=True, slots=True)
class StraightUp:
    """A wheel that rises straight, without turning: a first guess where nothing is measured."""

    def reach(self, wheel: Place) -> tuple[float, float]:
        return (-np.inf, np.inf)

    def moved(self, wheel: Place, travel: float) -> Place:
        return Place(HERE.turn, np.array([0.0, 0.0, travel]))

    def rates(self, wheel: Place, travel: float) -> tuple[Vector, Vector]:
        return np.array([0.0, 0, 1]), np.zeros(3)

    def most(self, wheel: Place, low: float, high: float) -> tuple[float, float, float]:
        return (1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class SwingArm:
    """An arm that swings about the line through two points of its pivot, told at ride.

    The line lies square to the car for a trailing arm, along it for a swing axle, and between
    the two for a semi-trailing arm. All in closed form: the wheel's centre runs on a circle.

    >>> arm = SwingArm((-500, 300, 331), (-500, 700, 331))
    >>> wheel = Wheel((0, 760, 331)).place(RIGHT)
    >>> arm.moved(wheel, 300).apply([0, 760, 331]).round(6).tolist()
    [-100.0, 760.0, 631.0]
    """

    inner: Point
    outer: Point

    def _circle(self, wheel: Place) -> tuple[Vector, float, float]:
        """Axis (3,), and cosine and sine terms of the wheel centre's height as the arm swings."""
        axis = unit(np.subtract(self.outer, self.inner))
        arm = wheel.origin - np.array(self.inner, dtype=float)
        across = arm - (arm @ axis) * axis
        ahead = float(np.cross(axis, across)[2])
        if abs(ahead) < 0.05 * max(float(np.linalg.norm(across)), 1.0):
            raise ValueError(
                "the arm's pivot line does not let the wheel rise: measure both its points again"
            )
        return axis, float(across[2]), ahead

    def reach(self, wheel: Place) -> tuple[float, float]:
        _, level, ahead = self._circle(wheel)
        return (-float(np.hypot(level, ahead)) - level, float(np.hypot(level, ahead)) - level)

    def _swing(self, wheel: Place, travel: float) -> tuple[Vector, float, float]:
        """Axis, angle (rad) and its rate (rad per mm) at a travel."""
        axis, level, ahead = self._circle(wheel)
        size = float(np.hypot(level, ahead))
        way = float(np.sign(ahead))
        slope = way * np.sqrt(max(size**2 - (level + travel) ** 2, 0.0))
        angle = float(np.arctan2(ahead, level) - np.arctan2(slope, level + travel))
        return axis, angle, 1.0 / slope if slope else np.inf

    def moved(self, wheel: Place, travel: float) -> Place:
        axis, angle, _ = self._swing(wheel, travel)
        turn = turned_about(axis, float(np.degrees(angle)))
        pivot = np.array(self.inner, dtype=float)
        return Place(turn, pivot - turn @ pivot)

    def rates(self, wheel: Place, travel: float) -> tuple[Vector, Vector]:
        """Rates per mm of travel of the wheel's centre, and the arm's angular velocity."""
        axis, _, rate = self._swing(wheel, travel)
        arm = self.moved(wheel, travel).apply(wheel.origin) - np.array(self.inner)
        return np.cross(axis, arm) * rate, axis * rate

    def most(self, wheel: Place, low: float, high: float) -> tuple[float, float, float]:
        """Most rate of centre, hub and spin axis from low to high travel, exactly.

        The height rises as a sine between its ends, so it is slowest at one of the two travels,
        and there the arm turns fastest; the centre's radius does not change.
        """
        axis, fast = self._swing(wheel, low)[0], 0.0
        for travel in (low, high):
            fast = max(fast, abs(self._swing(wheel, travel)[2]))
        radius = float(np.linalg.norm(np.cross(axis, wheel.origin - np.array(self.inner))))
        return radius * fast, fast, float(np.linalg.norm(np.cross(axis, wheel.turn[:, 1]))) * fast


@dataclass(frozen=True, slots=True, eq=False)
class Independent:
    """Two wheels, each with what carries it; the sides need not be alike."""

    left: Wheel
    right: Wheel
    left_arm: Carrier
    right_arm: Carrier

    def pose(self, left: float, right: float, steer_deg: float = 0.0) -> AxlePose:
        """Both wheels at travels in mm; raises CannotFollow past what an arm reaches."""
        places, arms = self._at(left, right, steer_deg)
        moved = [arm.moved(p, t) for arm, p, t in zip(arms, places, (left, right), strict=True)]
        ride = places[RIGHT].origin - places[LEFT].origin
        wheels = [m.then(p) for m, p in zip(moved, places, strict=True)]
        now = wheels[RIGHT].origin - wheels[LEFT].origin
        shift = (wheels[LEFT].origin + wheels[RIGHT].origin) / 2
        shift -= (places[LEFT].origin + places[RIGHT].origin) / 2
        return AxlePose(
            left=wheels[LEFT],
            right=wheels[RIGHT],
            carried=(moved[LEFT], moved[RIGHT]),
            shift_back=float(shift[0]),
            shift_right=float(shift[1]),
            roll_deg=_roll_deg(now) - _roll_deg(ride),
            yaw_deg=_yaw_deg(now) - _yaw_deg(ride),
            twist_deg=(_twist_deg(moved[LEFT], ride), _twist_deg(moved[RIGHT], ride)),
        )

    def poses(self, travels: Floats) -> tuple[AxlePose, ...]:
        """Both wheels at many travels (n, 2); raises CannotFollow."""
        return tuple(self.pose(*(float(t) for t in row)) for row in travels)

    def speed(self, left: float, right: float, steer_deg: float = 0.0) -> Speed:
        """Rates at travels in mm, exact; each wheel moves with its own travel only."""
        places, arms = self._at(left, right, steer_deg)
        centre, turn = np.zeros((2, 3, 3)), np.zeros((2, 3, 3))
        for side, travel in enumerate((left, right)):
            centre[side, side], turn[side, side] = arms[side].rates(places[side], travel)
        return Speed(centre, turn)

    def motion_bound(self, cell: Cell) -> MotionBound:
        """The least rates that no pose of the cell exceeds: exact, in closed form."""
        if cell.steer_deg != (0.0, 0.0):
            raise ValueError(_NO_STEER)
        places, arms = self._at(cell.left[0], cell.right[0], 0.0)
        self._at(cell.left[1], cell.right[1], 0.0)
        most: list[Floats] = [np.zeros((2, 3)) for _ in range(3)]
        for side, (low, high) in enumerate((cell.left, cell.right)):
            rates = arms[side].most(places[side], low, high)
            for out, rate in zip(most, rates, strict=True):
                out[side, side] = rate
        return MotionBound(*most)

    def _at(
        self, left: float, right: float, steer_deg: float
    ) -> tuple[tuple[Place, Place], tuple[Carrier, Carrier]]:
        """Both wheels' places at ride and their arms, once the travels are known to be allowed."""
        if steer_deg != 0.0:
            raise ValueError(_NO_STEER)
        places = (self.left.place(LEFT), self.right.place(RIGHT))
        arms = (self.left_arm, self.right_arm)
        asked = (float(left), float(right))
        reaches = [arm.reach(place) for arm, place in zip(arms, places, strict=True)]
        for side, (low, high) in enumerate(reaches):
            if not low < asked[side] < high:
                got = tuple(float(np.clip(t, *r)) for t, r in zip(asked, reaches, strict=True))
                raise CannotFollow(f"the {SIDES[side]} arm", asked, (got[0], got[1]))
        return places, arms


_NO_STEER = "these wheels do not steer; say their kingpins, or leave the steer out"


def _roll_deg(across: Vector) -> float:
    return float(np.degrees(np.arctan2(across[2], np.hypot(across[0], across[1]))))


def _yaw_deg(across: Vector) -> float:
    return float(np.degrees(np.arctan2(-across[0], across[1])))


def _twist_deg(moved: Place, along: Vector) -> float:
    """The part of a rigid move's turn that is about a line (swing and twist taken apart)."""
    t = moved.turn
    spiral = np.array([t[2, 1] - t[1, 2], t[0, 2] - t[2, 0], t[1, 0] - t[0, 1]])
    return float(np.degrees(2 * np.arctan2(spiral @ unit(along), 1 + np.trace(t))))
