"""Rates, what is paid for, and the lines of a cost; amounts exact until they are shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal

from parts.report import Table

COUNTS = (1, 2, 4, 10)
YOURS = "your rates"
_CENT = Decimal("0.01")

Amounts = tuple[Decimal, ...]  # one for each of COUNTS
ByName = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Rates:
    """What the user pays and charges, in a currency of his own word; None or empty: not given.

    Those by stock go by the stock's name, `hours` by part and then by operation. `sheets` says
    whether whole sheets of a nest are counted, or the strip that is left goes back on the rack.
    Shares are 0 to 1.
    """

    currency: str
    sheet_per_kg: ByName = field(default_factory=dict)
    sheet_each: ByName = field(default_factory=dict)
    sheet_yield: float | None = None
    whole_sheets: bool = False
    waste: float | None = None
    cut_per_metre: ByName = field(default_factory=dict)
    cut_feed: ByName = field(default_factory=dict)  # m/min
    cut_per_hour: float | None = None
    pierce_each: ByName = field(default_factory=dict)
    pierce_seconds: ByName = field(default_factory=dict)
    cut_set_up: float | None = None  # a stock
    cut_minimum: float | None = None
    bend_each: float | None = None
    bend_set_up: float | None = None  # a piece that is bent
    bend_minimum: float | None = None
    per_hour: ByName = field(default_factory=dict)
    hours: Mapping[str, ByName] = field(default_factory=dict)
    consumables: float | None = None  # a part
    margin: float | None = None
    tax: float | None = None


@dataclass(frozen=True, slots=True)
class CostPiece:
    """A piece to be paid for; numbers are of one, however many are wanted.

    `box_kg` is the mass of the smallest rectangle of sheet that holds its blank.
    """

    part: str
    name: str
    stock: str
    quantity: int
    box_kg: float
    cut_length: float
    pierces: int
    bends: int
    rolls: int = 0


@dataclass(frozen=True, slots=True)
class SheetUse:
    """How many sheets of a stock the pieces take, for each of COUNTS, and the mass of one."""

    sheets: tuple[float, ...]
    kg_of_one: float


@dataclass(frozen=True, slots=True)
class CostLine:
    """One line: what it is for, its amount for each of COUNTS, and how it comes about."""

    name: str
    amounts: Amounts
    formula: str


@dataclass(frozen=True, slots=True)
class CostTable:
    """Lines that add up, what was added to them, and what is not in them, in sentences.

    `totals` are the cost, then margin, tax and price where they are given, and the price of one.
    """

    currency: str
    lines: tuple[CostLine, ...]
    totals: tuple[CostLine, ...]
    missing: tuple[str, ...]

    def table(self, title: str = "Cost") -> Table:
        """The lines and totals as a table, rounded to hundredths."""
        shown = (*self.lines, *self.totals)
        return Table(
            title=f"{title}, in {self.currency}",
            unit=self.currency,
            columns=tuple(f"{count} off" for count in COUNTS),
            rows=tuple((one.name, tuple(map(_shown, one.amounts))) for one in shown),
            source=YOURS,
            noted="how it comes about",
            notes=tuple(one.formula for one in shown),
        )


def cents(amount: Decimal) -> Decimal:
    """An amount rounded to hundredths, halves up.

    >>> cents(Decimal("1.005")), cents(Decimal("2.344"))
    (Decimal('1.01'), Decimal('2.34'))
    """
    return amount.quantize(_CENT, ROUND_HALF_UP)


def _shown(amount: Decimal) -> float:
    return float(cents(amount))


def exact(value: float) -> Decimal:
    """The number as it is written, not as the machine holds it.

    >>> exact(0.1) * 3
    Decimal('0.3')
    """
    read = Decimal(repr(float(value)))
    return read.quantize(Decimal(1)) if read == read.to_integral_value() else read
