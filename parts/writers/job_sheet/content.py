"""What the page says, as rows of words: all that is not a picture."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import isfinite

from parts.buying import NO_RATES, cost_of_parts
from parts.part import Measurement, Part, Piece, thickness_words
from parts.report import Finding
from parts.trade.cost import CostTable
from parts.writers.cut_rows import cut_rows
from parts.writers.job_sheet import filing
from parts.writers.job_sheet.filing import Filed
from parts.writers.job_sheet.record import Record, exact, record_of, unchecked
from parts.writers.job_sheet.rows import (
    BendRow,
    CutWords,
    FigureRow,
    TableRows,
    bend_row,
    cut_row,
    figure_row,
    kg_words,
    table_row,
)
from parts.writers.job_sheet.wording import HANDS, hand_of, name_words, piece_words

GENERAL = (
    "Made from measurements given by the user. Check the first part against the vehicle before "
    "the rest is cut. This page certifies nothing: local vehicle rules and a licensed engineer "
    "decide what may be fitted to a road vehicle."
)


@dataclass(frozen=True, slots=True)
class Hand:
    """The figures and tables of one hand, or of none."""

    name: str
    figures: tuple[FigureRow, ...]
    tables: tuple[TableRows, ...]


@dataclass(frozen=True, slots=True)
class PieceRows:
    """All that is said of one piece."""

    title: str
    stem: str
    facts: tuple[tuple[str, str], ...]
    bends: tuple[BendRow, ...]
    figures: tuple[FigureRow, ...]
    files: tuple[Filed | None, ...]


@dataclass(frozen=True, slots=True)
class Compared:
    """Values to hold against the vehicle or the first piece: whose, and which."""

    of: str
    figures: tuple[FigureRow, ...]


@dataclass(frozen=True, slots=True)
class Cost:
    """What it costs, as a table, or None without rates; and in sentences what is not in it."""

    table: TableRows | None
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The words of the whole page."""

    title: str
    job: str
    facts: tuple[tuple[str, str], ...]
    note: str
    general: str
    summary: tuple[str, ...]
    notes: tuple[Finding, ...]
    cautions: tuple[str, ...]
    checks: tuple[str, ...]
    compared: tuple[Compared, ...]
    cut: tuple[CutWords, ...]
    mass: str
    cost: Cost
    pieces: tuple[PieceRows, ...]
    hands: tuple[Hand, ...]
    charts: tuple[tuple[str, str], ...]
    files: tuple[Filed, ...]
    of_each: tuple[tuple[str, str], ...]
    readings: str
    record: Record


def of(part: Part) -> Sheet:
    """The words of a part's page."""
    rows = cut_rows(part)
    return Sheet(
        title=name_words(part.name),
        job=name_words(part.job),
        facts=tuple(_facts(part)),
        note=part.note,
        general=GENERAL,
        summary=part.summary,
        notes=tuple(sorted(part.findings, key=lambda finding: not finding.refuses)),
        cautions=part.cautions,
        checks=tuple(dict.fromkeys(checks_of(part))),
        compared=tuple(_compared(part)),
        cut=tuple(cut_row(piece, row) for piece, row in zip(part.pieces, rows, strict=True)),
        mass=kg_words(sum(row.mass_kg * row.quantity for row in rows)),
        cost=cost_words(cost_of_parts([part], part.rates, part.nesting)),
        pieces=tuple(_piece(part, piece) for piece in part.pieces),
        hands=tuple(_hands(part)),
        charts=tuple((chart.title, chart.source) for chart in part.charts),
        files=filing.of_part(part),
        of_each=tuple((what, reader) for _, what, reader in filing.OF_PIECE),
        readings=_readings(part.measurements),
        record=record_of(part),
    )


def cost_words(found: CostTable | None) -> Cost:
    """A cost as the page tells it."""
    if found is None:
        return Cost(None, (NO_RATES,))
    table = found.table()
    return Cost(table_row(table.title, table), found.missing)


def _facts(part: Part) -> Iterator[tuple[str, str]]:
    hands = [hand for hand in dict.fromkeys(piece.hand for piece in part.pieces) if hand]
    count = sum(piece.quantity for piece in part.pieces)
    yield "What it is", name_words(part.kind)
    yield "Hand", f"{' and '.join(hands)}, seen from the driver's seat" if hands else "none"
    yield "Pieces to cut", str(count)
    yield "Date of the job", part.made_on.isoformat() if part.made_on else "none given"
    if part.vehicle:
        yield "Vehicle", part.vehicle
    if part.stance:
        yield "How it stood when measured", part.stance


def checks_of(part: Part) -> Iterator[str]:
    """What to do on the vehicle with the first of each, before the rest is cut."""
    hands = [hand for hand in dict.fromkeys(piece.hand for piece in part.pieces) if hand]
    first = "Cut one of each piece, or the same in card by its paper template, and offer it up"
    yield f"{first}, each hand on its own side." if len(hands) > 1 else f"{first}."
    for piece in part.pieces:
        yield f"{piece_words(piece).capitalize()}: the drawn face looks {piece.faces}."
    if any(piece.blank.bends for piece in part.pieces):
        yield "Every bend goes the way its row says, up or down, and turns as far as it says."
    if any(piece.blank.cutouts for piece in part.pieces):
        yield "Every hole and slot meets what it is for, by hand, with no bolt forced."
    yield from measure_again(part.measurements)
    for finding in part.findings:
        yield f"{finding.where}: {finding.remedy}."


def measure_again(measurements: Iterable[Measurement]) -> Iterator[str]:
    """Readings that want a second look before anything is cut."""
    known = dict.fromkeys(measurements)
    aside = [one.name for one in known if not one.used]
    alone = [one.name for one in known if unchecked(one)]
    if alone:
        yield f"Measure again, for no other reading checks it: {', '.join(alone)}."
    if aside:
        yield f"Measure again, for it was set aside: {', '.join(aside)}."


def _compared(part: Part) -> Iterator[Compared]:
    """The figures that measurements reach, which the vehicle or the first piece can answer."""
    for of, figures in (
        ("on the vehicle", part.figures),
        *((f"on the {piece_words(piece)}", piece.figures) for piece in part.pieces),
    ):
        rows = tuple(figure_row(figure.name, figure) for figure in figures if figure.plus_minus)
        if rows:
            yield Compared(of, rows)


def _piece(part: Part, piece: Piece) -> PieceRows:
    return PieceRows(
        piece_words(piece),
        part.stem(piece),
        tuple(_piece_facts(piece)),
        tuple(
            bend_row(number, bend, allowance, piece.stock.thickness)
            for number, (bend, allowance) in enumerate(
                zip(piece.blank.bends, piece.allowances, strict=True), start=1
            )
        ),
        tuple(figure_row(figure.name, figure) for figure in piece.figures),
        filing.of_piece(part, piece),
    )


def _piece_facts(piece: Piece) -> Iterator[tuple[str, str]]:
    stock = piece.stock
    yield "Stock", f"{stock.material.name}, {thickness_words(stock.thickness)} mm"
    yield "Quantity", str(piece.quantity)
    yield "Mass of one", kg_words(piece.mass_kg)
    yield "Drawn face", piece.faces
    if piece.die_used is not None:
        yield "Die", f"V {piece.die_used.value:g}, {piece.die_used.source}"
    if piece.screens:
        least = min(piece.screens, key=lambda screen: screen.reserve)
        yield (
            "Least reserve",
            f"{least.reserve:.2f} ({least.name}); rough, for an assumed load; holds from 1 up",
        )


def _hands(part: Part) -> Iterator[Hand]:
    for hand in ("", *HANDS):
        figures = tuple(
            figure_row(rest, figure)
            for figure in part.figures
            for whose, rest in [hand_of(figure.name)]
            if whose == hand
        )
        tables = tuple(
            table_row(rest, table)
            for table in part.tables
            for whose, rest in [hand_of(table.title)]
            if whose == hand
        )
        if figures or tables:
            yield Hand(f"{hand} hand" if hand else "", figures, tables)


def _readings(measured: Iterable[Measurement]) -> str:
    """The measured values in a sentence."""
    shown = [one for one in measured if not exact(one)]
    if not shown:
        return ""
    checked = [one for one in shown if one.used and not unchecked(one) and isfinite(one.residual)]
    words = f"{len(shown)} readings were taken"
    if checked:
        worst = max(checked, key=lambda one: abs(one.residual))
        words += (
            f"; {len(checked)} are checked by others, which disagree most with {worst.name}, by "
            f"{abs(worst.residual):.2f} mm of ± {worst.plus_minus:.2f}"
        )
    return f"{words}."
