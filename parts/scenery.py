"""What stands round a part on the vehicle: a tyre in a pose, a lid at an angle, an axis.

Not metal to make: nothing here is written, cut or proved; it is for the eye. Everything is in
vehicle axes, mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from parts.place import Vector, unit

Role = Literal["tyre", "lid", "fixed", "measured"]


@dataclass(frozen=True, slots=True, eq=False)
class Revolved:
    """A profile turned once round an axis: `profile` (n, 2) are (along the axis, radius) from
    `center` (3,), `axis` (3,) is a unit direction. A closed profile encloses a solid."""

    profile: Vector
    center: Vector
    axis: Vector
    closed: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class Extruded:
    """An outline `points` (n, 3) in one plane, drawn out along `along` (3,).

    Closed, it encloses a solid; open, it leaves a thin skin.
    """

    points: Vector
    along: Vector
    closed: bool


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """Runs of straight lines, each (n, 3)."""

    runs: tuple[Vector, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Dots:
    """Points (n, 3)."""

    at: Vector


Form: TypeAlias = Revolved | Extruded | Lines | Dots


@dataclass(frozen=True, slots=True, eq=False)
class Scenery:
    """One named thing beside a part.

    `aside` is there to be looked at when wanted: it is handed over hidden. `hand` is "" for what
    belongs to both.
    """

    name: str
    role: Role
    form: Form
    hand: str = ""
    aside: bool = False

    @property
    def title(self) -> str:
        """Its name with its hand."""
        return f"{self.name}, {self.hand}" if self.hand else self.name


@dataclass(frozen=True, eq=False)
class Later:
    """Scenery that is computed when it is first asked for, as a check never does.

    Another process gets none: what makes it stays here.
    """

    make: Callable[[], Iterable[Scenery]]

    @cached_property
    def scenery(self) -> tuple[Scenery, ...]:
        return tuple(self.make())

    def __reduce__(self) -> tuple[Any, ...]:
        return (Later, (tuple,))


NOTHING = Later(tuple)


def line(start: ArrayLike, end: ArrayLike) -> Lines:
    """One straight line between two points (3,)."""
    return Lines((np.array([start, end], dtype=float),))


def axis_line(through: Vector, way: Vector, reach: float) -> Lines:
    """An axis through a point (3,), so far to either side.

    >>> axis_line(np.array([0.0, 0, 10]), np.array([0.0, 2, 0]), 5).runs[0].tolist()
    [[0.0, -5.0, 10.0], [0.0, 5.0, 10.0]]
    """
    return line(through - reach * unit(way), through + reach * unit(way))


def rectangle(middle: Vector, along: Vector, across: Vector, length: float, width: float) -> Lines:
    """The border of a rectangle about a point (3,); `along` and `across` are unit directions.

    >>> border = rectangle(np.zeros(3), np.array([1.0, 0, 0]), np.array([0, 1.0, 0]), 40, 20)
    >>> border.runs[0][:2].tolist()
    [[-20.0, -10.0, 0.0], [20.0, -10.0, 0.0]]
    """
    a, b = along * length / 2, across * width / 2
    corners = [middle - a - b, middle + a - b, middle + a + b, middle - a + b]
    return Lines((np.array([*corners, corners[0]]),))
