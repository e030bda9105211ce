"""Depth first through the bends that are left, every beginning that leads nowhere kept in mind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from parts.sheet.blank import Bend
from parts.sheet.fold_order.clearing import Clear, Clearing, Strike
from parts.sheet.fold_order.gauge import swing_deg

MOST_TRIES = 1100  # strokes that are looked at anew before the search goes about it another way
WAYS = ("outside in", "end to end", "inside out")  # which bend is tried first

Path = tuple[tuple[int, Clear], ...]


class GivenUp(Exception):
    """The search was stopped."""


@dataclass(frozen=True, slots=True)
class Beginning:
    """Bends `made` (bits), the unit made `last`, how often it may still be turned over, and how
    many strokes may still take an unusual tool."""

    made: int = 0
    last: int | None = None
    flips: int = 0
    unusual: int = 0


@dataclass(eq=False)
class Search:
    """One search: what is known of every stroke, and how many were looked at.

    `furthest` has the bits of the bends of the longest beginning that was found. `dead` holds for
    every state how many times turned over were still too few.
    """

    clearing: Clearing
    tries: int = 0
    furthest: int = 0
    dead: dict[tuple[int, bool, int, bool | None], int] = field(default_factory=dict)

    def best(self) -> Path | None:
        """The order that is liked best, as numbers of units, or None; raises GivenUp."""
        some = self._some()
        if some is None:
            return None
        count = len(self.clearing.units)
        self.tries = 0
        try:
            for unusual in range(count + 1):
                if self._onward(Beginning(flips=count, unusual=unusual), False, WAYS[0]) is None:
                    continue
                for flips in range(count + 1):
                    for straight in (True, False):
                        begun = Beginning(flips=flips, unusual=unusual)
                        path = self._onward(begun, straight, WAYS[0])
                        if path is not None:
                            return path
        except GivenUp:
            pass  # no better one was found in time
        return some

    def _some(self) -> Path | None:
        """Any order, or None where there is none; raises GivenUp when no way leads to either."""
        count = len(self.clearing.units)
        for way in WAYS:
            self.tries = 0
            try:
                return self._onward(Beginning(flips=count, unusual=count), False, way)
            except GivenUp:
                continue
        raise GivenUp

    def strikes(self) -> Iterator[Strike]:
        """What stops each bend that is left, once the longest beginning is made."""
        for number, unit in enumerate(self.clearing.units):
            if not unit.mask & self.furthest:
                found = self.clearing.strike(number, self.furthest)
                if found is not None:
                    yield found

    def _onward(self, begun: Beginning, straight: bool, way: str) -> Path | None:
        """The rest of an order, on straight punches or on any."""
        if begun.made == self._all:
            return ()
        up = None if begun.last is None else self._firsts[begun.last].up
        state = (begun.unusual, straight, begun.made, up)
        if begun.flips <= self.dead.get(state, self._least_flips(begun.made, up) - 1):
            return None
        if begun.made.bit_count() > self.furthest.bit_count():
            self.furthest = begun.made
        for number in self._candidates(begun, way):
            flips = begun.flips - (up is not None and up != self._firsts[number].up)
            if flips < 0:
                continue
            self.tries += not self.clearing.knows(number, begun.made)
            if self.tries > MOST_TRIES:
                raise GivenUp
            clear = self.clearing.stroke(number, begun.made)
            if clear is None or (straight and clear.punch.throat):
                continue
            unusual = begun.unusual - bool(clear.punch.unusual or clear.die.unusual)
            if unusual < 0:
                continue
            made = begun.made | self.clearing.units[number].mask
            rest = self._onward(Beginning(made, number, flips, unusual), straight, way)
            if rest is not None:
                return ((number, clear), *rest)
        self.dead[state] = begun.flips
        return None

    def _candidates(self, begun: Beginning, way: str) -> list[int]:
        """The units that are left, the one to try first in front."""
        last = begun.last

        def liking(number: int) -> tuple[bool, int, float, int]:
            reach, side = self._lesser[number]
            place = {"outside in": round(reach), "end to end": 0, "inside out": -round(reach)}[way]
            if last is None or way == "end to end":
                return (False, place, 0.0, number)
            one, other = self._firsts[last], self._firsts[number]
            swing = swing_deg(one, self._lesser[last][1], other, side)
            return (one.up != other.up, place, swing, number)

        left = (n for n, unit in enumerate(self.clearing.units) if not unit.mask & begun.made)
        return sorted(left, key=liking)

    def _least_flips(self, made: int, up: bool | None) -> int:
        """How often the piece is turned over at least for the bends that are left."""
        left = {
            first.up for first, unit in zip(self._firsts, self.clearing.units, strict=True)
            if not unit.mask & made
        }  # fmt: skip
        return len(left | {up} - {None}) - 1

    @cached_property
    def _all(self) -> int:
        return sum(unit.mask for unit in self.clearing.units)

    @cached_property
    def _firsts(self) -> tuple[Bend, ...]:
        """The first bend of every unit."""
        bends = self.clearing.metal.folded.blank.bends
        return tuple(bends[unit.bends[0]] for unit in self.clearing.units)

    @cached_property
    def _lesser(self) -> tuple[tuple[float, int], ...]:
        """How far the flat metal reaches on the lesser side of every unit, and which that is."""
        regions = self.clearing.metal.folded.regions
        found = []
        for first, swung in zip(self._firsts, self.clearing.swung, strict=True):
            reach = {1: 0.0, -1: 0.0}
            for one in swung:
                for curve in regions[one.region].curves[0]:
                    out = one.side * (first.ahead(curve.start) - first.allowance / 2)
                    reach[one.side] = max(reach[one.side], out)
            found.append(min((size, side) for side, size in reach.items()))
        return tuple(found)
