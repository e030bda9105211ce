"""A gas strut: how hard it pushes, how long it is, and which sizes are commonly sold."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from math import inf

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parts.tables import rows
from parts.trade.strut.given import not_below_zero, over_zero

Floats = NDArray[np.float64]
ZERO_C_IN_K = 273.15
MEASURED_AT_C = 20.0  # forces are stated at this temperature
SHORT_STROKE = 80.0  # up to this stroke F1 is measured 5 mm in, over it 10 mm


class Moving(StrEnum):
    """Which way a strut moves, and so which way its friction counts."""

    FREE = "free"  # the force as stated, no friction on top
    OUT = "out"  # pushes the lid open
    IN = "in"  # is pushed shut


@dataclass(frozen=True, slots=True)
class Condition:
    """How warm the strut is, and how much of its force it has lost with age."""

    temperature_c: float
    aged_percent: float = 0.0

    def __post_init__(self) -> None:
        if not -ZERO_C_IN_K < self.temperature_c < inf:
            raise ValueError(f"temperature is {self.temperature_c:g} °C; needs over -273.15")
        if not 0 <= self.aged_percent < 100:
            raise ValueError(
                f"loss with age is {self.aged_percent:g} %; needs 0 up to, not with, 100"
            )

    @property
    def factor(self) -> float:
        """Force against that of a new strut at 20 °C: by absolute temperature, and less age.

        >>> round(Condition(30).factor, 5), round(Condition(20, 15).factor, 5)
        (1.03411, 0.85)
        """
        warm = (self.temperature_c + ZERO_C_IN_K) / (MEASURED_AT_C + ZERO_C_IN_K)
        return warm * (1 - self.aged_percent / 100)

    def __str__(self) -> str:
        aged = f", {self.aged_percent:g} % lost with age" if self.aged_percent else ""
        return f"{self.temperature_c:+g} °C{aged}"


@dataclass(frozen=True, slots=True)
class Strut:
    """A gas strut as ordered. Lengths between the centres of its ends, mm.

    `f1_n`: force stated for 20 °C, measured as it pushes out, `measured_at` mm short of fully
    extended: 5 for a stroke up to 80, 10 for a longer one, unless given. `progression`: force
    as far from fully compressed over f1_n. `friction_n`: half of what it takes more to push it
    in than it gives coming out; strut_friction.csv has the most by force, unless given.
    """

    rod: float
    tube: float
    stroke: float
    extended: float
    f1_n: float
    progression: float
    measured_at: float | None = None
    friction_n: float | None = None

    def __post_init__(self) -> None:
        over_zero(
            "strut", rod=self.rod, tube=self.tube, stroke=self.stroke, extended=self.extended,
            F1_in_N=self.f1_n,
        )  # fmt: skip
        if not self.rod < self.tube:
            raise ValueError(f"strut: rod {self.rod:g} in a tube of {self.tube:g}; swap the two?")
        if not self.extended > 2 * self.stroke:
            raise ValueError(
                f"strut: {self.extended:g} extended cannot hide a stroke of {self.stroke:g}; "
                "needs an extended length over twice the stroke"
            )
        if not 1 <= self.progression <= 3:
            raise ValueError(
                f"strut: progression F2/F1 is {self.progression:g}; needs 1 to 3, as 1.3"
            )
        if not 0 <= self.point < self.stroke / 2:
            raise ValueError(
                f"strut: F1 measured {self.point:g} mm in; needs less than half the stroke"
            )
        not_below_zero("strut", friction_in_N=self.friction)

    @property
    def compressed(self) -> float:
        """Length when fully pushed in."""
        return self.extended - self.stroke

    @property
    def point(self) -> float:
        """How far in F1 is measured, and how far from the other end F2."""
        if self.measured_at is not None:
            return self.measured_at
        return 5.0 if self.stroke <= SHORT_STROKE else 10.0

    @property
    def friction(self) -> float:
        """Half of F3 less F1, N."""
        return most_friction_n(self.f1_n) if self.friction_n is None else self.friction_n

    def __str__(self) -> str:
        return (
            f"rod {self.rod:g}, tube {self.tube:g}, stroke {self.stroke:g}, extended "
            f"{self.extended:g} between ball centres, F1 {self.f1_n:g} N at 20 °C"
        )


def force_n(
    strut: Strut, length: ArrayLike, condition: Condition, moving: Moving = Moving.FREE
) -> Floats:
    """Push along the strut at each length, never below nothing.

    A straight line through F1 and F2, by temperature and age. Pushing out it gives less by its
    friction, which allows for cold seals and a long stand, although F1 was measured coming out;
    pushed in it takes twice the friction more (F3 = F1 + 2 Fr). Lengths beyond its ends count
    as its ends. A straight line lies over the gas law's curve, by 2 % half way
    in for 1.33, by nothing at F1 and F2.

    >>> strut = Strut(8, 18, 200, 485, 200, 1.3)
    >>> force_n(strut, [475, 295], Condition(20))
    array([200., 260.])
    >>> force_n(strut, [475], Condition(20), Moving.OUT).tolist(), strut.friction
    ([170.0], 30.0)
    """
    at = np.clip(np.asarray(length, dtype=float), strut.compressed, strut.extended)
    force = strut.f1_n * rise(at, strut.extended, strut.stroke, strut.point, strut.progression)
    extra = {Moving.FREE: 0.0, Moving.OUT: -strut.friction, Moving.IN: 2 * strut.friction}
    return np.maximum(force * condition.factor + extra[moving], 0.0)


def rise(
    length: ArrayLike,
    extended: ArrayLike,
    stroke: ArrayLike,
    point: ArrayLike,
    progression: ArrayLike,
) -> Floats:
    """Force over F1 at a length; takes arrays that broadcast together.

    >>> float(rise(385, 485, 200, 0, 1.3))
    1.15
    """
    span = np.asarray(stroke, dtype=float) - 2 * np.asarray(point, dtype=float)
    pushed = np.asarray(extended, dtype=float) - np.asarray(length, dtype=float)
    more: Floats = 1 + (np.asarray(progression, dtype=float) - 1) * (pushed - point) / span
    return more


def most_friction_n(f1_n: float) -> float:
    """The most dynamic friction a strut of that force should have.

    >>> most_friction_n(200), most_friction_n(400), most_friction_n(5000)
    (30.0, 40.0, 150.0)
    """
    for row in rows("strut_friction"):
        if not row["up_to_f1_n"] or f1_n <= float(row["up_to_f1_n"]):
            return float(row["friction_n"])
    raise ValueError("strut_friction.csv: the last row must hold for any force")


@dataclass(frozen=True, slots=True)
class StrutSize:
    """A size commonly sold, with the forces it is filled for."""

    rod: float
    tube: float
    stroke: float
    extended: float
    least_f1_n: float
    most_f1_n: float
    f1_step_n: float
    progression: float
    source: str

    @property
    def forces_n(self) -> tuple[float, ...]:
        """The forces it is commonly filled for."""
        count = int((self.most_f1_n - self.least_f1_n) / self.f1_step_n + 1e-9) + 1
        return tuple(self.least_f1_n + i * self.f1_step_n for i in range(count))

    def strut(self, f1_n: float) -> Strut:
        """This size filled to a force. Raises ValueError for one that the size does not take.

        >>> sizes()[0].strut(900)
        Traceback (most recent call last):
        ValueError: a strut 6-15 takes 50 to 350 N; 900 N needs a thicker rod
        """
        if not self.least_f1_n <= f1_n <= self.most_f1_n:
            thicker = "thicker" if f1_n > self.most_f1_n else "thinner"
            raise ValueError(
                f"a strut {self.rod:g}-{self.tube:g} takes {self.least_f1_n:g} to "
                f"{self.most_f1_n:g} N; {f1_n:g} N needs a {thicker} rod"
            )
        return Strut(self.rod, self.tube, self.stroke, self.extended, f1_n, self.progression)


@cache
def sizes() -> tuple[StrutSize, ...]:
    """The common sizes, thin rods first."""
    return tuple(
        StrutSize(
            rod=float(row["rod_mm"]),
            tube=float(row["tube_mm"]),
            stroke=float(row["stroke_mm"]),
            extended=float(row["extended_mm"]),
            least_f1_n=float(row["least_f1_n"]),
            most_f1_n=float(row["most_f1_n"]),
            f1_step_n=float(row["f1_step_n"]),
            progression=float(row["progression"]),
            source=row["source"],
        )
        for row in rows("struts")
    )
