"""The bend book: how much sheet a bend uses up in this shop, and what its brake asks.

`angle_deg` is the turn from flat throughout; its sign does not matter here. `radius` is the
inside one. The shop's own rows win; a named rule answers where they are silent.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import radians

from parts.sheet import press
from parts.sheet.bend_rules import (
    StripK,
    arc_length,
    bend_deduction,
    din_6935_k,
    faa_allowance,
    k_from_allowance,
    k_from_test_strip,
    machinery_allowance,
    outside_setback,
)
from parts.sheet.press import Sourced, bend_force_kn_per_m, die_for
from parts.sheet.stock import Material, material
from parts.tables import UnknownName, find

__all__ = [
    "Allowance",
    "BendBook",
    "BentStrip",
    "BookRow",
    "Sourced",
    "StripK",
    "arc_length",
    "bend_deduction",
    "bend_force_kn_per_m",
    "die_for",
    "din_6935_k",
    "faa_allowance",
    "k_from_allowance",
    "k_from_test_strip",
    "machinery_allowance",
    "outside_setback",
]

BOOK = "bend book row"  # how the source of every answer of the shop's own begins
SAME_THICKNESS = 0.05  # mm between a book row and the sheet in hand
SAME_RADIUS = 0.10  # part of the book row's radius
RULES = ("DIN 6935", "FAA", "Machinery's Handbook")


@dataclass(frozen=True, slots=True)
class Allowance:
    """Length of sheet in a bend, the k it stands for, where it comes from, and its ± if known.

    `over` is how many degrees to bend past the turn before the sheet springs back, where the
    bend book says so.
    """

    length_mm: float
    k: float
    source: str
    plus_minus_mm: float | None = None  # 95 % half width
    over: Sourced | None = None


@dataclass(frozen=True, slots=True)
class BentStrip:
    """A strip of the shop's own sheet, cut, bent once and measured over the outside.

    The radius and thickness of its row are taken as they stand: an error there mostly
    cancels when the same two lay out the part.
    """

    cut: float
    leg_a: float
    leg_b: float
    angle_deg: float = 90.0
    plus_minus: float | None = None  # of each length; None: a caliper
    angle_plus_minus_deg: float | None = None  # None: a digital level

    def k(self, radius: float, thickness: float) -> StripK:
        """k of the strip at the inside radius and thickness found on it."""
        return k_from_test_strip(
            self.cut,
            self.leg_a,
            self.leg_b,
            self.angle_deg,
            radius,
            thickness,
            plus_minus=_tool("caliper") if self.plus_minus is None else self.plus_minus,
            angle_plus_minus_deg=(
                _tool("level") if self.angle_plus_minus_deg is None else self.angle_plus_minus_deg
            ),
        )


@dataclass(frozen=True, slots=True)
class BookRow:
    """One line of the shop's bend book. Give exactly one of k, allowance_90 and strip."""

    material: str
    thickness: float
    radius: float  # inside, as it comes off the die
    die_v: float | None = None
    k: float | None = None
    allowance_90: float | None = None  # length of sheet in a quarter turn
    strip: BentStrip | None = None
    least_flange: float | None = None  # outside, at 90 degrees
    springback_deg: float | None = None

    def __post_init__(self) -> None:
        given = [x for x in (self.k, self.allowance_90, self.strip) if x is not None]
        if len(given) != 1:
            raise ValueError(
                f"bend book row for {self.material} {self.thickness:g}: {len(given)} of k, "
                "allowance_90 and test strip given; needs exactly one"
            )
        if not (self.thickness > 0 and self.radius > 0):
            raise ValueError(
                f"bend book row for {self.material}: thickness {self.thickness:g}, radius "
                f"{self.radius:g}; both need to be over 0"
            )
        if not 0 <= self.tested_k().k <= 1:
            raise ValueError(
                f"bend book row for {self.material} {self.thickness:g}: k comes to "
                f"{self.tested_k().k:.2f}; needs 0 to 1"
            )

    def tested_k(self) -> StripK:
        """k of this row; its ± is 0 where no strip says otherwise."""
        if self.strip is not None:
            return self.strip.k(self.radius, self.thickness)
        if self.allowance_90 is not None:
            k = k_from_allowance(self.allowance_90, self.radius, self.thickness, 90)
            return StripK(k, 0.0)
        assert self.k is not None
        return StripK(self.k, 0.0)


@dataclass(frozen=True, slots=True)
class BendBook:
    """The shop's rows, and the rule that answers where they are silent.

    A row answers when it has the material, the thickness within 0.05 mm, the die where both
    name one, and the inside radius within 10 % of the row's own: that moves k by 0.01 at
    most by DIN 6935. Of several rows, one that names the die asked for goes first, then the
    nearest radius, then the nearest thickness, then the first in the book.

    >>> book = BendBook((BookRow("mild steel", 2, 2.0, k=0.41),))
    >>> book.allowance(material("mild steel"), 2, 2, 90).source
    'bend book row 1, K 0.41'
    >>> book.allowance(material("mild steel"), 3, 3, 90).source
    'DIN 6935, K 0.325'
    """

    rows: tuple[BookRow, ...] = ()
    rule: str = RULES[0]

    def __post_init__(self) -> None:
        if self.rule not in RULES:
            raise UnknownName("rule", self.rule, "the rules for bend allowance", RULES)
        for row in self.rows:
            material(row.material)

    def allowance(
        self,
        material: Material,
        thickness: float,
        radius: float,
        angle_deg: float,
        die_v: float | None = None,
    ) -> Allowance:
        """Length of sheet in one bend: by the shop's row if one matches, else by the rule."""
        over = self.springback(material, thickness, radius, angle_deg, die_v)
        for number, row in self._matching(material, thickness, die_v, radius):
            k, spread = row.tested_k()
            word = f"{BOOK} {number}"
            if row.strip is not None:
                word += f": test strip, K {k:.2f} ± {spread:.2f}"
            elif row.allowance_90 is not None:
                word += f": allowance {row.allowance_90:g} at 90 degrees, K {k:.3f}"
            else:
                word += f", K {k:g}"
            length = arc_length(k, radius, thickness, angle_deg)
            plus_minus = radians(abs(angle_deg)) * thickness * spread if row.strip else None
            return Allowance(length, k, word, plus_minus, over)
        return replace(_by_rule(self.rule, material, thickness, radius, angle_deg), over=over)

    def least_flange(
        self,
        material: Material,
        thickness: float,
        die_v: float | None = None,
        angle_deg: float = 90.0,
    ) -> Sourced:
        """Shortest outside leg that still reaches both edges of the die, in mm.

        Sharper bends need more, by flange_by_angle.csv.

        >>> BendBook().least_flange(material("mild steel"), 2).value
        8.5
        """
        for number, row in self._matching(material, thickness, die_v):
            if row.least_flange is not None:
                factor = press.flange_factor(angle_deg)
                return Sourced(row.least_flange * factor, f"{BOOK} {number}")
        return press.least_flange(die_for(thickness) if die_v is None else die_v, angle_deg)

    def least_radius(
        self, material: Material, thickness: float, die_v: float | None = None
    ) -> Sourced:
        """The sharpest inside radius the shop's dies give in this sheet, in mm.

        The smallest radius of a matching row, else what an air bend in the die takes by
        itself. The metal's own limit is `parts.sheet.stock.least_radii`.

        >>> BendBook().least_radius(material("mild steel"), 2).value
        2.0
        """
        found = self._matching(material, thickness, die_v)
        if found:
            number, row = min(found, key=lambda pair: pair[1].radius)
            return Sourced(row.radius, f"{BOOK} {number}")
        return press.natural_radius(die_for(thickness) if die_v is None else die_v)

    def springback(
        self,
        material: Material,
        thickness: float,
        radius: float,
        angle_deg: float,
        die_v: float | None = None,
    ) -> Sourced | None:
        """Degrees to bend past a turn, where a row of the book says so.

        The row gives them for a right angle; a sheet springs back by the same share of any turn.

        >>> book = BendBook((BookRow("mild steel", 2, 2.0, k=0.41, springback_deg=1.5),))
        >>> book.springback(material("mild steel"), 2, 2, 60)
        Sourced(value=1.0, source='bend book row 1')
        """
        for number, row in self._matching(material, thickness, die_v, radius):
            if row.springback_deg is not None:
                over_deg = row.springback_deg * abs(angle_deg) / 90
                return Sourced(over_deg, f"{BOOK} {number}")
        return None

    def _matching(
        self,
        wanted: Material,
        thickness: float,
        die_v: float | None,
        radius: float | None = None,
    ) -> list[tuple[int, BookRow]]:
        """Rows that answer, numbered from 1, best first."""

        def answers(row: BookRow) -> bool:
            return (
                material(row.material).name == wanted.name
                and abs(row.thickness - thickness) <= SAME_THICKNESS + 1e-9
                and (die_v is None or row.die_v is None or die_v == row.die_v)
                and (radius is None or abs(radius - row.radius) <= SAME_RADIUS * row.radius + 1e-9)
            )

        def distance(pair: tuple[int, BookRow]) -> tuple[bool, float, float]:
            row = pair[1]
            off = 0.0 if radius is None else abs(radius - row.radius)
            return (die_v is not None and row.die_v is None, off, abs(row.thickness - thickness))

        found = [(n, row) for n, row in enumerate(self.rows, start=1) if answers(row)]
        return sorted(found, key=distance)


def _by_rule(
    rule: str, material: Material, thickness: float, radius: float, angle_deg: float
) -> Allowance:
    if rule == "DIN 6935":
        k = din_6935_k(radius, thickness)
        length = arc_length(k, radius, thickness, angle_deg)
        return Allowance(length, k, f"{rule}, K {k:.3f}")
    by_name: dict[str, Callable[[float], float]] = {
        "FAA": lambda turn_deg: faa_allowance(radius, thickness, turn_deg),
        "Machinery's Handbook": lambda turn_deg: machinery_allowance(
            radius, thickness, turn_deg, material.stock_class
        ),
    }
    length_of = by_name[rule]
    k = k_from_allowance(length_of(90), radius, thickness, 90)
    return Allowance(length_of(angle_deg), k, f"{rule}, K {k:.3f}")


def _tool(name: str) -> float:
    return float(find("measuring_tools", name, what="tool")["plus_minus"])
