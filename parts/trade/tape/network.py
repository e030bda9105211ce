"""The readings as one system of equations, and its least squares solution.

Arrays: positions are (n, 3); readings run in one order, distances first, then coordinates.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import get_args

import numpy as np
from numpy.typing import NDArray

from parts.trade.tape.survey import Distance, Measured, OnPlane, Point, Side

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

NORMAL_95 = 1.96
EXACT = 1e-4  # the ± that stands for 'practically exact'
NOT_AT_ALL = 1e4  # standard deviation, mm, given to a direction that nothing fixes
SIDES: dict[Side, tuple[int, int]] = {
    "front": (0, -1),
    "rear": (0, 1),
    "left": (1, -1),
    "right": (1, 1),
    "below": (2, -1),
    "above": (2, 1),
}


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """Readings as arrays: `start`, `end` (d,) of the distances, `owner`, `axis` (c,) of the rest.

    value, sigma, kept: (d + c,). `labels` name the readings, `sides` the hint of each point.
    """

    names: tuple[str, ...]
    sides: tuple[Side | None, ...]
    labels: tuple[str, ...]
    start: NDArray[np.intp]
    end: NDArray[np.intp]
    owner: NDArray[np.intp]
    axis: NDArray[np.intp]
    value: Floats
    sigma: Floats
    kept: Mask


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """One least squares position of all points: (n, 3), and its weighted squared misfit."""

    at: Floats
    chi_square: float


@dataclass(frozen=True, slots=True, eq=False)
class Quality:
    """How well a fit is fixed and checked.

    covariance (3n, 3n); redundancy, standardised (readings,), nan for readings not in use.
    """

    covariance: Floats
    redundancy: Floats
    standardised: Floats
    degrees: int
    chance: float


def network(
    points: Sequence[Point], distances: Sequence[Distance], planes: Sequence[OnPlane]
) -> Network:
    """Number the readings. Raises ValueError for names, lengths or ± that cannot be meant."""
    names = tuple(point.name for point in points)
    if twice := [name for name in names if names.count(name) > 1]:
        raise ValueError(f"point {twice[0]!r} is given twice; give each point one name")
    number = {name: i for i, name in enumerate(names)}
    for point in points:
        if point.side is not None and point.side not in SIDES:
            raise ValueError(
                f"side {point.side!r} of {point.name} is unknown; "
                f"say one of {', '.join(get_args(Side))}"
            )
    labels: list[str] = []
    values: list[Measured] = []
    ends: list[tuple[int, int]] = []
    for distance in distances:
        pair = _number(number, distance.a), _number(number, distance.b)
        label = _label(f"{distance.a}-{distance.b}", labels)
        if pair[0] == pair[1]:
            raise ValueError(f"distance {label} runs from a point to itself; name two points")
        if not distance.length.value > 0:
            raise ValueError(f"distance {label} is {distance.length.value:g}; it must be over 0")
        ends.append(pair)
        labels.append(label)
        values.append(distance.length)
    owners: list[tuple[int, int]] = []
    for i, point in enumerate(points):
        for k, reading in enumerate((point.x, point.y, point.z)):
            if reading is not None:
                owners.append((i, k))
                labels.append(f"{point.name} {'xyz'[k]}")
                values.append(reading)
    for plane in planes:
        for name in plane.points:
            owners.append((_number(number, name), "xyz".index(plane.axis)))
            labels.append(_label(f"{name} on {plane.axis} = {plane.at.value:g}", labels))
            values.append(plane.at)
    for label, reading in zip(labels, values, strict=True):
        if not (math.isfinite(reading.value) and 0 <= reading.plus_minus < math.inf):
            raise ValueError(
                f"{label} is {reading.value:g} ± {reading.plus_minus:g}; "
                "give a finite value and a ± of 0 or more"
            )
    start, end = np.array(ends, dtype=np.intp).reshape(-1, 2).T
    owner, axis = np.array(owners, dtype=np.intp).reshape(-1, 2).T
    kept = [not distance.dropped for distance in distances] + [True] * len(owners)
    return Network(
        names=names,
        sides=tuple(point.side for point in points),
        labels=tuple(labels),
        start=start,
        end=end,
        owner=owner,
        axis=axis,
        value=np.array([reading.value for reading in values]),
        sigma=np.array([max(reading.plus_minus, EXACT) / NORMAL_95 for reading in values]),
        kept=np.array(kept, dtype=np.bool_),
    )


def _number(number: dict[str, int], name: str) -> int:
    if name in number:
        return number[name]
    close = get_close_matches(name, number, n=1)
    hint = f"did you mean {close[0]}?" if close else f"the points are {', '.join(number)}"
    raise ValueError(f"point {name!r} is not given; {hint}")


def _label(label: str, taken: list[str]) -> str:
    """A second reading of the same distance is 'A1-A2 (2)'."""
    again = sum(known == label or known.startswith(f"{label} (") for known in taken)
    return f"{label} ({again + 1})" if again else label


def computed(net: Network, at: Floats) -> Floats:
    """What every reading would be with the points at `at` (..., n, 3); (..., readings)."""
    spans = np.linalg.norm(at[..., net.start, :] - at[..., net.end, :], axis=-1)
    return np.concatenate([spans, at[..., net.owner, net.axis]], axis=-1)


def design(net: Network, at: Floats) -> Floats:
    """How every reading over its sigma changes with every coordinate; (..., readings, 3n)."""
    count = len(net.start)
    rows = np.zeros((*at.shape[:-2], len(net.value), len(net.names), 3))
    span = at[..., net.start, :] - at[..., net.end, :]
    unit = span / np.maximum(np.linalg.norm(span, axis=-1), 1e-9)[..., None]
    each = np.arange(count)
    rows[..., each, net.start, :] = unit
    rows[..., each, net.end, :] = -unit
    rows[..., np.arange(count, len(net.value)), net.owner, net.axis] = 1
    return rows.reshape(*at.shape[:-2], len(net.value), 3 * len(net.names)) / net.sigma[:, None]


def settle(net: Network, at: Floats, use: Mask, turns: int = 200) -> Fit:
    """The least squares position nearest downhill from one `at` (n, 3)."""
    return settle_all(net, at[None], use, turns)[0]


def settle_all(net: Network, at: Floats, use: Mask, turns: int = 200) -> tuple[Fit, ...]:
    """The least squares positions nearest downhill from each of (k, n, 3), in their order
    (Levenberg 1944, Marquardt 1963).

    Every coordinate is an unknown; a coordinate that was measured is one more reading.
    """
    at = at.copy()
    slopes = _Slopes.at(net, at, use)
    chi_square = (slopes.misfit**2).sum(axis=1)
    damping, moves = np.full(len(at), 1e-3), np.zeros(len(at), dtype=int)
    going = np.arange(len(at))
    while len(going):
        step = slopes.step(going, damping[going])
        tried = at[going] + step
        found = (_misfit(net, tried, use) ** 2).sum(axis=1)
        better = found <= chi_square[going]
        lost, won = going[~better], going[better]
        damping[lost] *= 8
        damping[won] = np.maximum(damping[won] / 8, 1e-12)
        gain = chi_square[won] - found[better]
        at[won], chi_square[won], moves[won] = tried[better], found[better], moves[won] + 1
        still = np.abs(step[better]).max(axis=(1, 2)) < 1e-9
        still |= (gain <= 1e-13 * chi_square[won]) & (damping[won] < 1e-9)
        on = won[~still & (moves[won] < turns)]
        slopes.renew(net, at, use, on)
        going = np.sort(np.concatenate([on, lost[damping[lost] < 1e12]]))
    return tuple(Fit(*fit) for fit in zip(at, chi_square.tolist(), strict=True))


def _misfit(net: Network, at: Floats, use: Mask) -> Floats:
    return np.asarray(((computed(net, at) - net.value) / net.sigma)[..., use])


@dataclass(frozen=True, slots=True, eq=False)
class _Slopes:
    """Misfits (k, readings), the normal matrices (k, 3n, 3n) and the ways downhill (k, 3n)."""

    misfit: Floats
    normal: Floats
    downhill: Floats

    @staticmethod
    def at(net: Network, at: Floats, use: Mask) -> _Slopes:
        misfit, rows = _misfit(net, at, use), design(net, at)[..., use, :]
        turned = np.swapaxes(rows, -1, -2)
        return _Slopes(misfit, turned @ rows, -(turned @ misfit[..., None])[..., 0])

    def renew(self, net: Network, at: Floats, use: Mask, which: NDArray[np.intp]) -> None:
        """Work out some of them again, where their positions have moved."""
        if len(which):
            new = _Slopes.at(net, at[which], use)
            self.misfit[which], self.normal[which] = new.misfit, new.normal
            self.downhill[which] = new.downhill

    def step(self, which: NDArray[np.intp], damping: Floats) -> Floats:
        """Where some of them lead, damped: (len(which), n, 3)."""
        normal = self.normal[which]
        weight = np.einsum("kii->ki", normal) + NOT_AT_ALL**-2
        np.einsum("kii->ki", normal)[...] += damping[:, None] * weight
        step = np.linalg.solve(normal, self.downhill[which][..., None])
        return np.asarray(step.reshape(len(which), -1, 3))


def quality(net: Network, fit: Fit, use: Mask) -> Quality:
    """Covariance from the ± of the readings alone, and what each reading is checked by."""
    left, size, right = np.linalg.svd(design(net, fit.at)[use], full_matrices=False)
    fixed = size > 1 / 1000  # a direction known to 1 m is not known
    spread = np.full(right.shape[1], NOT_AT_ALL**2)
    spread[: len(size)] = 1 / (size**2 + NOT_AT_ALL**-2)
    if len(size) < right.shape[1]:
        covariance = NOT_AT_ALL**2 * (np.eye(right.shape[1]) - right.T @ right)
        covariance += (right.T * spread[: len(size)]) @ right
    else:
        covariance = (right.T * spread) @ right
    redundancy = np.full(len(use), np.nan)
    redundancy[use] = np.clip(1 - np.sum(left[:, fixed] ** 2, axis=1), 0, 1)
    misfit = (computed(net, fit.at) - net.value) / net.sigma
    with np.errstate(divide="ignore", invalid="ignore"):
        standardised = misfit / np.sqrt(redundancy)
    degrees = int(use.sum() - fixed.sum())
    return Quality(covariance, redundancy, standardised, degrees, chance(fit.chi_square, degrees))


def chance(chi_square: float, degrees: int) -> float:
    """How often a chi-square of this many degrees of freedom is at least this large.

    Finite sums for whole degrees: Abramowitz and Stegun 1964, 26.4.4 and 26.4.5. With one degree
    it is the two-sided normal tail, 5 % at 1.96²; with two it is exp(-chi²/2):

    >>> round(chance(1.959964**2, 1), 6), round(chance(2 * math.log(10), 2), 6)
    (0.05, 0.1)
    """
    if degrees <= 0:
        return 1.0
    half = chi_square / 2
    if half == 0:
        return 1.0
    total = math.erfc(math.sqrt(half)) if degrees % 2 else 0.0
    power = 0.5 if degrees % 2 else 0.0
    while power < degrees / 2:
        total += math.exp(power * math.log(half) - half - math.lgamma(power + 1))
        power += 1
    return min(total, 1.0)
