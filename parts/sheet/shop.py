"""What the shop can do: its stock with tooling, its machines' limits, and limits by the book."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor

from parts.report import Severity
from parts.sheet.stock import Stock
from parts.tables import UnknownName, rows

SLACK = 1e-6  # mm; a limit missed by less than this is kept


@dataclass(frozen=True, slots=True)
class Rack:
    """Stock with the tooling and sheet it is worked with; None: not stated by the shop."""

    stock: Stock
    die_v: float | None = None
    inside_radius: float | None = None
    sheet: tuple[float, float] | None = None  # along the grain, across it


@dataclass(frozen=True, slots=True)
class Shop:
    """Limits of the shop's machines and of its cutting service; None or (): not stated."""

    folder_length: float | None = None
    press_force_kn: float | None = None
    sheets: tuple[tuple[float, float], ...] = ()  # along the grain, across it
    least_hole: float | None = None
    least_slot: float | None = None
    least_gap: float | None = None
    most_turn_deg: float | None = None  # from flat, on the brake's own punch and die
    punch_room: float | None = None  # inside depth over inside width of the deepest channel
    punch_thickness: float | None = None
    roller_length: float | None = None
    punch_height: float | None = None  # of the tallest punch, tip to clamp
    die_height: float | None = None  # of the tallest die, over the table
    die_shoulder: float | None = None  # top of the narrowest die beside its V, on either side


@dataclass(frozen=True, slots=True)
class Limit:
    """The least that something may be, in mm; `rule` is how it comes about ("2t + R")."""

    least: float
    rule: str
    severity: Severity
    source: str

    def __str__(self) -> str:
        return f"{self.least:.2f} mm ({self.rule})" if self.rule else f"{self.least:.2f} mm"


@dataclass(frozen=True, slots=True)
class Shortfall:
    """The gravest limit that is missed, and by how much to change to keep all of them, mm."""

    limit: Limit
    by: float


def limits(
    name: str,
    thickness: float,
    radius: float = 0.0,
    die_v: float = 0.0,
    stated: float | None = None,
) -> tuple[Limit, ...]:
    """The rows of cutting_limits.csv called `name`, worked out; one that the shop states wins.

    >>> [str(limit) for limit in limits("hole to bend", 3, radius=4)]
    ['10.00 mm (2t + R)']
    >>> [str(limit) for limit in limits("web", 3, stated=2)]
    ['2.00 mm']

    Raises UnknownName for a name without a row.
    """
    ours = [row for row in rows("cutting_limits") if row["name"] == name]
    if not ours:
        known = [row["name"] for row in rows("cutting_limits")]
        raise UnknownName("limit", name, "cutting_limits.csv", known)
    if stated is not None:
        return (Limit(stated, "", Severity.REFUSES, "the shop's own limit"),)
    sizes = {"per_thickness": (thickness, "t"), "per_radius": (radius, "R")}
    sizes["per_die_v"] = (die_v, "V")
    found: list[Limit] = []
    for row in ours:
        terms = [(float(row[column]), size, word)
                 for column, (size, word) in sizes.items() if row[column]]  # fmt: skip
        least = sum(factor * size for factor, size, _ in terms)
        floor_mm = float(row["least_mm"] or 0)
        rule = " + ".join(word if factor == 1 else f"{factor:g}{word}"
                          for factor, _, word in terms)  # fmt: skip
        severity = Severity.REFUSES if row["severity"] == "refuse" else Severity.MENTIONS
        if floor_mm > least:
            least, rule = floor_mm, ""
        found.append(Limit(least, rule, severity, row["source"]))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Bound:
    """One limit of the brake: its value, what passing it does, who says so."""

    value: float
    severity: Severity
    source: str


def bounds(name: str, stated: float | None = None) -> tuple[Bound, ...]:
    """The rows of brake_limits.csv called `name`, the gravest first; one the shop states wins.

    >>> [bound.value for bound in bounds("punch room")]
    [1.5, 0.5]
    >>> bounds("most turn", 150)[0].source
    "the shop's own limit"
    """
    if stated is not None:
        return (Bound(stated, Severity.REFUSES, "the shop's own limit"),)
    found = [
        Bound(
            float(row["value"]),
            Severity.REFUSES if row["severity"] == "refuse" else Severity.MENTIONS,
            row["source"],
        )
        for row in rows("brake_limits")
        if row["name"] == name
    ]
    return tuple(sorted(found, key=lambda bound: bound.severity is Severity.MENTIONS))


def shortfall(found: float, against: Iterable[Limit]) -> Shortfall | None:
    """The gravest limit that `found` stays under, or None.

    >>> short = shortfall(1.2, limits("web", 3))  # half of 3 refuses, all of 3 is mentioned
    >>> short.limit.severity.value, short.by
    ('refuses', 1.8)
    """
    missed = [limit for limit in against if found < limit.least - SLACK]
    if not missed:
        return None
    gravest = max(missed, key=lambda limit: (limit.severity is Severity.REFUSES, limit.least))
    return Shortfall(gravest, tenths_up(max(limit.least for limit in missed) - found))


def tenths_up(length: float) -> float:
    """The length in whole tenths of a millimetre, rounded up: what a remedy asks for.

    >>> tenths_up(1.21), tenths_up(0.3)
    (1.3, 0.3)
    """
    return ceil(length * 10 - 10 * SLACK) / 10


def shown(length: float) -> str:
    """A length that is found, cut off to two places: one that is short never looks enough.

    >>> shown(13.9999), shown(14.0)
    ('13.99 mm', '14.00 mm')
    """
    return f"{floor(length * 100 + 1e-4) / 100:.2f} mm"
