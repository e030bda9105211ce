"""A lid on its hinges with its struts: what it does by itself, and what a hand must do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, hypot

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parts.trade.strut.given import Point, a_point, over_zero
from parts.trade.strut.lid import Lid, Seal, seal_moment_nm, weight_moment_nm
from parts.trade.strut.mounts import Mounts, length, lever
from parts.trade.strut.spring import Condition, Moving, Strut, force_n

Floats = NDArray[np.float64]
STEP_DEG = 0.25  # between angles looked at; crossings are then halved down
MOST_OPEN_DEG = 180.0


@dataclass(frozen=True, slots=True)
class HungLid:
    """A lid, `count` equal struts on equal mounts, how far it opens and where it is held."""

    lid: Lid
    strut: Strut
    count: int
    mounts: Mounts
    open_deg: float
    handle: Point
    seal: Seal | None = None

    def __post_init__(self) -> None:
        if self.count not in (1, 2):
            raise ValueError(f"{self.count} struts; needs 1 or 2")
        over_zero("lid", opening_in_degrees=self.open_deg)
        if self.open_deg > MOST_OPEN_DEG:
            raise ValueError(f"lid opens {self.open_deg:g} degrees; needs up to {MOST_OPEN_DEG:g}")
        a_point("handle", self.handle)
        over_zero("handle", distance_from_the_pivot=hypot(*self.handle))

    @property
    def handle_lever(self) -> float:
        """Distance of the handle from the pivot: a hand pushes square to it."""
        return hypot(*self.handle)

    def __str__(self) -> str:
        return f"{self.count} x {self.strut.f1_n:g} N"


@dataclass(frozen=True, slots=True)
class HandForce:
    """The most a hand must do, and at which angle; 0 N where the lid goes by itself."""

    force_n: float
    at_deg: float


def strut_moment_nm(
    hung: HungLid, open_deg: ArrayLike, condition: Condition, moving: Moving = Moving.FREE
) -> Floats:
    """Moment of all struts about the hinge at each angle (n,); + opens."""
    at = np.atleast_1d(np.asarray(open_deg, dtype=float))
    push = force_n(hung.strut, length(hung.mounts, at), condition, moving)
    return hung.count * push * lever(hung.mounts, at) / 1000


def balancing_force_n(lid: Lid, mounts: Mounts, count: int, open_deg: ArrayLike) -> Floats:
    """Push of each strut that just carries the weight, at each angle (n,); without bounds.

    10 kg at 300 mm on one lever of 100 mm:

    >>> balancing_force_n(Lid(10, (300, 0)), Mounts((100, 0), (100, -400)), 1, 0).round(1)
    array([294.2])
    """
    at = np.atleast_1d(np.asarray(open_deg, dtype=float))
    each: Floats = weight_moment_nm(lid, at) * 1000 / (count * lever(mounts, at))
    return each


def net_moment_nm(
    hung: HungLid,
    open_deg: ArrayLike,
    condition: Condition,
    moving: Moving = Moving.FREE,
    seal: bool = False,
) -> Floats:
    """Struts less weight, and with the seal if asked, at each angle (n,); + opens."""
    at = np.atleast_1d(np.asarray(open_deg, dtype=float))
    net = strut_moment_nm(hung, at, condition, moving) - weight_moment_nm(hung.lid, at)
    return net + seal_moment_nm(hung.seal, at) if seal else net


def rises_from_deg(hung: HungLid, condition: Condition) -> float | None:
    """Least angle from which it opens by itself all the way; None if it does not stay open.

    The struts' friction is against it, the seal does not count.
    """
    return _holds_above(lambda at: net_moment_nm(hung, at, condition, Moving.OUT), hung.open_deg)


def sinks_below_deg(hung: HungLid, condition: Condition) -> float | None:
    """Angle under which it sinks for all the friction of its struts; None if it never stays.

    Between this and `rises_from_deg` friction alone may hold it: nothing to rely on.
    """
    return _holds_above(lambda at: net_moment_nm(hung, at, condition, Moving.IN), hung.open_deg)


def rests_on_seal_deg(hung: HungLid, condition: Condition) -> float | None:
    """Where the seal leaves it when unlatched: the first angle at which nothing lifts it more.

    0 where it stays down, None where it opens from there by itself.
    """
    return _first_fall(lambda at: net_moment_nm(hung, at, condition, seal=True), hung.open_deg)


def hand_to_open(hung: HungLid, condition: Condition) -> HandForce:
    """The most a hand lifts at the handle, square to it; the seal's help does not count."""
    at = looked_at(hung.open_deg)
    return _most(hung, at, -net_moment_nm(hung, at, condition, Moving.OUT))


def hand_to_close(hung: HungLid, condition: Condition) -> HandForce:
    """The most a hand pulls down at the handle, square to it, before the seal is met."""
    at = looked_at(hung.open_deg)
    return _most(hung, at, net_moment_nm(hung, at, condition, Moving.IN))


def hand_to_latch(hung: HungLid, condition: Condition) -> HandForce:
    """What a hand adds at the handle to squeeze the seal fully, slowly; a slam does it too."""
    at = np.zeros(1)
    return _most(hung, at, net_moment_nm(hung, at, condition, Moving.IN, seal=True))


def looked_at(open_deg: float, step_deg: float = STEP_DEG) -> Floats:
    """Angles from shut to open, both included."""
    return np.linspace(0, open_deg, ceil(open_deg / step_deg) + 1)


def _most(hung: HungLid, at: Floats, moment_nm: Floats) -> HandForce:
    i = int(np.argmax(moment_nm))
    return HandForce(max(0.0, float(moment_nm[i]) * 1000 / hung.handle_lever), float(at[i]))


def _holds_above(net: Callable[[Floats], Floats], open_deg: float) -> float | None:
    at = looked_at(open_deg)
    under = np.flatnonzero(net(at) <= 0)
    if len(under) == 0:
        return 0.0
    last = int(under[-1])
    if last == len(at) - 1:
        return None
    return _crossing(net, float(at[last]), float(at[last + 1]))


def _first_fall(net: Callable[[Floats], Floats], open_deg: float) -> float | None:
    at = looked_at(open_deg)
    under = np.flatnonzero(net(at) <= 0)
    if len(under) == 0:
        return None
    first = int(under[0])
    return 0.0 if first == 0 else _crossing(net, float(at[first]), float(at[first - 1]))


def _crossing(net: Callable[[Floats], Floats], under: float, over: float) -> float:
    """Where the net moment passes nothing between an angle under and one over it."""
    for _ in range(40):
        middle = (under + over) / 2
        if float(net(np.array([middle]))[0]) <= 0:
            under = middle
        else:
            over = middle
    return over
