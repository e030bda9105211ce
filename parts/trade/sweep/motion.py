"""A wheel's motion over its whole travel, from a few exact poses.

Each coordinate of the centre and the axis is a polynomial through poses at Chebyshev points of
every travel; its derivatives are bounded by its own coefficients, so that what lies between two
poses is bounded too.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import product

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from parts.place import Vector

Floats = NDArray[np.float64]
SMALL = 1e-5  # share of all coefficients under which one is only counted into their sum
POINTS = 9  # to a travel; a linkage's motion is smooth, and `stray` tells how well this does


@dataclass(frozen=True, eq=False)
class Motion:
    """Centre and axis of one wheel over a box of travels.

    `low` and `high` (d,) bound the travels; `coefficients` (6, n, ..., n) are those of centre
    and axis in Chebyshev polynomials of each travel scaled to -1..1; `stray` is the largest
    error of any point of the tyre (mm, within `reach` of the centre) found at other poses.
    """

    low: Floats
    high: Floats
    coefficients: Floats
    stray: float

    def at(self, travels: Floats) -> tuple[Vector, Vector]:
        """Centres and unit axes (n, 3) at travels (n, d)."""
        values = _values(self.coefficients, self._scaled(travels))
        axes = values[:, 3:]
        return values[:, :3], axes / np.linalg.norm(axes, axis=1)[:, None]

    def _scaled(self, travels: Floats) -> Floats:
        span = np.maximum(self.high - self.low, 1e-12)
        return np.asarray(2 * (np.atleast_2d(travels) - self.low) / span - 1)

    @cached_property
    def _slopes(self) -> list[Floats]:
        """Coefficients of the derivative by each travel."""
        return [self._slope(self.coefficients, k) for k in range(len(self.low))]

    def _slope(self, coefficients: Floats, k: int) -> Floats:
        if coefficients.shape[k + 1] == 1:
            return np.zeros_like(coefficients)
        span = float(self.high[k] - self.low[k])
        return np.asarray(chebyshev.chebder(coefficients, axis=k + 1) * 2 / span)

    @cached_property
    def _bounds(self) -> tuple[list[_Bound], list[list[_Bound]]]:
        """Of the derivatives by each travel, and by each two."""
        travels = range(len(self.low))
        firsts = [_Bound.of(slope) for slope in self._slopes]
        return firsts, [[_Bound.of(self._slope(s, k)) for k in travels] for s in self._slopes]

    @cached_property
    def rates(self) -> tuple[Floats, Floats]:
        """Bounds (d,) that hold over the whole box: mm of centre per unit of travel, and
        radians of axis per unit of travel.

        A Chebyshev polynomial is nowhere more than 1 in size, so coefficients bound their sum.
        """
        bounds = np.array([np.abs(s).reshape(len(s), -1).sum(axis=1) for s in self._slopes])
        turns = np.linalg.norm(bounds[:, 3:], axis=1) / self._least_axis
        return np.linalg.norm(bounds[:, :3], axis=1), turns

    def drift(self, ways: Vector, halves: Floats) -> Floats:
        """How far (n,) the centre moves along unit directions (n, 3) at most, from anywhere in
        the box by no more than `halves` (n, d) of each travel."""
        firsts, _ = self._bounds
        return np.asarray(sum(h * f.most(ways, 0.0) for h, f in zip(halves.T, firsts, strict=True)))

    def swing(self, ways: Vector, halves: Floats) -> Floats:
        """The same for the axis: how much (n,) its part along unit directions changes."""
        firsts, _ = self._bounds
        still = np.zeros_like(ways)
        raw = sum(h * f.most(still, ways) for h, f in zip(halves.T, firsts, strict=True))
        return np.asarray(raw / self._least_axis + self._uneven)

    def advance(self, ways: Vector, levers: Floats, middles: Floats, halves: Floats) -> Floats:
        """How much (n,) the centre's place along unit directions, plus `levers` (n,) times the
        axis' part along them, changes from the middles of boxes (n, d) to anywhere in them.

        By its slope in the middle, and by bounds on how that changes.
        """
        x = self._scaled(middles)
        _, seconds = self._bounds
        tips = levers[:, None] * ways
        both = np.hstack([ways, tips])
        total = np.abs(levers) * self._uneven
        for k, slope in enumerate(self._slopes):
            total = total + halves[:, k] * np.abs((both * _values(slope, x)).sum(axis=1))
            for j, second in enumerate(seconds[k]):
                total = total + halves[:, k] * halves[:, j] / 2 * second.most(ways, tips)
        return np.asarray(total)

    @property
    def _uneven(self) -> float:
        """What making the axis a unit may add to a change of any part of it."""
        least, most = self._least_axis, np.sqrt(2 - self._least_axis**2)
        return float(most * (1 / least - 1 / most) + 2 * (1 / least - 1))

    @cached_property
    def _least_axis(self) -> float:
        """The axis is made a unit after interpolation, and turns faster where it was shorter;
        its length squared is a polynomial of twice the degree, bounded like the others: as far
        over 1 as under it."""
        counts = [2 * n - 1 for n in self.coefficients.shape[1:]]
        nodes = [_nodes(n) for n in counts]
        grid = np.array(list(product(*nodes)))
        squares = (_values(self.coefficients[3:], grid) ** 2).sum(axis=1) - 1
        return float(np.sqrt(1 - np.abs(_coefficients(squares.reshape(counts), 0)).sum()))


@dataclass(frozen=True, eq=False)
class _Bound:
    """How large a polynomial of centre and axis can be: the coefficients (6, n) that matter, and
    the sums of all the others for the centre and for the axis."""

    main: Floats
    rest: tuple[float, float]

    @classmethod
    def of(cls, coefficients: Floats) -> _Bound:
        flat = coefficients.reshape(len(coefficients), -1)
        sizes = np.array([np.linalg.norm(part, axis=0) for part in (flat[:3], flat[3:])])
        small = (sizes <= SMALL * sizes.sum(axis=1)[:, None]).all(axis=0)
        rest = sizes[:, small].sum(axis=1)
        return cls(flat[:, ~small], (float(rest[0]), float(rest[1])))

    def most(self, ways: Vector, tips: Vector | float) -> Floats:
        """Largest size (n,) of `ways` (n, 3) times the centre plus `tips` (n, 3) times the axis."""
        tips = np.broadcast_to(tips, ways.shape)
        main = np.abs(np.hstack([ways, tips]) @ self.main).sum(axis=1)
        sizes = np.linalg.norm(ways, axis=1), np.linalg.norm(tips, axis=1)
        return np.asarray(main + self.rest[0] * sizes[0] + self.rest[1] * sizes[1])


def _values(coefficients: Floats, x: Floats) -> Floats:
    """Values (m, f) of f polynomials at scaled travels (m, d)."""
    first = chebyshev.chebvander(x[:, 0], coefficients.shape[1] - 1)
    values = np.tensordot(first, coefficients, axes=(1, 1))
    for k in range(1, x.shape[1]):
        basis = chebyshev.chebvander(x[:, k], coefficients.shape[k + 1] - 1)
        shape = (*basis.shape[:1], 1, *basis.shape[1:], *[1] * (values.ndim - 3))
        values = (values * basis.reshape(shape)).sum(axis=2)
    return np.asarray(values)


def _nodes(n: int) -> Floats:
    return np.asarray(np.cos(np.pi * (np.arange(n) + 0.5) / n))


def _coefficients(values: Floats, first: int) -> Floats:
    """From values at the nodes of every axis from `first` on."""
    for k in range(first, values.ndim):
        n = values.shape[k]
        fit = np.linalg.inv(chebyshev.chebvander(_nodes(n), n - 1))
        values = np.moveaxis(np.tensordot(fit, values, axes=(1, k)), 0, k)
    return values


def motion(
    pose: Callable[[Floats], tuple[Vector, Vector]],
    low: Floats,
    high: Floats,
    reach: float,
    points: int = POINTS,
) -> Motion:
    """The motion of a wheel whose centre and axis (3,) at travels (d,) are `pose(travels)`.

    `stray` is measured at poses between those used, where it is largest; `reach` weighs the
    axis. Raises ValueError where a low end of travel is above its high end, or where so few
    poses cannot follow the axis.
    """
    low, high = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    if (low > high).any():
        raise ValueError("a travel's low end is above its high end")
    counts = [points if high[k] - low[k] > 1e-9 else 1 for k in range(len(low))]
    values = np.empty((6, *counts))
    for index in np.ndindex(*counts):
        x = np.array([_nodes(n)[i] for n, i in zip(counts, index, strict=True)])
        center, axis = pose(low + (x + 1) / 2 * (high - low))
        values[(slice(None), *index)] = [*center, *axis / np.linalg.norm(axis)]
    coefficients = _coefficients(values, 1)
    found = Motion(low, high, coefficients, 0.0)
    if not found._least_axis > 0.5:
        raise ValueError("the wheel's axis turns too far or too suddenly over this travel")
    return Motion(low, high, coefficients, _stray(found, pose, reach))


def _stray(found: Motion, pose: Callable[[Floats], tuple[Vector, Vector]], reach: float) -> float:
    """At the ends and at thirds between, where the first term left out is at its largest."""
    steps: list[Floats] = []
    for n in found.coefficients.shape[1:]:
        turns = np.unique(np.round(np.linspace(0, n, 4)))
        steps.append(np.cos(np.pi * turns / n) if n > 1 else np.zeros(1))
    worst = 0.0
    for x in np.array(list(product(*steps))):
        travels = found.low + (x + 1) / 2 * (found.high - found.low)
        center, axis = pose(travels)
        (c,), (a,) = found.at(travels[None, :])
        off = np.linalg.norm(a - axis / np.linalg.norm(axis))
        worst = max(worst, float(np.linalg.norm(c - center) + reach * off))
    return worst
