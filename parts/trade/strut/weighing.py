"""What a lid weighs and where its centre lies: from two scales, or from its plates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, isfinite, sqrt

from parts.trade.strut.given import Point, not_below_zero, over_zero
from parts.trade.strut.lid import GRAVITY


@dataclass(frozen=True, slots=True)
class LidMass:
    """A lid's mass and centre; `along` and `up` in the axes it was weighed or drawn in, mm.

    The ± are 95 % half widths. `up` is given, not weighed: a level lid does not show it.
    """

    mass_kg: float
    along: float
    up: float = 0.0
    mass_plus_minus_kg: float = 0.0
    along_plus_minus: float = 0.0
    correlation: float = 0.0  # between the errors of the two

    def from_pivot(self, pivot: Point) -> Point:
        """The centre seen from the hinge pivot, itself given in the lid's axes."""
        return (self.along - pivot[0], self.up - pivot[1])

    def moment_plus_minus_nm(self, pivot: Point) -> float:
        """95 % half width of the shut lid's weight moment about the pivot."""
        by_mass = self.mass_plus_minus_kg * (self.along - pivot[0])
        by_along = self.along_plus_minus * self.mass_kg
        square = by_mass**2 + by_along**2 + 2 * self.correlation * by_mass * by_along
        return GRAVITY * sqrt(max(0.0, square)) / 1000


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A value found against one that was given; `off` is found less given."""

    name: str
    found: float
    plus_minus: float
    given: float
    unit: str

    @property
    def off(self) -> float:
        return self.found - self.given

    @property
    def within(self) -> bool:
        """Whether the ± of the weighing explains it."""
        return abs(self.off) <= self.plus_minus

    def __str__(self) -> str:
        tail = "within" if self.within else "beyond"
        return (
            f"{self.name}: scales say {self.found:.2f} {self.unit}, given {self.given:.2f}; "
            f"{self.off:+.2f}, {tail} the ± {self.plus_minus:.2f} of the weighing"
        )


@dataclass(frozen=True, slots=True)
class Plate:
    """A flat part of a lid: skin, frame or glass; `centre` of its area, along and up."""

    name: str
    area_mm2: float
    thickness: float
    density_kg_m3: float
    centre: Point

    def __post_init__(self) -> None:
        over_zero(
            f"plate {self.name!r}", area_mm2=self.area_mm2, thickness=self.thickness,
            density_kg_m3=self.density_kg_m3,
        )  # fmt: skip

    @property
    def mass_kg(self) -> float:
        """One square metre of 1 mm steel weighs 7.85 kg.

        >>> round(Plate("skin", 1e6, 1, 7850, (0, 0)).mass_kg, 6)
        7.85
        """
        return self.area_mm2 * self.thickness * self.density_kg_m3 * 1e-9


@dataclass(frozen=True, slots=True)
class Extra:
    """A thing on the lid that weighs: lock, handle, lamp, trim, wiper."""

    name: str
    mass_kg: float
    centre: Point

    def __post_init__(self) -> None:
        over_zero(f"extra {self.name!r}", mass_kg=self.mass_kg)


def weigh(
    hinge_kg: float,
    latch_kg: float,
    apart: float,
    hinge_at: float = 0.0,
    up: float = 0.0,
    plus_minus_kg: float = 0.2,
    apart_plus_minus: float = 2.0,
) -> LidMass:
    """Mass and centre of a level lid that rests on two scales.

    `apart`: between the two supports, mm; `hinge_at`: where the one at the hinge edge stands,
    along the lid. Each scale is right to ± `plus_minus_kg`, the two independently (common
    practice: 0.2 kg). Moments about the hinge-edge support: W a = W_latch d. Raises ValueError.

    >>> lid = weigh(6, 4, 500)
    >>> lid.mass_kg, lid.along
    (10, 200.0)
    """
    not_below_zero("scale reading", hinge_edge=hinge_kg, latch_edge=latch_kg)
    over_zero("scales", total_kg=hinge_kg + latch_kg, distance_between_supports=apart)
    not_below_zero("scales", plus_minus_kg=plus_minus_kg, plus_minus_distance=apart_plus_minus)
    mass = hinge_kg + latch_kg
    by_latch = apart * hinge_kg / mass**2  # mm a kg
    by_hinge = -apart * latch_kg / mass**2
    mass_wide = hypot(plus_minus_kg, plus_minus_kg)
    along_wide = hypot(
        by_latch * plus_minus_kg, by_hinge * plus_minus_kg, latch_kg / mass * apart_plus_minus
    )
    shared = (by_latch + by_hinge) * plus_minus_kg**2
    return LidMass(
        mass_kg=mass,
        along=hinge_at + apart * latch_kg / mass,
        up=up,
        mass_plus_minus_kg=mass_wide,
        along_plus_minus=along_wide,
        correlation=shared / (mass_wide * along_wide) if mass_wide * along_wide else 0.0,
    )


def disagreements(
    weighed: LidMass, mass_kg: float | None = None, along: float | None = None
) -> tuple[Disagreement, ...]:
    """The weighing against what was given from elsewhere: a catalogue, a drawing, a balance.

    >>> for line in disagreements(weigh(6, 4, 500, apart_plus_minus=0), 10.1, 210):
    ...     print(line)
    lid mass: scales say 10.00 kg, given 10.10; -0.10, within the ± 0.28 of the weighing
    lid centre: scales say 200.00 mm, given 210.00; -10.00, beyond the ± 7.21 of the weighing
    """
    found = []
    if mass_kg is not None:
        over_zero("given lid", mass_kg=mass_kg)
        found.append(
            Disagreement("lid mass", weighed.mass_kg, weighed.mass_plus_minus_kg, mass_kg, "kg")
        )
    if along is not None:
        if not isfinite(along):
            raise ValueError(f"given lid centre is {along:g}; needs a number of mm along the lid")
        found.append(
            Disagreement("lid centre", weighed.along, weighed.along_plus_minus, along, "mm")
        )
    return tuple(found)


def built_up(plates: Sequence[Plate], extras: Sequence[Extra] = ()) -> LidMass:
    """Mass and centre of a lid from what it is made of. Raises ValueError for nothing at all.

    >>> skin = Plate("skin", 1e6, 1, 7850, (400, 0))
    >>> lid = built_up([skin], [Extra("lock", 7.85, (800, -40))])
    >>> round(lid.mass_kg, 6), round(lid.along, 6), round(lid.up, 6)
    (15.7, 600.0, -20.0)
    """
    pieces = [(p.mass_kg, p.centre) for p in plates]
    pieces += [(e.mass_kg, e.centre) for e in extras]
    if not pieces:
        raise ValueError("a lid of nothing: give at least one plate, or weigh it")
    mass = sum(m for m, _ in pieces)
    along = sum(m * centre[0] for m, centre in pieces) / mass
    up = sum(m * centre[1] for m, centre in pieces) / mass
    return LidMass(mass, along, up)
