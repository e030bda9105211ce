"""A wheel's motion over its whole travel, from a few exact poses.

Each coordinate of the centre and the axis is a polynomial through poses at Chebyshev points of
every travel; its derivatives are bounded by its own coefficients, so that what lies between two
poses is bounded too.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations_with_replacement, product

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from parts.place import Vector

Floats = NDArray[np.float64]
SMALL = 1e-3  # share of all coefficients that the least of them, only summed, may be
POINTS = 9  # to a travel; a linkage's motion is smooth, and `stray` tells how well this does
BATCH = 4096  # travels told at a time


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
        return values[:, :3], axes / np.sqrt(np.vecdot(axes, axes))[:, None]

    def slopes(self, travels: Floats) -> Floats:
        """Derivatives (n, d, 6) of centre and axis by each travel, at travels (n, d); those of
        the axis before it is made a unit."""
        told = _values(np.concatenate(self._slopes), self._scaled(travels))
        return told.reshape(len(told), len(self.low), 6)

    def _scaled(self, travels: Floats) -> Floats:
        span = np.maximum(self.high - self.low, 1e-12)
        return np.asarray(2 * (np.atleast_2d(travels) - self.low) / span - 1)

    @cached_property
    def _slopes(self) -> list[Floats]:
        """Coefficients of the derivative by each travel."""
        return [self._slope(self.coefficients, k) for k in range(len(self.low))]

    def _slope(self, coefficients: Floats, k: int) -> Floats:
        """Of as many coefficients as there were: the last of them 0."""
        slope = np.zeros_like(coefficients)
        if coefficients.shape[k + 1] > 1:
            span = float(self.high[k] - self.low[k])
            fewer = tuple(slice(None, -1 if axis == k + 1 else None) for axis in range(slope.ndim))
            slope[fewer] = chebyshev.chebder(coefficients, axis=k + 1) * 2 / span
        return slope

    @cached_property
    def _firsts(self) -> _Bounds:
        """Of the derivatives by each travel."""
        return _Bounds.of(self._slopes)

    @cached_property
    def pairs(self) -> NDArray[np.intp]:
        """Every two travels once, one with itself too (2, q): those of the second derivatives."""
        return np.array(list(combinations_with_replacement(range(len(self.low)), 2))).T

    @cached_property
    def _seconds(self) -> _Bounds:
        """Of the derivatives by each two of `pairs`."""
        return _Bounds.of([self._slope(self._slopes[j], k) for j, k in self.pairs.T])

    @cached_property
    def rates(self) -> tuple[Floats, Floats]:
        """Bounds (d,) that hold over the whole box: mm of centre per unit of travel, and
        radians of axis per unit of travel.

        A Chebyshev polynomial is nowhere more than 1 in size, so coefficients bound their sum.
        """
        bounds = np.array([np.abs(s).reshape(len(s), -1).sum(axis=1) for s in self._slopes])
        turns = np.linalg.norm(bounds[:, 3:], axis=1) / self._least_axis
        return np.linalg.norm(bounds[:, :3], axis=1), turns

    @cached_property
    def bends(self) -> tuple[Floats, Floats]:
        """The same (q,) of the derivatives by each two of `pairs`."""
        centers, axes = self._seconds.sizes
        return centers, axes / self._least_axis

    def drift(self, ways: Vector, halves: Floats) -> Floats:
        """How far (n,) the centre moves along unit directions (n, 3) at most, from anywhere in
        the box by no more than `halves` (n, d) of each travel."""
        return np.asarray(np.vecdot(halves, self._firsts.most(ways, np.zeros_like(ways))))

    def swing(self, ways: Vector, slopes: Floats, halves: Floats) -> Floats:
        """How much (n, d) of a change of the axis' part along unit directions (n, 3) each travel
        may bring from the middles of boxes of `halves` (n, d) to anywhere in them; what makes
        the axis a unit comes on top.

        By its `slopes` (n, d, 6) in the middles, and by bounds on how those change.
        """
        none = np.zeros_like(ways)
        return np.asarray(self._brought(none, ways, slopes, halves) / self._least_axis)

    def advance(self, ways: Vector, levers: Floats, slopes: Floats, halves: Floats) -> Floats:
        """The same of the centre's place along the directions, plus `levers` (n,) times the axis'
        part along them."""
        return self._brought(ways, levers[:, None] * ways, slopes, halves)

    def _brought(self, ways: Vector, tips: Vector, slopes: Floats, halves: Floats) -> Floats:
        """Of `ways` (n, 3) times the centre plus `tips` (n, 3) times the axis."""
        both = np.concatenate([ways, tips], axis=1)
        first = halves * np.abs((slopes @ both[..., None])[..., 0])
        second = self.products(halves) * self._seconds.most(ways, tips)
        return np.asarray(first + self.by_travel(second))

    def by_travel(self, second: Floats) -> Floats:
        """What the second derivatives of `pairs` bring (n, q), half to each of the two travels
        (n, d)."""
        return np.asarray(second / 2 @ self._halves)

    @cached_property
    def _halves(self) -> Floats:
        travels = np.arange(len(self.low))
        return np.asarray((self.pairs[..., None] == travels).sum(axis=0, dtype=float))

    def products(self, halves: Floats) -> Floats:
        """What the second derivatives of `pairs` are to be taken times (n, q) for what they bring
        in boxes of `halves` (n, d)."""
        one, other = self.pairs
        return np.where(one == other, 0.5, 1.0) * halves[:, one] * halves[:, other]

    @cached_property
    def uneven(self) -> float:
        """What making the axis a unit may add to a change of any part of it."""
        least, most = self._least_axis, np.sqrt(2 - self._least_axis**2)
        return float(most * (1 / least - 1 / most) + 2 * (1 / least - 1))

    @cached_property
    def _least_axis(self) -> float:
        """The axis is made a unit after interpolation, and turns faster where it was shorter;
        its length squared is a polynomial of twice the degree, bounded like the others: as far
        over 1 as under it."""
        values = self.coefficients[3:]
        for k in range(1, values.ndim):
            n = values.shape[k]
            basis = chebyshev.chebvander(_nodes(2 * n - 1), n - 1)
            values = np.moveaxis(np.tensordot(basis, values, axes=(1, k)), 0, k)
        over = _coefficients((values**2).sum(axis=0) - 1, 0)
        return float(np.sqrt(1 - np.abs(over).sum()))


@dataclass(frozen=True, eq=False)
class _Bounds:
    """How large q polynomials of centre and axis can be: those coefficients (6, n) that matter,
    which of the polynomials each is of (n, q), and the sums (2, q) of all others for the centre
    and for the axis."""

    main: Floats
    whose: Floats
    rest: Floats

    @property
    def sizes(self) -> Floats:
        """Largest sizes (2, q) of the centre and of the axis."""
        parts = (self.main[:3], self.main[3:])
        sizes = [np.linalg.norm(part, axis=0) @ self.whose for part in parts]
        return np.asarray(sizes + self.rest)

    @classmethod
    def of(cls, polynomials: Sequence[Floats]) -> _Bounds:
        main, whose, rest = [], [], []
        for number, coefficients in enumerate(polynomials):
            flat = coefficients.reshape(6, -1)
            sizes = np.array([np.linalg.norm(part, axis=0) for part in (flat[:3], flat[3:])])
            share = (sizes / np.maximum(sizes.sum(axis=1), 1e-300)[:, None]).max(axis=0)
            order = share.argsort()
            small = np.zeros(len(share), dtype=bool)
            small[order[share[order].cumsum() <= SMALL]] = True
            main.append(flat[:, ~small])
            whose.append(np.tile(np.eye(len(polynomials))[number], (main[-1].shape[1], 1)))
            rest.append(sizes[:, small].sum(axis=1))
        return cls(np.concatenate(main, axis=1), np.concatenate(whose), np.array(rest).T)

    def most(self, ways: Vector, tips: Vector) -> Floats:
        """Largest size (m, q) of `ways` (m, 3) times the centre plus `tips` (m, 3) times the
        axis."""
        main = np.abs(ways @ self.main[:3] + tips @ self.main[3:]) @ self.whose
        sizes = [np.sqrt(np.vecdot(v, v))[:, None] for v in (ways, tips)]
        return np.asarray(main + sizes[0] * self.rest[0] + sizes[1] * self.rest[1])


def _values(coefficients: Floats, x: Floats) -> Floats:
    """Values (m, f) of f polynomials at scaled travels (m, d)."""
    counts = coefficients.shape[1:]
    flat = coefficients.reshape(len(coefficients), -1).T
    told = []
    for some in np.split(x, range(BATCH, len(x), BATCH)):
        each = np.ones((max(counts), *some.shape))  # of every order, at every travel
        each[1:2] = some
        for order in range(2, len(each)):
            each[order] = 2 * some * each[order - 1] - each[order - 2]
        terms = each[: counts[0], :, 0].T
        for k in range(1, len(counts)):
            terms = (terms[:, :, None] * each[: counts[k], :, k].T[:, None]).reshape(len(some), -1)
        told.append(terms @ flat)
    return np.concatenate(told)


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
    grid = np.array(list(product(*(_nodes(n) for n in counts))))
    coefficients = _coefficients(_posed(pose, low, high, grid).T.reshape(6, *counts), 1)
    stray = _stray(Motion(low, high, coefficients, 0.0), pose, reach)
    found = Motion(low, high, coefficients, stray)
    if not found._least_axis > 0.5:
        raise ValueError("the wheel's axis turns too far or too suddenly over this travel")
    return found


def _posed(
    pose: Callable[[Floats], tuple[Vector, Vector]], low: Floats, high: Floats, x: Floats
) -> Floats:
    """Centre and unit axis (n, 6) at scaled travels (n, d)."""
    found = np.array([np.concatenate(pose(at)) for at in low + (x + 1) / 2 * (high - low)])
    found[:, 3:] /= np.linalg.norm(found[:, 3:], axis=1)[:, None]
    return found


def _stray(found: Motion, pose: Callable[[Floats], tuple[Vector, Vector]], reach: float) -> float:
    """At the ends and at thirds between, where the first term left out is at its largest."""
    steps: list[Floats] = []
    for n in found.coefficients.shape[1:]:
        turns = np.unique(np.round(np.linspace(0, n, 4)))
        steps.append(np.cos(np.pi * turns / n) if n > 1 else np.zeros(1))
    x = np.array(list(product(*steps)))
    exact = _posed(pose, found.low, found.high, x)
    centers, axes = found.at(found.low + (x + 1) / 2 * (found.high - found.low))
    off = np.linalg.norm(centers - exact[:, :3], axis=1)
    return float((off + reach * np.linalg.norm(axes - exact[:, 3:], axis=1)).max())
