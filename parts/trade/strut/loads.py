"""What struts and hinges put into their brackets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parts.trade.strut.given import Point
from parts.trade.strut.hung import HungLid, looked_at
from parts.trade.strut.lid import GRAVITY
from parts.trade.strut.mounts import length, turned
from parts.trade.strut.spring import Condition, Moving, force_n

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class MountLoad:
    """The force of one strut on one mount, at the angle where it is highest.

    `force_n` stands still, `slammed_n` is with the slam factor. `along` is its unit direction
    in the section, rearward and up, as the vehicle stands; what is left of 1 leans aside.
    """

    mount: str  # "lid" or "body"
    force_n: float
    slam_factor: float
    at_deg: float
    along: Point

    @property
    def slammed_n(self) -> float:
        """Force times slam factor: what bracket and ball stud are screened for."""
        return self.force_n * self.slam_factor

    def __str__(self) -> str:
        return (
            f"{self.mount} mount: {self.force_n:.0f} N at {self.at_deg:.0f}°, "
            f"{self.slammed_n:.0f} N with a slam factor of {self.slam_factor:g}"
        )


def mount_loads(
    hung: HungLid, condition: Condition, slam_factor: float
) -> tuple[MountLoad, MountLoad]:
    """Load of one strut on lid and body mount while it is pushed in. Raises ValueError.

    The slam factor takes in a lid let fall and a lid thrown open; common practice 1.5 to 2.
    """
    if not slam_factor >= 1:
        raise ValueError(f"slam factor is {slam_factor:g}; needs 1 or more, commonly 1.5 to 2")
    at = looked_at(hung.open_deg)
    long = length(hung.mounts, at)
    push = force_n(hung.strut, long, condition, Moving.IN)
    i = int(np.argmax(push))
    end = turned(hung.mounts.lid, at[i : i + 1])[0]
    x, z = ((end - np.asarray(hung.mounts.body)) / long[i]).tolist()
    most, angle = float(push[i]), float(at[i])
    return (
        MountLoad("lid", most, slam_factor, angle, (x, z)),
        MountLoad("body", most, slam_factor, angle, (-x, -z)),
    )


def hinge_force_n(hung: HungLid, open_deg: ArrayLike, condition: Condition) -> Floats:
    """What both hinges together push on the lid, rearward and up, (n, 2) N.

    Holds weight and struts in balance; hand, latch, seal and stop come on top.
    """
    at = np.atleast_1d(np.asarray(open_deg, dtype=float))
    long = length(hung.mounts, at)
    along = (turned(hung.mounts.lid, at) - np.asarray(hung.mounts.body)) / long[:, None]
    push = hung.count * force_n(hung.strut, long, condition)
    weight = np.array([0.0, -hung.lid.mass_kg * GRAVITY])
    found: Floats = -(push[:, None] * along + weight)
    return found
