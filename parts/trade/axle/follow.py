"""From ride to any travel without leaving the branch that is on the car.

Where there are as many lengths as freedoms the lengths are kept; where there are more, the sum
of the squared errors is least, that is its derivative by the freedoms is zero. Either way four
equations in x, y, yaw, twist are followed in steps of travel. A step starts along the tangent
and is settled by Newton's method; it is taken only if the first correction is small, every
further one is at most a quarter of the last, and the determinant has kept its sign. Else the
step is halved; what cannot be passed by steps of 0.01 mm is out of reach.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parts.trade.axle.links import Linkage
from parts.trade.axle.pose import CannotFollow, Floats
from parts.trade.axle.rigid import DRIVEN, FREE, ROLL

STEP = 30.0  # longest step of travel, mm
SHORTEST = 0.01
FIRST = 1.0  # largest first correction, mm
FINE = 1e-9  # corrections below this are within one of the last digit: one more settles it
ROUNDS = 8


@dataclass(frozen=True, slots=True, eq=False)
class Equations:
    """The four equations at m poses: value (m, 4) and derivatives (m, 4, 6); and the `worst`
    error of any length (m,), mm."""

    value: Floats
    first: Floats
    worst: Floats

    def slope(self) -> Floats:
        """Derivatives (m, 4, 2) of x, y, yaw, twist by z and roll."""
        return np.asarray(-np.linalg.solve(self.first[..., FREE], self.first[..., DRIVEN]))

    def determinant(self) -> Floats:
        """Determinant (m,) of the derivatives by x, y, yaw, twist."""
        return np.asarray(np.linalg.det(self.first[..., FREE]))


def equations(linkage: Linkage, numbers: Floats) -> Equations:
    """At m poses (m, 6)."""
    if linkage.determinate:
        lengths, first = linkage.errors(numbers)
        return Equations(lengths, first, np.abs(lengths).max(axis=1))
    misfit = linkage.misfit(numbers)
    free = np.swapaxes(misfit.first[..., FREE], -1, -2)
    value = (free @ misfit.value[..., None])[..., 0]
    count = misfit.value.shape[1]
    curved = misfit.value[:, None, :] @ misfit.second.reshape(-1, count, 36)
    first = free @ misfit.first + curved.reshape(-1, 6, 6)[:, FREE]
    return Equations(value, first, np.abs(misfit.value).max(axis=1))


def driven(linkage: Linkage, travels: Floats) -> Floats:
    """z and roll (m, 2) at travels (m, 2) of left and right wheel; nan where no roll would do."""
    rigid = linkage.rigid
    rise = np.sin(rigid.ride[ROLL]) + (travels[:, 1] - travels[:, 0]) / (2 * rigid.half)
    roll = np.arcsin(np.where(np.abs(rise) < 0.9, rise, np.nan))
    return np.column_stack([travels.mean(axis=1), roll])


def driven_rates(linkage: Linkage, roll: float) -> Floats:
    """Derivatives (2, 2) of z and roll by left and right travel."""
    rate = 1 / (2 * linkage.rigid.half * np.cos(roll))
    return np.array([[0.5, 0.5], [-rate, rate]])


def follow(linkage: Linkage, travels: Floats, give: float) -> Floats:
    """The six numbers (m, 6) of the axle at travels (m, 2); raises CannotFollow.

    `give` is the largest error of a length, mm, that still counts as a pose.
    """
    far = float(np.abs(travels).max(initial=0.0))
    now = linkage.rigid.ride[None].repeat(len(travels), axis=0)
    at = equations(linkage, now)
    way = np.sign(at.determinant())
    done, step = 0.0, 1.0 if far <= STEP else 1.0 / np.ceil(far / STEP)
    while done < 1.0:
        to = 1.0 if done + step > 1.0 - 1e-9 else done + step
        there, found, settled = _step(
            linkage, now, at.slope(), driven(linkage, to * travels), give, way
        )
        if settled.all():
            now, at, done = there, found, to
            continue
        step /= 2
        if step * far < SHORTEST:
            _refuse(linkage, now, travels, done, int(settled.argmin()))
    return now


def _step(
    linkage: Linkage, now: Floats, slope: Floats, aim: Floats, give: float, way: Floats
) -> tuple[Floats, Equations, NDArray[np.bool_]]:
    """One step for all poses: where it leads (m, 6), the equations there, and whether it is to be
    trusted (m,)."""
    there = now.copy()
    there[:, FREE] += np.einsum("mqw,mw->mq", slope, aim - now[:, DRIVEN])
    there[:, DRIVEN] = aim
    good = np.asarray(np.isfinite(there).all(axis=1), dtype=np.bool_)
    there = np.where(good[:, None], there, now)
    last = np.full(len(now), np.inf)
    at = equations(linkage, there)
    for turn in range(ROUNDS):
        good = good & np.asarray(at.determinant() * way > 0)
        matrix = np.where(good[:, None, None], at.first[..., FREE], np.eye(len(FREE)))
        change = np.asarray(np.linalg.solve(matrix, at.value[..., None])[..., 0], dtype=float)
        size = _size(linkage, change)
        most = np.full(len(now), FIRST) if turn == 0 else np.maximum(last / 4, FINE)
        good = good & (size < most)
        there[:, FREE] -= np.where(good[:, None], change, 0.0)
        at = equations(linkage, there)
        if (last[good] < FINE).all():
            break
        last = size
    good &= last < FINE
    good &= at.worst <= give
    return there, at, good


def _size(linkage: Linkage, change: Floats) -> Floats:
    """Size (m,) in mm of changes (m, 4) of x, y, yaw, twist."""
    arm = linkage.rigid.half
    return np.asarray(np.abs(change * np.array([1.0, 1.0, arm, arm])).max(axis=1))


def _refuse(linkage: Linkage, now: Floats, travels: Floats, done: float, which: int) -> None:
    asked = travels[which]
    to = done * asked
    link = linkage.binding(now[which])
    if np.isnan(driven(linkage, (done + 1e-3) * asked[None])).any():
        link = "the axle itself"
    raise CannotFollow(link, (float(asked[0]), float(asked[1])), (float(to[0]), float(to[1])))
