"""Blanks laid by their boxes: quick, and the same every time.

Many orders and rules of packing are tried; the fewest sheets win, then the shortest length of the
last one. Sizes are given to the packer in whole micrometres.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import ceil, prod
from typing import Any

from parts.nesting.boxes import Box, fitting, put
from parts.nesting.given import Size
from parts.nesting.model import Placed, Rules, Sheet, Wanted

PER_MM = 1000
PACKERS = ("MaxRectsBl", "MaxRectsBssf", "MaxRectsBaf", "SkylineBlWm")
ORDERS = ("SORT_AREA", "SORT_LSIDE", "SORT_SSIDE", "SORT_PERI")
FEW = 60  # copies; more are tried in fewer ways, for packing grows dear with their number
STEPS = 10  # halvings of the length of the last sheet

Copy = tuple[int, int]  # number of the wanted blank, and which of its copies
Sides = tuple[int, int]  # along and across, micrometres, the gap added


@dataclass(frozen=True, slots=True)
class Way:
    """One way to pack: by which rule, in which order, along which side of the sheet, and how
    blanks lie that may be turned while others may not: "" where the packer turns all."""

    packer: str
    order: str
    across: bool
    long_side: str


def lay(
    wanted: Sequence[Wanted], copies: Sequence[Copy], size: Size, rules: Rules
) -> tuple[Sheet, ...]:
    """The copies, at least one, on as many sheets of one size as they take; each of them must fit
    (ValueError)."""
    margin, gap = rules.margin.value, rules.gap.value
    room = (size[0] - 2 * margin, size[1] - 2 * margin)
    ways_to_lie = {number: fitting(wanted[number], room) for number, _ in copies}
    for number, boxes in ways_to_lie.items():
        if not boxes:
            raise ValueError(f"{wanted[number].name} does not fit a sheet of {size}")
    bin_sides = (_micro(room[0] + gap, down=True), _micro(room[1] + gap, down=True))
    ways = tuple(_ways(wanted, ways_to_lie, len(copies)))
    best: tuple[tuple[int, int], list[list[_Lain]]] | None = None
    for way in ways:
        bins = _packed(copies, ways_to_lie, bin_sides, gap, way)
        if sum(map(len, bins)) < len(copies):
            continue
        score = (len(bins), _length(bins[-1]))
        if best is None or score < best[0]:
            best = (score, bins)
    assert best is not None, "each copy fits a sheet of its own"
    bins = best[1]
    bins[-1] = _tightened(bins[-1], ways_to_lie, bin_sides, gap, ways)
    return tuple(Sheet(size, tuple(_placed(one, wanted, margin) for one in lain)) for lain in bins)


@dataclass(frozen=True, slots=True)
class _Lain:
    """A copy as packed: its box, its corner and its sides, micrometres."""

    copy: Copy
    box: Box
    low: Sides
    sides: Sides


def _micro(length: float, down: bool = False) -> int:
    """Whole micrometres, up or down, a hair forgiven."""
    return int(length * PER_MM + 1e-2) if down else ceil(length * PER_MM - 1e-2)


def _ways(
    wanted: Sequence[Wanted], ways_to_lie: dict[int, tuple[Box, ...]], count: int
) -> Iterator[Way]:
    kept = any(wanted[number].grain_deg is not None for number in ways_to_lie)
    free = any(wanted[number].grain_deg is None for number in ways_to_lie)
    long_sides = ("",) if not kept else ("along", "across") if free else ("along",)
    packers, orders = (PACKERS, ORDERS) if count <= FEW else (PACKERS[-1:], ORDERS[:2])
    for across, long_side, packer, order in product((False, True), long_sides, packers, orders):
        yield Way(packer, order, across, long_side)


def _box_for(boxes: tuple[Box, ...], long_side: str) -> Box:
    """The way a blank lies before the packer turns it, if it may."""
    if long_side == "across":
        return min(boxes, key=lambda one: (one.along, one.turn_deg))
    if long_side == "along":
        return max(boxes, key=lambda one: (one.along, -one.turn_deg))
    return boxes[0]


def _packed(
    copies: Sequence[Copy],
    ways_to_lie: dict[int, tuple[Box, ...]],
    bin_sides: Sides,
    gap: float,
    way: Way,
) -> list[list[_Lain]]:
    """The copies by sheet, in order; a copy that the packer leaves out is in none."""
    import rectpack

    packer: Any = rectpack.newPacker(
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=getattr(rectpack, way.packer),
        sort_algo=getattr(rectpack, way.order),
        rotation=not way.long_side,
    )
    chosen = {number: _box_for(boxes, way.long_side) for number, boxes in ways_to_lie.items()}
    for index, (number, _) in enumerate(copies):
        one = chosen[number]
        sides = (_micro(one.along + gap), _micro(one.across + gap))
        packer.add_rect(*_turned(sides, way.across), rid=index)
    packer.add_bin(*_turned(bin_sides, way.across), count=len(copies))
    packer.pack()
    found: dict[int, list[_Lain]] = {}
    for number_of_bin, x, y, along, across, index in packer.rect_list():
        low, sides = _turned((x, y), way.across), _turned((along, across), way.across)
        copy = copies[index]
        one = chosen[copy[0]]
        if sides[0] != _micro(one.along + gap):
            one = Box((one.turn_deg + 90.0) % 360.0, one.across, one.along)
        found.setdefault(number_of_bin, []).append(_Lain(copy, one, low, sides))
    return [found[key] for key in sorted(found)]


def _turned(sides: Sides, across: bool) -> Sides:
    return (sides[1], sides[0]) if across else sides


def _length(lain: Sequence[_Lain]) -> int:
    return max(one.low[0] + one.sides[0] for one in lain)


def _tightened(
    lain: list[_Lain],
    ways_to_lie: dict[int, tuple[Box, ...]],
    bin_sides: Sides,
    gap: float,
    ways: Sequence[Way],
) -> list[_Lain]:
    """The same copies on as short a length of the sheet as is found by halving."""
    copies = sorted(one.copy for one in lain)
    lying = {number: ways_to_lie[number] for number, _ in copies}
    low, best = 0, lain
    for _ in range(STEPS):
        high = _length(best)
        middle = (low + high) // 2
        if high - low <= PER_MM:
            break
        found = _within(copies, lying, (middle, bin_sides[1]), gap, ways)
        if found is None:
            low = middle
        else:
            best = found
    return best


def _within(
    copies: Sequence[Copy],
    ways_to_lie: dict[int, tuple[Box, ...]],
    bin_sides: Sides,
    gap: float,
    ways: Sequence[Way],
) -> list[_Lain] | None:
    """All copies on one sheet of that size by the first way that does it, or None."""
    boxes = (ways_to_lie[number][0] for number, _ in copies)
    if sum(_micro(one.along + gap) * _micro(one.across + gap) for one in boxes) > prod(bin_sides):
        return None
    for way in ways:
        bins = _packed(copies, ways_to_lie, bin_sides, gap, way)
        if len(bins) == 1 and len(bins[0]) == len(copies):
            return bins[0]
    return None


def _placed(one: _Lain, wanted: Sequence[Wanted], margin: float) -> Placed:
    low = (margin + one.low[0] / PER_MM, margin + one.low[1] / PER_MM)
    number, copy = one.copy
    return put(wanted[number], number, copy, one.box.turn_deg, low)
