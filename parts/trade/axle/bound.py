"""Bounds on how fast the wheels of a live axle move, proved for a whole box of travels.

Let E(q, w) = 0 be the four equations in q = (x, y, yaw, twist) for w = (z, roll), q̄, w̄ the
solved middle of the box and A the inverse of ∂E/∂q there. Second derivatives of E over a box
|q − q̄| ≤ s, |w − w̄| ≤ h are bounded by their value in the middle plus the bound on the third
derivatives times the box; that gives a bound C on how far the first derivatives stray.

If |A E(q̄, w̄)| + |A ∂E/∂w| h + ½ |A C| (s, h) ≤ s, and |A C_q| has a spectral radius below 1,
then the simplified Newton map takes the box into itself and contracts: for every w there is one
solution in the box, it moves with w without a jump, and in the middle it is ours. Its slope is
then within (1 − |A C_q|)⁻¹ (|A C_q| |slope| + |A C_w|) of the middle's; wheel centre and spin
axis follow by the chain rule, their own straying bounded alike. (Krawczyk's test, 1969; from
memory.)

So the bound is proved in exact arithmetic, not sampled. Assumed is only that rounding stays
below PAD, and that the middle was reached on the car's own branch (see `follow`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parts.place import Vector
from parts.trade.axle.follow import driven, driven_rates, equations, follow
from parts.trade.axle.links import Linkage
from parts.trade.axle.pose import Cell, Floats, MotionBound
from parts.trade.axle.rigid import DRIVEN, FREE, ROLL, YAW, Spread, third_bound

PAD = 1e-9
NARROW = 0.1  # spectral radius allowed; below 1 proves it, less makes the bound close
SMALLEST = 0.05  # mm; a cell is cut no finer than this
_NO_PROOF = ("cannot bound the motion near left {0:.1f}, right {1:.1f} mm: the links are close to "
            "the end of their reach; set the stops short of it")  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class _Box:
    """A proved box: its middle (6,), half sizes (6,), all du/dw (6, 2) and how far they stray."""

    middle: Floats
    radius: Floats
    slope: Floats
    stray: Floats


def bound_over(linkage: Linkage, spins: Vector, cell: Cell, give: float) -> MotionBound:
    """The bound over a cell; `spins` (2, 3) are the spin axes in the axle's own axes.

    Cells too large for the proof are cut in four. Raises CannotFollow, and ValueError where the
    proof fails however small the cell.
    """
    box = _prove(linkage, cell, give)
    if box is not None:
        return _bound(linkage, spins, box)
    if max(np.ptp(cell.left), np.ptp(cell.right)) < SMALLEST:
        raise ValueError(_NO_PROOF.format(*cell.middle))
    first, *rest = (bound_over(linkage, spins, part, give) for part in cell.quarters())
    for other in rest:
        first = first.joined(other)
    return first


def _prove(linkage: Linkage, cell: Cell, give: float) -> _Box | None:
    """The box that holds all poses of the cell, or None where the test fails."""
    corners = np.array([[left, right] for left in cell.left for right in cell.right])
    reach = driven(linkage, corners)
    if np.isnan(reach).any():
        return None
    middle = follow(linkage, np.array([cell.middle]), give)[0]
    half = np.abs(reach - middle[DRIVEN]).max(axis=0) * (1 + PAD)
    at = equations(linkage, middle[None])
    inverse = np.asarray(np.linalg.inv(at.first[0][:, FREE]))
    slope = at.slope()[0]
    least = np.abs(inverse @ at.value[0]) + np.abs(slope) @ half
    radius = np.zeros(6)
    radius[DRIVEN] = half
    radius[FREE] = least * 1.02 + PAD
    for _ in range(12):
        strays = _strays(linkage, middle, radius, inverse)
        need = least + 0.5 * strays @ radius
        if not np.isfinite(need).all() or _spectral(strays[:, FREE]) > NARROW:
            return None
        if (need <= radius[FREE]).all():
            own = strays[:, FREE]
            extra = np.linalg.solve(
                np.eye(len(FREE)) - own, own @ np.abs(slope) + strays[:, DRIVEN]
            )
            return _Box(middle, radius, _full(slope, np.eye(2)), _full(extra, np.zeros((2, 2))))
        radius[FREE] = need * 1.02 + PAD
    return None


def _strays(linkage: Linkage, middle: Floats, radius: Floats, inverse: Floats) -> Floats:
    """|A C| (4, 6): how far the first derivatives of A E stray within the box.

    The second derivatives are taken as they are in the middle, with their signs, so that what
    cancels there may cancel; only their own straying is added up by size.
    """
    misfit = linkage.misfit(middle[None])
    value, first, second = misfit.value[0], misfit.first[0], misfit.second[0]
    third = linkage.third_bound(middle, radius)
    second_off = third @ radius
    if linkage.determinate:
        here, off = second, second_off
    else:
        first_off = (np.abs(second) + second_off) @ radius
        value_most = np.abs(value) + (np.abs(first) + first_off) @ radius
        here = _by_product(second, first)
        most = _by_product(np.abs(second) + second_off, np.abs(first) + first_off)
        off = most - _by_product(np.abs(second), np.abs(first))
        off += np.einsum("k,kqab->qab", value_most, third[:, FREE])
    bent = np.abs(np.einsum("pq,qab->pab", inverse, here))
    bent += np.einsum("pq,qab->pab", np.abs(inverse), off)
    return np.asarray(bent @ radius)


def _by_product(second: Floats, first: Floats) -> Floats:
    """Second derivatives (4, 6, 6) of the half gradient of a sum of squares, thirds left out."""
    out = np.einsum("kqa,kb->qab", second[:, FREE], first)
    out += np.einsum("kqb,ka->qab", second[:, FREE], first)
    return np.asarray(out + np.einsum("kq,kab->qab", first[:, FREE], second))


def _spectral(matrix: Floats) -> float:
    return float(np.abs(np.linalg.eigvals(matrix)).max())


def _full(free: Floats, driven_rows: Floats) -> Floats:
    out = np.zeros((6, 2))
    out[FREE], out[DRIVEN] = free, driven_rows
    return out


def _bound(linkage: Linkage, spins: Vector, box: _Box) -> MotionBound:
    rigid = linkage.rigid
    centers = np.array([[0.0, -rigid.half, 0], [0.0, rigid.half, 0]])
    moves = _chain(rigid.spread(box.middle[None], centers), third_bound(centers), box)
    spread = rigid.spread(box.middle[None], spins)
    spread.first[..., :3] = 0.0  # a direction is not shifted
    axes = _chain(spread, third_bound(spins), box)
    turns = _turning(rigid.turn_axes(box.middle), box)
    return MotionBound(
        centre=_by_travel(linkage, box, *moves),
        turn=_by_travel(linkage, box, *turns),
        tilt=_by_travel(linkage, box, *axes),
    )


def _chain(spread: Spread, third: Floats, box: _Box) -> tuple[Floats, Floats]:
    """Rates (n, 3, 2) of own points by z and roll in the middle, and how far (n, 2) they stray."""
    first = spread.first[0]
    rates = first @ box.slope
    second = np.linalg.norm(spread.second[0], axis=1) + third @ box.radius  # (n, 6, 6)
    strays = second @ box.radius  # (n, 6), of the first derivatives
    size = np.linalg.norm(first, axis=1)
    return rates, strays @ (np.abs(box.slope) + box.stray) + size @ box.stray


def _turning(turn_axes: Floats, box: _Box) -> tuple[Floats, Floats]:
    """Angular velocity (2, 3, 2) by z and roll, and how far (2, 2) it strays.

    The axis of yaw stays put; that of roll turns with yaw, that of twist with yaw and roll.
    """
    yaw, roll = box.radius[YAW], box.radius[ROLL]
    rates = turn_axes @ box.slope[3:]
    most = np.abs(box.slope[3:]) + box.stray[3:]
    stray = np.array([0.0, yaw, yaw + roll]) @ most + box.stray[3:].sum(axis=0)
    return np.stack([rates, rates]), np.stack([stray, stray])


def _by_travel(linkage: Linkage, box: _Box, rates: Floats, stray: Floats) -> Floats:
    """Bound (2, 3) by left travel, right travel and steer from rates by z and roll."""
    middle = driven_rates(linkage, box.middle[ROLL])
    rolls = np.clip(box.middle[ROLL] + np.array([-1, 1, 0]) * box.radius[ROLL], -1.5, 1.5)
    if rolls[0] * rolls[1] < 0:
        rolls[2] = 0.0
    off = np.max([np.abs(driven_rates(linkage, roll) - middle) for roll in rolls], axis=0)
    here = np.linalg.norm(rates @ middle, axis=1)  # (2, 2)
    there = np.linalg.norm(rates, axis=1) @ off + stray @ (np.abs(middle) + off)
    out = np.zeros((2, 3))
    out[:, :2] = (here + there) * (1 + PAD) + PAD
    return out
