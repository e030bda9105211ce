"""What lies on the bench when a kind starts: solved points, stock, bend book, shop limits."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from parts.part import Measurement, Spot
from parts.place import Vector
from parts.sheet.allowance import Allowance, BendBook, Sourced
from parts.sheet.shop import Rack, Shop

__all__ = ["WIDE_95", "Bench", "NoTooling", "Rack", "Shop", "Spots"]

if TYPE_CHECKING:
    from parts.trade.gear import Gear

WIDE_95 = 1.959964  # half width of 95 % of a normal distribution, in standard deviations


@dataclass(frozen=True, eq=False)
class Spots:
    """Points of the vehicle with what is known of their error.

    `positions` (3,) by name; `covariance` (3n, 3n) in mm2, in the order of `positions`.
    """

    positions: Mapping[str, Vector]
    covariance: NDArray[np.float64]

    @classmethod
    def exact(cls, positions: Mapping[str, tuple[float, float, float]]) -> Spots:
        """Points taken as known without error."""
        at = {name: np.array(p, dtype=float) for name, p in positions.items()}
        return cls(at, np.zeros((3 * len(at), 3 * len(at))))

    def at(self, name: str) -> Vector:
        """Position (3,) of a point."""
        return self.positions[name]

    def all_at(self, names: tuple[str, ...]) -> Vector:
        """Positions (n, 3)."""
        return np.array([self.positions[name] for name in names])

    def error_of(self, name: str, direction: Vector) -> float:
        """95 % half width of a point's own position along a unit direction, mm."""
        i = 3 * list(self.positions).index(name)
        block = self.covariance[i : i + 3, i : i + 3]
        return WIDE_95 * sqrt(max(0.0, float(direction @ block @ direction)))

    def error_between(self, a: str, b: str, direction: Vector) -> float:
        """95 % half width of the distance between two points along a unit direction, mm."""
        order = list(self.positions)
        weights = np.zeros(3 * len(order))
        i, j = 3 * order.index(a), 3 * order.index(b)
        weights[i : i + 3] += direction
        weights[j : j + 3] -= direction
        return WIDE_95 * sqrt(max(0.0, float(weights @ self.covariance @ weights)))

    def listed(self, names: Collection[str]) -> tuple[Spot, ...]:
        """The named points with their coordinates and 95 % half widths, in the job's order."""
        ends = WIDE_95 * np.sqrt(np.maximum(np.diag(self.covariance), 0.0))
        return tuple(
            Spot(name, _three(at), _three(ends[3 * i : 3 * i + 3]))
            for i, (name, at) in enumerate(self.positions.items())
            if name in names
        )

    def mirrored(self) -> Spots:
        """The same points on the other side of the vehicle: y changes sign."""
        flip = np.array([1.0, -1.0, 1.0])
        signs = np.tile(flip, len(self.positions))
        return Spots(
            {name: p * flip for name, p in self.positions.items()},
            self.covariance * np.outer(signs, signs),
        )


def _three(values: Vector) -> tuple[float, float, float]:
    return (float(values[0]), float(values[1]), float(values[2]))


class NoTooling(ValueError):
    """Neither the dies nor the bend book answer for a sheet; carries where, what and the remedy."""

    def __init__(self, where: str, found: str, needed: str, remedy: str) -> None:
        super().__init__(f"{where}: {found}; needs {needed}")
        self.where, self.found, self.needed, self.remedy = where, found, needed, remedy


@dataclass(frozen=True, eq=False)
class Bench:
    """Everything a kind is given besides its own config."""

    job: str
    racks: Mapping[str, Rack]
    spots: Spots
    book: BendBook = field(default_factory=BendBook)
    shop: Shop = field(default_factory=Shop)
    measurements: tuple[Measurement, ...] = ()
    made_on: date | None = None
    gears: Mapping[str, Gear] = field(default_factory=dict)

    def mirrored(self) -> Bench:
        """The bench for the other side of the vehicle, points mirrored."""
        return replace(self, spots=self.spots.mirrored())

    def measurements_of(self, names: Collection[str]) -> tuple[Measurement, ...]:
        """The measured values that name any of these points."""
        return tuple(one for one in self.measurements if set(one.points) & set(names))

    def inside_radius(self, rack: Rack) -> Sourced:
        """Inside bend radius: the one the stock states, else what the book or the die gives.

        Raises NoTooling for a sheet or a die that is in neither.
        """
        if rack.inside_radius is not None:
            return Sourced(rack.inside_radius, f"stock {rack.stock.name}")
        stock = rack.stock
        try:
            return self.book.least_radius(stock.material, stock.thickness, rack.die_v)
        except ValueError as error:
            raise NoTooling(
                f"stock {stock.name}",
                f"its inside radius is not known: {_first_part(error)}",
                "the inside radius that the brake leaves in this sheet",
                "bend an offcut and write its inside_radius with the stock, or name another die",
            ) from error

    def allowance(self, rack: Rack, turn_deg: float) -> Allowance:
        """Bend allowance by the shop's book, else by the rule the job names.

        Raises NoTooling where neither answers for the sheet.
        """
        stock, radius = rack.stock, self.inside_radius(rack).value
        try:
            return self.book.allowance(
                stock.material, stock.thickness, radius, abs(turn_deg), rack.die_v
            )
        except ValueError as error:
            raise NoTooling(
                f"stock {stock.name}",
                f"its bend allowance is not known: {_first_part(error)}",
                "a bend that the rule or the bend book knows",
                "check inside_radius, or write a test strip of it into the bend book",
            ) from error


def _first_part(error: ValueError) -> str:
    """What is wrong, without the cure that follows it."""
    return str(error).partition("; ")[0]
