"""What a job buys: the sheets its blanks take, and what all costs by the user's own rates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from parts.nesting.boxes import boxes_of
from parts.nesting.given import Given, Size
from parts.nesting.lay import nest_of
from parts.nesting.model import Nest, Wanted
from parts.nesting.rules import rules_for
from parts.part import Part, Piece
from parts.sheet.bend_side import is_rolled
from parts.sheet.grain import grain_of
from parts.sheet.loop import length
from parts.trade.cost import COUNTS, CostPiece, CostTable, Rates, SheetUse, cost_of


def nests_of(parts: Sequence[Part], given: Given, times: int = 1) -> tuple[Nest, ...]:
    """A nest for each material and thickness, in the order the parts ask for them; `times` is how
    often every part is made."""
    groups: dict[tuple[str, float], list[tuple[Part, Piece]]] = {}
    for part in parts:
        for piece in part.pieces:
            key = (piece.stock.material.name, round(piece.stock.thickness, 6))
            groups.setdefault(key, []).append((part, piece))
    return tuple(_nest(of, given, times) for of in groups.values())


def _nest(of: Sequence[tuple[Part, Piece]], given: Given, times: int) -> Nest:
    stock = of[0][1].stock
    own: tuple[Size, ...] = tuple(
        dict.fromkeys(piece.sheet for _, piece in of if piece.sheet is not None)
    )
    return nest_of(
        stocks=tuple(dict.fromkeys(piece.stock.name for _, piece in of)),
        material=stock.material.name,
        thickness=stock.thickness,
        wanted=[wanted_of(part.name, piece, times) for part, piece in of],
        rules=rules_for(stock.thickness, own, given),
        seconds=given.seconds if given.true_shape else 0,
    )


def wanted_of(part: str, piece: Piece, times: int = 1) -> Wanted:
    """A piece as it is wanted from the sheet."""
    grain = grain_of(piece.folded, piece.stock.material)
    return Wanted(
        part=part,
        piece=piece.name,
        hand=piece.hand,
        outline=piece.blank.outline,
        openings=tuple(cutout.loop for cutout in piece.blank.cutouts),
        quantity=piece.quantity * times,
        grain_deg=None if grain is None else grain.angle_deg,
    )


def cost_pieces(part: Part) -> tuple[CostPiece, ...]:
    """The pieces of a part as they are paid for."""
    return tuple(_cost_piece(part, piece) for piece in part.pieces)


def _cost_piece(part: Part, piece: Piece) -> CostPiece:
    blank = piece.blank
    box = boxes_of(wanted_of(part.name, piece))[0]
    rolls = sum(is_rolled(bend, blank.thickness) for bend in blank.bends)
    return CostPiece(
        part=part.name,
        name=f"{piece.name} {piece.hand}".strip(),
        stock=piece.stock.name,
        quantity=piece.quantity,
        box_kg=box.area / 1e6 * piece.stock.mass_kg_m2,
        cut_length=sum(length(loop) for loop in blank.loops),
        pierces=len(blank.loops),
        bends=len(blank.bends) - rolls,
        rolls=rolls,
    )


def cost_of_parts(parts: Sequence[Part], rates: Rates | None, given: Given) -> CostTable | None:
    """What the parts cost together by the rates; None where none are given.

    Sheets are counted by a nest of boxes, for each number off and each stock by itself.
    """
    if rates is None:
        return None
    rows = [row for part in parts for row in cost_pieces(part)]
    return cost_of(rows, rates, _sheets(parts, rates, given))


def _sheets(parts: Sequence[Part], rates: Rates, given: Given) -> dict[str, SheetUse]:
    """Sheets of every stock that is paid for by its nest and whose blanks all fit."""
    given = replace(given, true_shape=False)
    used: dict[str, SheetUse] = {}
    for stock in dict.fromkeys(piece.stock.name for part in parts for piece in part.pieces):
        by_nest = stock in rates.sheet_each or rates.sheet_yield is None
        if not by_nest or stock not in {**rates.sheet_per_kg, **rates.sheet_each}:
            continue
        of = [(part, p) for part in parts for p in part.pieces if p.stock.name == stock]
        nests = [_nest(of, given, count) for count in COUNTS]
        if any(nest.left_over for nest in nests):
            continue
        kg = of[0][1].stock.mass_kg_m2 * nests[0].sheets[0].area / 1e6
        used[stock] = SheetUse(tuple(_count(nest, rates, nests[0].sheets[0].area)
                                     for nest in nests), kg)  # fmt: skip
    return used


def _count(nest: Nest, rates: Rates, area: float) -> float:
    """Sheets of that area, whole or less the strip that is left of the last."""
    whole = sum(sheet.area for sheet in nest.sheets)
    if not rates.whole_sheets and nest.off_cut is not None:
        whole -= nest.off_cut.strip * nest.sheets[-1].size[1]
    return whole / area


NO_RATES = (
    "No cost: give your own rates in [rates] of the job file, such as sheet_per_kg, "
    "cut_per_metre, pierce_each, bend_each, per_hour and hours."
)
