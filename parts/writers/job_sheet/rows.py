"""Figures, tables, bends and the cut list as rows of words."""

from __future__ import annotations

from dataclasses import dataclass

from parts.part import Piece, thickness_words
from parts.report import Figure, Table
from parts.sheet.allowance import Allowance
from parts.sheet.bend_rules import bend_deduction
from parts.sheet.bend_side import is_rolled
from parts.sheet.blank import Bend
from parts.writers.cut_rows import CutRow, holes_in_words
from parts.writers.figures import NO_APEX_DEG
from parts.writers.job_sheet.wording import name_words, piece_words, unit_words, value_words


@dataclass(frozen=True, slots=True)
class FigureRow:
    """A number with its ±, its unit and where it comes from."""

    name: str
    value: str
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class TableRows:
    """A table in words: head (name, unit) a column, rows of a name and its cells, of which the
    last, under `noted`, are words where `has_notes`."""

    title: str
    unit: str
    source: str
    heads: tuple[tuple[str, str], ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    noted: str
    has_notes: bool


@dataclass(frozen=True, slots=True)
class BendRow:
    """One bend as the folder needs it."""

    number: int
    name: str
    way: str
    turn: str
    included: str
    over: str
    radius: str
    allowance: str
    deduction: str
    source: str


@dataclass(frozen=True, slots=True)
class CutWords:
    """A row of the cut list in words."""

    piece: str
    quantity: int
    stock: str
    blank: str
    mass: str
    bends: str
    holes: str
    cut: str
    file: str


def figure_row(name: str, figure: Figure) -> FigureRow:
    return FigureRow(name, value_words(figure), unit_words(figure.unit), figure.source)


def table_row(title: str, table: Table) -> TableRows:
    columns = range(len(table.columns))
    noted = table.notes if any(table.notes) else ()
    return TableRows(
        title,
        "" if table.units else unit_words(table.unit),
        table.source,
        tuple(
            (name, unit_words(unit) if table.units else "")
            for name, unit in zip(table.columns, table.unit_of, strict=True)
        ),
        tuple(
            (
                name,
                (*(table.cell(row, column) for column in columns), *noted[row : row + 1]),
            )
            for row, (name, _) in enumerate(table.rows)
        ),
        table.noted,
        bool(noted),
    )


def bend_row(number: int, bend: Bend, allowance: Allowance, thickness: float) -> BendRow:
    turn_deg, rolled = abs(bend.turn_deg), is_rolled(bend, thickness)
    spread = f" ± {allowance.plus_minus_mm:.2f}" if allowance.plus_minus_mm is not None else ""
    deduction = ""
    if turn_deg <= NO_APEX_DEG and not rolled:
        length = bend_deduction(bend.radius, thickness, turn_deg, bend.allowance)
        deduction = f"{length:.2f}"
    return BendRow(
        number=number,
        name=name_words(bend.name),
        way=("▲ up" if bend.up else "▼ down") + (", rolled" if rolled else ""),
        turn=f"{turn_deg:.2f}°",
        included="" if rolled else f"{180 - turn_deg:.2f}°",
        over="" if allowance.over is None else f"{turn_deg + allowance.over.value:.2f}°",
        radius=f"{bend.radius:.2f}",
        allowance=f"{bend.allowance:.2f}{spread}",
        deduction=deduction,
        source=allowance.source,
    )


def cut_row(piece: Piece, row: CutRow) -> CutWords:
    bends = [f"{row.bends} folded"] * bool(row.bends) + [f"{row.rolls} rolled"] * bool(row.rolls)
    return CutWords(
        piece=piece_words(piece),
        quantity=row.quantity,
        stock=f"{row.material}, {thickness_words(row.thickness)} mm",
        blank=f"{row.wide:.1f} × {row.high:.1f}",
        mass=kg_words(row.mass_kg),
        bends=", ".join(bends) or "none",
        holes=holes_in_words(row).replace(" x ", " × ") or "none",
        cut=f"{row.cut_length / 1000:.2f} m, {row.pierces}",
        file=f"{row.stem}.dxf",
    )


def kg_words(mass: float) -> str:
    return f"{mass:.3f} kg"
