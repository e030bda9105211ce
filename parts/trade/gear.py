"""An axle with its tyres, ready to be moved: what a tub, a fender or a link tab is built round."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.trade.axle import LEFT, RIGHT, Axle, AxlePose, Link, Stops, Travels
from parts.trade.links.car import Car
from parts.trade.sweep import Motion, Wheel, motion
from parts.trade.tyre import TyreSize
from parts.trade.tyre.section import TyreSection

SIDE = {"left": LEFT, "right": RIGHT}


@dataclass(frozen=True, eq=False)
class Gear:
    """An axle, its travel and its tyres.

    `spread` holds the 95 % half widths of what the wheels' places were measured by: "across"
    (wheel plane), "fore-aft", "height", and "width" and "diameter" of the tyre, mm. `car`,
    `springs` and `bump_stops` are for the links' forces; `ends` names the points of each link,
    on the chassis and on the axle.
    """

    name: str
    axle: Axle
    stops: Stops
    poses: tuple[Travels, ...]
    size: TyreSize
    section: TyreSection
    rim_width_in: float
    offset: float
    spread: Mapping[str, float]
    car: Car | None = None
    springs: tuple[Link, ...] = ()
    bump_stops: tuple[Link, ...] = ()
    ends: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    @cached_property
    def wheel(self) -> Wheel:
        """The tyre as the sweep takes it."""
        return Wheel(self.section.rings())

    @property
    def steers(self) -> bool:
        return self.stops.lock_deg > 0

    @cached_property
    def posed(self) -> tuple[AxlePose, ...]:
        """The axle in its named poses. Raises CannotFollow."""
        return self.axle.poses(np.array([self.travels(pose) for pose in self.poses]))

    def travels(self, pose: Travels) -> NDArray[np.float64]:
        """A pose as the motion's travels: left, right, and steer where there is any."""
        values = [pose.left, pose.right, pose.steer_deg]
        return np.array(values if self.steers else values[:2])

    def motion(self, hand: str) -> Motion:
        """How one wheel moves over all the travel there is. Raises CannotFollow."""
        return self._motions[hand]

    @cached_property
    def _motions(self) -> dict[str, Motion]:
        """Of both wheels, their axle solved once for all the poses that are looked at."""
        bump, droop, lock = self.stops.bump, self.stops.droop, self.stops.lock_deg
        low, high = [-droop, -droop], [bump, bump]
        if self.steers:
            low, high = [*low, -lock], [*high, lock]
        ends, reach = (np.array(low), np.array(high)), self.wheel.reach
        asked = _looked_at(*ends, reach)
        solved = dict(zip(asked, self.axle.poses(np.array(asked)), strict=True))

        def of(side: int) -> Motion:
            def pose(travels: NDArray[np.float64]) -> tuple[Vector, Vector]:
                place = solved[tuple(travels.tolist())].wheels[side]
                return place.origin, place.turn[:, 1]

            return motion(pose, *ends, reach)

        return {hand: of(side) for hand, side in SIDE.items()}


def _looked_at(
    low: NDArray[np.float64], high: NDArray[np.float64], reach: float
) -> Sequence[tuple[float, ...]]:
    """The travels at which a motion over this range asks for a pose."""
    asked: dict[tuple[float, ...], None] = {}

    def still(travels: NDArray[np.float64]) -> tuple[Vector, Vector]:
        asked[tuple(travels.tolist())] = None
        return np.zeros(3), np.array([0.0, 1.0, 0.0])

    motion(still, low, high, reach)
    return tuple(asked)
