"""A lid about its hinge: the moment of its weight and of its seal. N, mm, N·m.

Axes of a section: origin at the hinge pivot, first coordinate rearward along the shut lid,
second up. Opening turns the lid so that what lies rearward of the pivot rises.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parts.trade.strut.given import Point, a_point, not_below_zero, over_zero

Floats = NDArray[np.float64]
GRAVITY = 9.80665  # m/s2, standard gravity (3rd CGPM, 1901)


@dataclass(frozen=True, slots=True)
class Lid:
    """Mass and centre of a lid, seen from the pivot with the lid shut."""

    mass_kg: float
    centre: Point

    def __post_init__(self) -> None:
        over_zero("lid", mass_kg=self.mass_kg)
        a_point("centre of the lid", self.centre)


@dataclass(frozen=True, slots=True)
class SealRun:
    """A length of seal, all of it at one distance from the pivot."""

    length: float
    lever: float

    def __post_init__(self) -> None:
        over_zero("run of seal", length=self.length, lever=self.lever)


@dataclass(frozen=True, slots=True)
class Seal:
    """What pushes a shut lid up; gone once the lid has lifted off it by `squeeze` mm."""

    force_n_per_m: float
    squeeze: float
    runs: tuple[SealRun, ...]

    def __post_init__(self) -> None:
        not_below_zero("seal", force_n_per_m=self.force_n_per_m)
        over_zero("seal", squeeze=self.squeeze)


def seal_round(
    force_n_per_m: float, squeeze: float, front: float, rear: float, width: float, pieces: int = 12
) -> Seal:
    """A seal round a rectangular opening: across at `front` and `rear`, and down both sides.

    `front` and `rear` are distances from the pivot; the sides are cut into `pieces`. Raises
    ValueError.

    >>> seal = seal_round(100, 4, 100, 700, 1000)
    >>> sum(run.length for run in seal.runs)
    3200.0
    """
    over_zero("seal", front=front, width=width, depth_from_front_to_rear=rear - front)
    over_zero("seal", pieces=pieces)
    step = (rear - front) / pieces
    sides = tuple(SealRun(2 * step, front + (i + 0.5) * step) for i in range(pieces))
    across = (SealRun(width, front), SealRun(width, rear))
    return Seal(force_n_per_m, squeeze, (*across, *sides))


def weight_moment_nm(lid: Lid, open_deg: ArrayLike) -> Floats:
    """Moment of the weight that shuts the lid, at each angle of opening; + shuts.

    10 kg, 400 mm behind the pivot, shut, then upright:

    >>> weight_moment_nm(Lid(10, (400, 0)), [0, 90]).round(4) + 0.0
    array([39.2266, 0. ])
    """
    turn = np.radians(np.asarray(open_deg, dtype=float))
    along, up = lid.centre
    moment: Floats = lid.mass_kg * GRAVITY * (along * np.cos(turn) - up * np.sin(turn)) / 1000
    return moment


def seal_moment_nm(seal: Seal | None, open_deg: ArrayLike) -> Floats:
    """Moment of the seal that opens the lid; a straight line from shut to `squeeze` of lift.

    3 m of 100 N/m at 500 mm: 150 N·m shut, half at half the squeeze, then none:

    >>> seal = Seal(100, 4, (SealRun(3000, 500),))
    >>> seal_moment_nm(seal, np.degrees([0, 2 / 500, 5 / 500])).round(4)
    array([150., 75., 0.])
    """
    turn = np.abs(np.radians(np.asarray(open_deg, dtype=float)))
    moment: Floats = np.zeros_like(turn)
    if seal is not None:
        for run in seal.runs:
            left = np.clip(1 - run.lever * turn / seal.squeeze, 0, 1)
            moment = moment + seal.force_n_per_m * run.length * run.lever * left / 1e6
    return moment
