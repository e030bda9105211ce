"""Where the two wheels of an axle are, how fast they move, and what any axle answers.

A wheel's place has its origin at the wheel's centre; y is the spin axis pointing outboard, z is
as near up as y allows, and x = y × z: rearward on the right wheel, forward on the left one. So
the tyre's own numbers, told along y, serve both sides. The place goes with the hub as the axle
twists; a wheel's rolling is not part of it.

Travel is how far a wheel's centre rises from ride (bump +, droop −) with the wheels straight
ahead; a rate per degree is that of steering.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from parts.place import Place, Vector, cross, unit

Floats: TypeAlias = NDArray[np.float64]
Point: TypeAlias = tuple[float, float, float]
SIDES = ("left", "right")
LEFT, RIGHT = 0, 1


class CannotFollow(ValueError):
    """Travel that a link or arm does not allow: which one, and the travel it reaches."""

    def __init__(self, link: str, asked: tuple[float, float], reached: tuple[float, float]) -> None:
        super().__init__(
            f"{link} cannot follow to left {asked[0]:.1f}, right {asked[1]:.1f} mm: it reaches "
            f"left {reached[0]:.1f}, right {reached[1]:.1f} mm; measure it and its mounts again, "
            f"or set the stops within that"
        )
        self.link = link
        self.asked = asked
        self.reached = reached


@dataclass(frozen=True, slots=True)
class Wheel:
    """One wheel at ride: its centre, and its spin axis outboard if that is not square across."""

    centre: Point
    outboard: Point | None = None

    def place(self, side: int) -> Place:
        """Place at ride; see the top of this file.

        >>> Wheel((0, -760, 331)).place(LEFT).turn.T.tolist()
        [[-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]]
        """
        y = unit((0, 1 if side == RIGHT else -1, 0) if self.outboard is None else self.outboard)
        if y[1] * (1 if side == RIGHT else -1) <= 0:
            raise ValueError(f"the {SIDES[side]} wheel's spin axis must point outboard")
        z = unit(np.array([0.0, 0, 1]) - y[2] * y)
        turn = np.column_stack([cross(y, z), y, z]) + 0.0
        return Place(turn, np.array(self.centre, dtype=float))


@dataclass(frozen=True, slots=True, eq=False)
class AxlePose:
    """An axle at one travel. Shifts, roll, twist and yaw are from ride.

    `carried` is the rigid move, from ride, of what carries each wheel: of the one axle, or of
    each side's arm. `shift_back` and `shift_right` are of the middle between the wheel centres.
    `roll_deg` is + with the right wheel up, `yaw_deg` + with the right wheel forward, `twist_deg`
    (left, right), about the line from left to right wheel, + with the top rearward (the nose of
    the final drive up). `residuals` are (name, mm): how far each link is from its length; + long.
    """

    left: Place
    right: Place
    carried: tuple[Place, Place]
    shift_back: float
    shift_right: float
    roll_deg: float
    yaw_deg: float
    twist_deg: tuple[float, float]
    residuals: tuple[tuple[str, float], ...] = ()

    @property
    def wheels(self) -> tuple[Place, Place]:
        return (self.left, self.right)

    @property
    def worst_residual(self) -> float:
        return max((abs(value) for _, value in self.residuals), default=0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Speed:
    """Rates of both wheels per mm of left travel, mm of right travel, and degree of steer.

    centre (2, 3, 3): side, what drives it, x y z in mm per mm (or per degree);
    turn (2, 3, 3): likewise the angular velocity in radians.
    """

    centre: Floats
    turn: Floats


@dataclass(frozen=True, slots=True)
class Cell:
    """A box of travels, mm, and of steer, each (from, to)."""

    left: tuple[float, float]
    right: tuple[float, float]
    steer_deg: tuple[float, float] = (0.0, 0.0)

    def __post_init__(self) -> None:
        if any(not low <= high for low, high in (self.left, self.right, self.steer_deg)):
            raise ValueError(f"{self} runs backwards; write each as (least, most)")

    @property
    def middle(self) -> tuple[float, float]:
        return (sum(self.left) / 2, sum(self.right) / 2)

    def quarters(self) -> tuple[Cell, ...]:
        """Four boxes of half the travels that make up this one."""
        lefts, rights = _halves(self.left), _halves(self.right)
        return tuple(Cell(one, two, self.steer_deg) for one in lefts for two in rights)


def _halves(span: tuple[float, float]) -> tuple[tuple[float, float], tuple[float, float]]:
    low, high = span
    return (low, (low + high) / 2), ((low + high) / 2, high)


@dataclass(frozen=True, slots=True, eq=False)
class MotionBound:
    """Rates that no pose of a cell exceeds; each (2, 3): side, what drives it as in `Speed`.

    centre: mm per mm of the wheel's centre; turn: rad per mm of the whole hub; tilt: rad per mm
    of the spin axis, which is all that counts for a tyre, a solid of revolution.
    """

    centre: Floats
    turn: Floats
    tilt: Floats

    def joined(self, other: MotionBound) -> MotionBound:
        """The bound that holds over both cells."""
        return MotionBound(
            np.maximum(self.centre, other.centre),
            np.maximum(self.turn, other.turn),
            np.maximum(self.tilt, other.tilt),
        )


class Axle(Protocol):
    """What every axle answers; travels in mm, bump +. All raise CannotFollow."""

    def pose(self, left: float, right: float, steer_deg: float = 0.0) -> AxlePose: ...

    def poses(self, travels: Floats) -> tuple[AxlePose, ...]: ...

    def speed(self, left: float, right: float, steer_deg: float = 0.0) -> Speed: ...

    def motion_bound(self, cell: Cell) -> MotionBound: ...


def point_speed(
    pose: AxlePose, speed: Speed, side: int, point: Vector | Point
) -> tuple[Vector, Floats]:
    """Where a point (3,) told at ride is now, and its rates (2, 3) per mm of left, right travel.

    The point is one of what carries the wheel of that side: the axle, the arm.
    """
    now = pose.carried[side].apply(point)
    arm = now - pose.wheels[side].origin
    return now, speed.centre[side, :2] + np.cross(speed.turn[side, :2], arm)
