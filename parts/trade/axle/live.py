"""Live axle: one rigid body, both wheels on it, located by links, arms and a lateral bar."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from parts.place import Vector
from parts.trade.axle.bound import bound_over
from parts.trade.axle.follow import driven_rates, equations, follow
from parts.trade.axle.links import Arm, Link, Linkage
from parts.trade.axle.pose import (
    LEFT,
    RIGHT,
    AxlePose,
    Cell,
    Floats,
    MotionBound,
    Speed,
    Wheel,
)
from parts.trade.axle.rigid import ROLL, TWIST, YAW, Rigid


@dataclass(frozen=True, slots=True, eq=False)
class LiveAxle:
    """A rigid axle on `links` (side links, lateral bar) and `arms` fixed to it.

    Four lengths locate it exactly: three side links and a bar, a four-link with one pair
    splayed, and so on. More than four are met by least squares; a pose that leaves a length
    more than `give` mm wrong is refused: bushes yield a few mm, links do not. Fewer, or four
    that leave it loose, raise ValueError saying what else to measure. Steering raises ValueError;
    see `Steered`.
    """

    links: tuple[Link, ...]
    left: Wheel
    right: Wheel
    arms: tuple[Arm, ...] = ()
    give: float = 10.0
    linkage: Linkage = field(init=False, repr=False)

    def __post_init__(self) -> None:
        rigid = Rigid.between(*(np.array(w.centre, dtype=float) for w in (self.left, self.right)))
        names = [*(link.name for link in self.links), *(arm.name for arm in self.arms)]
        if twice := sorted({name for name in names if names.count(name) > 1}):
            raise ValueError(f"more than one link is called {twice[0]}; give each its own name")
        object.__setattr__(self, "linkage", Linkage.of(rigid, self.links, self.arms))

    def pose(self, left: float, right: float, steer_deg: float = 0.0) -> AxlePose:
        """The axle at travels in mm; raises CannotFollow."""
        (posed,) = self._posed(self._numbers(left, right, steer_deg)[None])
        return posed

    def poses(self, travels: Floats) -> tuple[AxlePose, ...]:
        """The axle at many travels (n, 2), solved together; raises CannotFollow."""
        travels = _two(travels)
        return self._posed(follow(self.linkage, travels, self.give))

    def _posed(self, numbers: Floats) -> tuple[AxlePose, ...]:
        errors, _ = self.linkage.errors(numbers)
        return tuple(self._pose(*row) for row in zip(numbers, errors, strict=True))

    def _pose(self, numbers: Floats, errors: Floats) -> AxlePose:
        rigid = self.linkage.rigid
        moved = rigid.moved(numbers)
        turned = np.degrees(numbers - rigid.ride)
        return AxlePose(
            left=moved.then(self.left.place(LEFT)),
            right=moved.then(self.right.place(RIGHT)),
            carried=(moved, moved),
            shift_back=float(numbers[0]),
            shift_right=float(numbers[1]),
            roll_deg=float(turned[ROLL]),
            yaw_deg=float(turned[YAW]),
            twist_deg=(float(turned[TWIST]), float(turned[TWIST])),
            residuals=tuple(zip(self.linkage.names, errors.tolist(), strict=True)),
        )

    def speed(self, left: float, right: float, steer_deg: float = 0.0) -> Speed:
        """Rates at travels in mm, exact; raises CannotFollow."""
        numbers = self._numbers(left, right, steer_deg)
        rigid = self.linkage.rigid
        rates = np.zeros((6, 2))
        free = equations(self.linkage, numbers[None]).slope()[0]
        rates[[0, 1, YAW, TWIST]], rates[[2, ROLL]] = free, np.eye(2)
        rates = rates @ driven_rates(self.linkage, numbers[ROLL])
        _, ends = rigid.rates(numbers[None], rigid.local(self._centers()))
        centre, turn = np.zeros((2, 3, 3)), np.zeros((2, 3, 3))
        centre[:, :2] = np.swapaxes(ends[0] @ rates, 1, 2)
        turn[:, :2] = (rigid.turn_axes(numbers) @ rates[3:]).T
        return Speed(centre, turn)

    def motion_bound(self, cell: Cell) -> MotionBound:
        """Rates that no pose of the cell exceeds: proved, see `bound`."""
        if cell.steer_deg != (0.0, 0.0):
            raise ValueError(_NO_STEER)
        places = (self.left.place(LEFT), self.right.place(RIGHT))
        spins = np.array([place.turn[:, 1] for place in places]) @ self.linkage.rigid.own
        return bound_over(self.linkage, spins, cell, self.give)

    def _centers(self) -> Vector:
        return np.array([self.left.centre, self.right.centre], dtype=float)

    def _numbers(self, left: float, right: float, steer_deg: float) -> Floats:
        if steer_deg != 0.0:
            raise ValueError(_NO_STEER)
        return np.asarray(follow(self.linkage, np.array([[left, right]]), self.give)[0])


def _two(travels: Floats) -> Floats:
    """Travels (n, 2) of both wheels; ValueError where a third column asks for steer."""
    if travels.shape[1] > 2 and np.any(travels[:, 2:]):
        raise ValueError(_NO_STEER)
    return travels[:, :2]


_NO_STEER = "this axle does not steer; say its kingpins, or leave the steer out"
