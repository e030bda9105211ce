"""What hangs on a bend that is made: the regions on either side of it, and what lies between."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from parts.place import Place
from parts.sheet.bend_lines import bend_lines
from parts.sheet.bend_side import Span
from parts.sheet.bent import beyond
from parts.sheet.fold import Folded, Region, Side, neighbours
from parts.sheet.fold_order.convex import Array, convex_pieces
from parts.sheet.fold_order.units import Unit


@dataclass(frozen=True, slots=True)
class Hanging:
    """A region on one side of a unit (+1 ahead of its first bend, -1 behind).

    `crossed` are the bends between, from the unit outward, each with whether it is passed from
    its start to its end; `mask` has the bits of all whose state moves or shapes the region.
    """

    region: int
    side: int
    crossed: tuple[tuple[int, bool], ...]
    mask: int


@dataclass(frozen=True, eq=False)
class Metal:
    """The folded sheet, and what its regions are made of."""

    folded: Folded

    @cached_property
    def pieces(self) -> tuple[tuple[Array, ...], ...]:
        """The convex pieces of every region, flat."""
        return tuple(convex_pieces(region.curves[0]) for region in self.folded.regions)

    @cached_property
    def moves(self) -> tuple[Place, ...]:
        """What every bend does to the flat beyond it."""
        blank = self.folded.blank
        return tuple(beyond(bend, blank.thickness) for bend in blank.bends)


def hanging(folded: Folded, unit: Unit) -> tuple[Hanging, ...]:
    """Every region that a stroke swings, from the bend outward."""
    beside, bends = neighbours(folded), folded.blank.bends
    first = bends[unit.bends[0]]
    found: dict[int, Hanging] = {}
    own = {i for i, region in enumerate(folded.regions) if region.bend in unit.bends}
    for i in sorted(own):
        for side in _fold_sides(folded.regions[i]):
            number, which = side.fold or (0, 0)
            alike = _dot(bends[number].across, first.across) > 0
            j = beside.across(side)
            if j not in own:
                found.setdefault(j, Hanging(j, 1 if alike == bool(which) else -1, (), 0))
    waiting = list(found)
    for i in waiting:
        one = found[i]
        for side in _fold_sides(folded.regions[i]):
            j = beside.across(side)
            if j in found or j in own:
                continue
            number, which = side.fold or (0, 0)
            leaves = folded.regions[i].bend is not None
            crossed = (*one.crossed, (number, leaves)) if which else one.crossed
            found[j] = Hanging(j, one.side, crossed, one.mask | 1 << number)
            waiting.append(j)
    return tuple(found.values())


def stretches_of(folded: Folded, unit: Unit) -> tuple[Span, ...]:
    """Where along the first bend of a unit there is metal to bend."""
    first = folded.blank.bends[unit.bends[0]]
    found = sorted(
        (min(ends), max(ends))
        for number in unit.bends
        for line in bend_lines(folded, number)
        for ends in [(first.beside(line.start), first.beside(line.end))]
    )
    return tuple(found)


def _fold_sides(region: Region) -> Iterator[Side]:
    return (side for loop in region.loops for side in loop if side.fold is not None)


def _dot(a: tuple[float, float], b: tuple[float, float]) -> float:
    return a[0] * b[0] + a[1] * b[1]
