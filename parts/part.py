"""What a kind hands on: pieces, figures, findings, cautions. All that a writer may read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import Any, Literal

from parts import solid
from parts.nesting.given import Given
from parts.paper.setting import Setting
from parts.place import Place
from parts.report import Chart, Figure, Finding, LoadCase, Table
from parts.scenery import NOTHING, Later, Scenery
from parts.sheet import measure
from parts.sheet.allowance import Allowance
from parts.sheet.bend_side import is_rolled
from parts.sheet.blank import Blank
from parts.sheet.curve import Curve, Point
from parts.sheet.fold import Folded
from parts.sheet.fold_order.order import fold_order
from parts.sheet.fold_order.steps import FoldOrder, NoOrder
from parts.sheet.press import Sourced, die_for
from parts.sheet.shop import Rack, Shop
from parts.sheet.stock import Stock
from parts.trade.cost import Rates
from parts.trade.screening import Screen


@dataclass(frozen=True, eq=False)
class Piece:
    """One blank of sheet, folded.

    `place` carries the piece's own axes (those of the blank, z out of the drawn face of the
    base) to vehicle axes. `allowances` has one entry a bend, in the blank's order. `faces` says
    in words what the drawn face of the base looks at on the vehicle. `to_fit` says what would make
    the blank smaller, should it miss its sheet; "" where the kind knows no more than anyone.
    `shop` is what the machines can do, as the job says.
    """

    name: str
    hand: str  # "left", "right", or "" where there is none
    stock: Stock
    folded: Folded
    place: Place
    allowances: tuple[Allowance, ...]
    faces: str
    figures: tuple[Figure, ...]
    die_v: float | None = None
    quantity: int = 1
    sheet: tuple[float, float] | None = None  # size of the sheet it is cut from
    screens: tuple[Screen, ...] = ()
    inside_radius: float | None = None  # as the stock states it
    to_fit: str = ""
    shop: Shop = field(default_factory=Shop)

    @property
    def blank(self) -> Blank:
        """The flat sheet to cut."""
        return self.folded.blank

    @property
    def rack(self) -> Rack:
        """The stock with the tooling and sheet it is worked with."""
        return Rack(self.stock, self.die_v, self.inside_radius, self.sheet)

    @property
    def die_used(self) -> Sourced | None:
        """V of the die it is bent on: the stock's own, else the one that suits the sheet; None
        for a piece that no die bends, or whose sheet suits none."""
        thickness = self.stock.thickness
        if all(is_rolled(bend, thickness) for bend in self.blank.bends):
            return None
        if self.die_v is not None:
            return Sourced(self.die_v, f"stock {self.stock.name}")
        try:
            return Sourced(die_for(thickness), f"suits {thickness_words(thickness)} mm sheet")
        except ValueError:
            return None

    @cached_property
    def fold_order(self) -> FoldOrder | NoOrder:
        """The order in which its bends are made, or why there is none."""
        over = [a.over.value if a.over else None for a in self.allowances]
        return fold_order(self.folded, self.rack, self.shop, over)

    @cached_property
    def kernel_solid(self) -> Any:
        """The folded metal as the kernel has it (TopoDS_Solid), in the piece's own axes."""
        return solid.of(self.folded)

    def solid(self) -> Any:
        """The folded metal as a `cadquery.Solid`, in the piece's own axes. Wakes the kernel."""
        return solid.as_cadquery(self.kernel_solid)

    @cached_property
    def volume(self) -> float:
        """Exact volume of the folded metal, mm3."""
        return measure.volume(self.folded)

    @cached_property
    def mass_kg(self) -> float:
        """Mass of the folded metal."""
        return measure.mass_kg(self.folded, self.stock.material.density_kg_m3)


@dataclass(frozen=True, slots=True)
class Measurement:
    """One value that was measured, and what the others made of it; mm.

    `residual` is adjusted less measured. `redundancy` is the share of the value that the others
    check, 0 to 1; None for one that was set aside, as `used` tells. `points` names its points.
    """

    name: str
    measured: float
    plus_minus: float
    residual: float
    redundancy: float | None = None
    used: bool = True
    points: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Spot:
    """A point of the vehicle as solved: coordinates and their 95 % half widths, mm."""

    name: str
    at: tuple[float, float, float]
    plus_minus: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Shape:
    """One thing in a sketch: a run of curves end to end, closed where it says so.

    `role` says what it is: "metal" the edge of a piece, "fixed" what stays on the vehicle,
    "path" the way of a point that moves, "room" the border of an allowed area.
    """

    name: str
    role: Literal["metal", "fixed", "path", "room"]
    curves: tuple[Curve, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Sketch:
    """A flat picture of a part that is no blank, in mm; what `across` and `up` mean is said.

    `points` are named places in it, such as a pivot. `full_size` asks for paper at 1:1.
    """

    title: str
    across: str
    up: str
    shapes: tuple[Shape, ...]
    points: tuple[tuple[str, Point], ...] = ()
    note: str = ""
    full_size: bool = False


@dataclass(frozen=True, eq=False)
class Part:
    """Everything computed about one part, once, before any file is opened.

    `summary` is what matters most, in sentences that are said before anything else.
    `assumptions` are sentences of what the numbers rest on that was not measured on the vehicle.
    """

    job: str
    name: str
    kind: str
    made_on: date | None
    pieces: tuple[Piece, ...]
    figures: tuple[Figure, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[str, ...]
    measurements: tuple[Measurement, ...] = ()
    note: str = ""
    spots: tuple[Spot, ...] = ()
    tables: tuple[Table, ...] = ()
    charts: tuple[Chart, ...] = ()
    sketches: tuple[Sketch, ...] = ()
    paper: Setting = field(default_factory=Setting)
    summary: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    load_cases: tuple[LoadCase, ...] = ()
    vehicle: str = ""
    stance: str = ""  # how the vehicle stood when it was measured
    as_given: tuple[tuple[str, str], ...] = ()  # keys of the job file with what they hold
    nesting: Given = field(default_factory=Given)
    rates: Rates | None = None
    later: Later = field(default=NOTHING, compare=False, repr=False)

    @property
    def scenery(self) -> tuple[Scenery, ...]:
        """What stands round it on the vehicle, computed when first asked for; never written."""
        return self.later.scenery

    @property
    def refused(self) -> bool:
        """Whether any finding forbids making it."""
        return any(finding.refuses for finding in self.findings)

    def solid(self) -> Any:
        """All pieces at their places on the vehicle, as one `cadquery.Compound`."""
        return solid.cadquery_compound([(p.folded, p.place) for p in self.pieces])

    def stem(self, piece: Piece) -> str:
        """File name without ending: job, part, piece, hand, material, thickness, quantity."""
        return self.stem_of(
            piece.name,
            piece.hand,
            piece.stock.material.name,
            f"{thickness_words(piece.stock.thickness)}mm",
            f"{piece.quantity}off",
        )

    def stem_of(self, *words: str) -> str:
        """File name without ending of something of this part: job, part, and the words given."""
        return "-".join(plain(word) for word in (self.job, self.name, *words) if word)


def thickness_words(thickness: float) -> str:
    """A thickness in mm with at most three decimals: a gauge has more than any caliper shows.

    >>> thickness_words(1.2), thickness_words(0.140625 * 25.4)
    ('1.2', '3.572')
    """
    return f"{round(thickness, 3):g}"


def plain(word: str) -> str:
    """A word as it may stand in a file name.

    >>> plain("A 3/8 plate")
    'A_3_8_plate'
    """
    return re.sub(r"[^\w.]+", "_", word).strip("_.")
