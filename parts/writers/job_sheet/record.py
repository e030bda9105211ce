"""The engineer's page: what was measured, what was taken for granted, what a screening gives.

It has empty fields for what only he can say, and nothing that looks like a stamp.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isfinite

from parts.part import Measurement, Part, Piece, Spot, thickness_words
from parts.report import Figure, Load, digits
from parts.writers.job_sheet.wording import piece_words, unit_words, value_words

UNCHECKED = 0.005  # share of a reading that the others check, below which none is
EXACT = 0.001  # mm of ± below which a value is the datum itself
SMALL = 0.005  # mm that rounds to none
GIVEN = ("given", "assumed", "taken")  # how the source of a value begins that nobody measured
EMPTY = (
    "Grade certificate", "Weld procedure", "Load case agreed", "Remarks", "Name", "Date",
    "Signature",
)  # fmt: skip
ASSUMED = "assumed: "  # begins what a note says of loads, which stand among the load cases
MOST = 99.99  # greatest reserve that is told


@dataclass(frozen=True, slots=True)
class Reading:
    """One measured value: what was read, its ±, what the others would add, how far they check."""

    name: str
    read: str
    plus_minus: str
    added: str
    checked: str


@dataclass(frozen=True, slots=True)
class Check:
    """One row of the screening."""

    name: str
    found: str
    limit: str
    unit: str
    reserve: str
    holds: bool
    note: str
    source: str


@dataclass(frozen=True, slots=True)
class Case:
    """One load case: its name, what it stands for, its loads in words, its factor."""

    name: str
    stands_for: str
    loads: tuple[str, ...]
    factor: str
    source: str


@dataclass(frozen=True, slots=True)
class Record:
    """The engineer's page."""

    readings: tuple[Reading, ...]
    datum: tuple[str, ...]
    given: tuple[tuple[str, str], ...]
    spots: tuple[tuple[str, tuple[str, ...]], ...]
    materials: tuple[tuple[str, str, str, str], ...]
    assumptions: tuple[str, ...]
    cases: tuple[Case, ...]
    screened: tuple[tuple[str, tuple[Check, ...]], ...]
    empty: tuple[str, ...]


def record_of(part: Part) -> Record:
    """The engineer's page of a part."""
    return Record(
        readings=tuple(_reading(one) for one in part.measurements if not exact(one)),
        datum=tuple(f"{one.name} {one.measured:g}" for one in part.measurements if exact(one)),
        given=part.as_given,
        spots=tuple(_spot(spot) for spot in part.spots),
        materials=tuple(_materials(part.pieces)),
        assumptions=tuple(_assumptions(part)),
        cases=tuple(
            Case(case.name, case.stands_for, tuple(map(_load, case.loads)), f"{case.factor:g}",
                 case.source)
            for case in part.load_cases
        ),
        screened=tuple(_screened(part.pieces)),
        empty=EMPTY,
    )


def exact(one: Measurement) -> bool:
    """Whether the value is no reading but the datum itself."""
    return one.plus_minus < EXACT


def unchecked(one: Measurement) -> bool:
    """Whether the other readings say nothing of this one: its residual is 0 whatever it is."""
    if exact(one) or not one.used:
        return False
    return one.redundancy is not None and one.redundancy < UNCHECKED


def _reading(one: Measurement) -> Reading:
    if unchecked(one):
        added, checked = "", "by none"
    else:
        added = f"{one.residual:+.2f}" if abs(one.residual) >= SMALL else "0.00"
        checked = "" if one.redundancy is None else f"{100 * one.redundancy:.0f} %"
    checked = checked if one.used else "set aside"
    return Reading(one.name, f"{one.measured:.1f}", f"{one.plus_minus:.2f}", added, checked)


def _spot(spot: Spot) -> tuple[str, tuple[str, ...]]:
    cells = (
        f"{value:.1f} ± {spread:.2f}"
        for value, spread in zip(spot.at, spot.plus_minus, strict=True)
    )
    return spot.name, tuple(cells)


def _materials(pieces: Sequence[Piece]) -> Iterator[tuple[str, str, str, str]]:
    """Each material: its sheets, its least yield and tensile strength, and who says so."""
    for metal in dict.fromkeys(piece.stock.material for piece in pieces):
        sheets = sorted({p.stock.thickness for p in pieces if p.stock.material == metal})
        yield (
            f"{metal.name}, {' and '.join(map(thickness_words, sheets))} mm",
            f"{metal.yield_mpa:g} MPa",
            f"{metal.ultimate_mpa:g} MPa",
            metal.source,
        )


def _assumptions(part: Part) -> Iterator[str]:
    """What the numbers rest on that was not measured."""
    yield "The material is what the job file says, with the least strength its standard promises."
    books = dict.fromkeys(one.source for piece in part.pieces for one in piece.allowances)
    if books:
        yield f"Length of sheet in the bends: {'; '.join(books)}."
    yield from (f"{words[:1].upper()}{words[1:]}." for words in part.assumptions)
    for figure in part.figures:
        if figure.source.startswith(GIVEN):
            yield _given(figure)


def _given(figure: Figure) -> str:
    unit = unit_words(figure.unit)
    return f"{figure.name}: {value_words(figure)} {unit}".rstrip() + f" ({figure.source})"


def _load(load: Load) -> str:
    """A load in words.

    >>> _load(Load("on the joint", 12000.0, "N", "pull"))
    'on the joint 12000 N, pull'
    """
    value = f"{digits(load.value, load.unit)} {unit_words(load.unit)}"
    return f"{load.of} {value}, {load.direction}"


def _screened(pieces: Sequence[Piece]) -> Iterator[tuple[str, tuple[Check, ...]]]:
    """The screening of every piece; pieces whose rows are all the same, such as a left and a
    right, share one table."""
    alike: dict[tuple[Check, ...], list[str]] = {}
    for piece in pieces:
        if piece.screens:
            alike.setdefault(tuple(_checks(piece)), []).append(piece_words(piece))
    yield from ((" and ".join(names), rows) for rows, names in alike.items())


def _checks(piece: Piece) -> Iterator[Check]:
    for screen in piece.screens:
        words = screen.limit_words
        reserve = min(screen.reserve, MOST) if isfinite(screen.reserve) else MOST
        yield Check(
            screen.name,
            f"{screen.found:.1f}",
            f"{words} {screen.limit:.1f}",
            unit_words(screen.unit),
            f"{reserve:.2f}",
            screen.holds,
            screen.note.partition(ASSUMED)[0].rstrip("; "),
            screen.source,
        )
