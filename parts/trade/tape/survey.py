"""What was measured, and what came of it: plain data, lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Axis = Literal["x", "y", "z"]
Side = Literal["front", "rear", "left", "right", "above", "below"]
Cause = Literal["misread", "scatter", "two places", "sides disagree", "not fixed", "impossible"]
Vector = tuple[float, float, float]
Matrix = tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading and its ±, the half width that holds 95 readings of 100.

    A ± of 0 means 'practically exact' and is taken as 0.0001 mm.
    """

    value: float
    plus_minus: float


@dataclass(frozen=True, slots=True)
class Point:
    """A point by name, with the coordinates that were measured, if any.

    X is rearward, Y to the vehicle's right, Z up. `side` settles which of two mirror places is
    meant, and only where the readings cannot: 'front' is the one further forward, 'above' the
    higher one. It never overrules a distance.
    """

    name: str
    x: Measured | None = None
    y: Measured | None = None
    z: Measured | None = None
    side: Side | None = None


@dataclass(frozen=True, slots=True)
class Distance:
    """A straight taped distance between two points; a `dropped` one is shown but not used."""

    a: str
    b: str
    length: Measured
    dropped: bool = False


@dataclass(frozen=True, slots=True)
class OnPlane:
    """'These points lie on y = 580 ± 0.2', each by itself within the ±."""

    axis: Axis
    at: Measured
    points: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reason:
    """Why the points are refused: the cause, the readings or points it is about, the words."""

    cause: Cause
    about: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class SolvedPoint:
    """A point after the adjustment; `plus_minus` per axis at 95 %, `covariance` 3x3 in mm²."""

    name: str
    x: float
    y: float
    z: float
    plus_minus: Vector
    covariance: Matrix


@dataclass(frozen=True, slots=True)
class CheckedReading:
    """A reading after the adjustment.

    name: 'A1-A2', 'A2 z' or 'A2 on y = 580'.
    used: False for a distance that was marked dropped; its last three fields are then None.
    adjusted_plus_minus: 95 % half width of the adjusted value.
    residual: adjusted less measured.
    redundancy: share of the reading that the others check, 0 (not at all) to 1.
    standardised: residual over its own standard deviation; None where nothing checks the reading.
    least_misread: the smallest misread found 8 times in 10 (4.13 standard deviations over the
        root of the redundancy, Baarda 1968); None where nothing checks the reading.
    """

    name: str
    measured: float
    plus_minus: float
    used: bool
    adjusted: float
    adjusted_plus_minus: float
    residual: float
    redundancy: float | None
    standardised: float | None
    least_misread: float | None


@dataclass(frozen=True, slots=True)
class Solution:
    """All points solved together, or the reasons why not.

    `points` and the readings are empty when no position could be given at all. When a reading is
    suspect they are filled, with the suspect in, so that residuals can be shown; `reasons` says
    they are not to be built from.

    redundancy: readings less unknowns. chi_square: weighted sum of squared residuals.
    chance: how often good readings would disagree as much as these, or more (chi-square test).
    covariance: (3n, 3n) in mm², x y z of each point in the order of `points`.
    """

    points: tuple[SolvedPoint, ...]
    distances: tuple[CheckedReading, ...]
    coordinates: tuple[CheckedReading, ...]
    redundancy: int
    chi_square: float
    chance: float
    reasons: tuple[Reason, ...]
    covariance: Matrix = field(repr=False)

    @property
    def refused(self) -> bool:
        return bool(self.reasons)
