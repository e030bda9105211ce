"""What is said about a part: findings, figures, cautions. Knows nothing of sheet."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """What a finding does: `refuses` means that nothing is written."""

    REFUSES = "refuses"
    MENTIONS = "mentions"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found: where, what, what is needed, what to change, and who says so.

    >>> print(Finding(Severity.REFUSES, "foot.drain", "edge 9.0 mm from the bend",
    ...               "14.0 mm (2t + R)", "move the hole out 5.0 mm", "common practice"))
    refused: foot.drain: edge 9.0 mm from the bend; needs 14.0 mm (2t + R) - move the hole out
    5.0 mm [common practice]
    """

    severity: Severity
    where: str
    found: str
    needed: str
    remedy: str
    source: str

    @property
    def refuses(self) -> bool:
        return self.severity is Severity.REFUSES

    def __str__(self) -> str:
        word = "refused" if self.refuses else "note"
        return (
            f"{word}: {self.where}: {self.found}; needs {self.needed} - "
            f"{self.remedy} [{self.source}]"
        )


@dataclass(frozen=True, slots=True)
class Figure:
    """One number of a part; `plus_minus` is a 95 % half width where measurements reach it."""

    name: str
    value: float
    unit: str
    source: str = ""
    plus_minus: float | None = None

    def __str__(self) -> str:
        spread = "" if self.plus_minus is None else f" ± {digits(self.plus_minus, self.unit)}"
        return f"{self.name}: {digits(self.value, self.unit)}{spread} {self.unit}".rstrip()


@dataclass(frozen=True, slots=True)
class Table:
    """Numbers that are read side by side: a row a case, a column a thing; None where nothing was
    computed.

    `unit` is that of every column, or `units` those of each. The columns named in `signed` hold
    changes. `notes` are words, one a row, in a last column headed `noted`.
    """

    title: str
    unit: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, tuple[float | None, ...]], ...]
    source: str = ""
    units: tuple[str, ...] = ()
    signed: tuple[str, ...] = ()
    noted: str = ""
    notes: tuple[str, ...] = ()

    @property
    def unit_of(self) -> tuple[str, ...]:
        """The unit of each column."""
        return self.units or (self.unit,) * len(self.columns)

    def cell(self, row: int, column: int) -> str:
        """One number in words: empty where nothing was computed, and a change of nothing a 0.

        >>> table = Table("change", "mm", ("disc", "band"), (("wider", (4.996, -0.001)),),
        ...               signed=("disc", "band"))
        >>> table.cell(0, 0), table.cell(0, 1)
        ('+5.00', '0')
        """
        value = self.rows[row][1][column]
        if value is None:
            return ""
        words = digits(value, self.unit_of[column])
        if self.columns[column] not in self.signed:
            return words
        return f"{'+' if value > 0 else ''}{words}" if float(words) else "0"


@dataclass(frozen=True, slots=True)
class ChartLine:
    """One curve of a chart: its name and its points (across, up), in order."""

    name: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """Curves over one common quantity, such as clearance over the opening angle."""

    title: str
    across: str
    across_unit: str
    up: str
    up_unit: str
    lines: tuple[ChartLine, ...]
    source: str = ""


@dataclass(frozen=True, slots=True)
class Load:
    """One force or moment of a load case, its factor counted in: whose, how much, which way."""

    of: str
    value: float
    unit: str
    direction: str


@dataclass(frozen=True, slots=True)
class LoadCase:
    """What a part was screened for: `stands_for` says in words what happens on the vehicle.

    `factor` is what the loads were multiplied by, for shock or slamming; 1 for none.
    """

    name: str
    stands_for: str
    loads: tuple[Load, ...]
    factor: float
    source: str


def digits(value: float, unit: str) -> str:
    """A value with the decimals that make sense for its unit.

    >>> digits(95.9926, "deg"), digits(0.42680, "kg")
    ('95.99', '0.427')
    """
    places = {"mm": 2, "deg": 2, "kg": 3, "N": 0, "": 0, "mm2": 0, "mm3": 0}.get(unit, 2)
    return f"{value:.{places}f}"
