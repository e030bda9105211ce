"""The sheets that pieces are cut from, and what is said where no piece can be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from parts.kinds.bench import Bench
from parts.sheet.shop import Rack


class NoPiece(ValueError):
    """Sizes from which a piece cannot be laid out; carries where, what and the remedy."""

    def __init__(self, where: str, found: str, needed: str, remedy: str) -> None:
        super().__init__(f"{where}: {found}; needs {needed}")
        self.where, self.found, self.needed, self.remedy = where, found, needed, remedy


@dataclass(frozen=True, slots=True)
class Bending:
    """How a sheet folds: inside radius, bend allowance (mm) by the turn in degrees, and the
    shortest outside leg that the die takes at a right angle."""

    radius: float
    allowance: Callable[[float], float]
    least_flange: float


@dataclass(frozen=True, eq=False)
class Sheet:
    """The stock of a piece, and how it folds where the piece is folded."""

    rack: Rack
    bending: Bending | None = None

    @property
    def thickness(self) -> float:
        return self.rack.stock.thickness

    def folds(self, where: str) -> Bending:
        """How it folds; raises NoPiece for a sheet of which that is not known."""
        if self.bending is None:
            raise NoPiece(
                where, f"{self.rack.stock.name} is a sheet that is not folded",
                "a sheet whose inside radius and bend allowance are known",
                "take a stock that can be folded",
            )  # fmt: skip
        return self.bending


def flat_sheet(bench: Bench, stock: str) -> Sheet:
    """A stock of the bench for pieces that stay flat; any thickness will do."""
    return Sheet(bench.racks[stock])


def folding_sheet(bench: Bench, stock: str) -> Sheet:
    """A stock of the bench for folded pieces; raises NoTooling where it cannot be folded."""
    rack = bench.racks[stock]
    radius = bench.inside_radius(rack).value
    bench.allowance(rack, 90.0)  # a sheet that no rule answers for is refused as such
    material, thickness = rack.stock.material, rack.stock.thickness
    try:
        least = bench.book.least_flange(material, thickness, rack.die_v).value
    except ValueError:  # no table knows the die: the checks of the sheet say so
        least = 0.0
    return Sheet(
        rack, Bending(radius, lambda turn_deg: bench.allowance(rack, turn_deg).length_mm, least)
    )
