"""Profiles that close round the punch: flats joined by bends that run the same way.

Three bends or more that bring a profile back on itself leave an opening, and the punch that makes
the last of them has to stand in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from parts.report import Finding
from parts.sheet.blank import Bend
from parts.sheet.clearance import flats_apart
from parts.sheet.collide import region_names
from parts.sheet.fold import Folded, Region
from parts.sheet.shop import SLACK, Shop, bounds, shown

SAME_WAY = 0.866  # cosine of 30 degrees: bends nearer than that run the same way
CLOSING_DEG = 180.5  # a chain that turns further comes back on itself


def same_way(a: Bend, b: Bend) -> bool:
    """Whether two bends run the same way on the blank, either way round."""
    (ax, ay), (bx, by) = a.along, b.along
    return abs(ax * bx + ay * by) > SAME_WAY


@dataclass(frozen=True, slots=True)
class _Chain:
    """Two flats of a profile, the bends between them, and how far those turn in all."""

    first: int
    last: int
    bends: tuple[int, ...]
    turn_deg: float


def profiles(folded: Folded, pressed: set[int], shop: Shop) -> Iterator[Finding]:
    """Chains that come back on themselves: each once, where it leaves the narrowest opening."""
    closing: list[tuple[float, _Chain]] = []
    for chain in _chains(folded, pressed):
        if len(chain.bends) >= 3 and abs(chain.turn_deg) > CLOSING_DEG:
            bend = folded.blank.bends[chain.bends[0]]
            one, other = folded.regions[chain.first], folded.regions[chain.last]
            if _abreast(one, other, bend):
                closing.append((flats_apart(folded, one, other), chain))
    told: set[int] = set()
    for opening, chain in sorted(closing, key=lambda pair: (pair[0], pair[1].bends)):
        finding = None if told & set(chain.bends) else _closed(folded, chain, opening, shop)
        if finding is not None:
            told |= set(chain.bends)
            yield finding


def _closed(folded: Folded, chain: _Chain, opening: float, shop: Shop) -> Finding | None:
    names = region_names(folded)
    bends = ", ".join(folded.blank.bends[n].name for n in chain.bends)
    turn_deg = abs(chain.turn_deg)
    found = (
        f"bends {bends} turn {turn_deg:.4g} degrees in all and leave {shown(opening)} open"
    )
    where = f"profile from {names[chain.first]} to {names[chain.last]}"
    remedy = "open it, or make it of two parts and weld them"
    for bound in bounds("punch thickness", shop.punch_thickness):
        if opening < bound.value - SLACK:
            need = f"{bound.value:g} mm of opening for the punch to stand in"
            return Finding(bound.severity, where, found, need, remedy, bound.source)
    for bound in bounds("most turn in all"):
        if turn_deg > bound.value + SLACK:
            need = f"{bound.value:g} degrees in all, or a punch that fits inside"
            return Finding(bound.severity, where, found, need, remedy, bound.source)
    return None


def _chains(folded: Folded, pressed: set[int]) -> Iterator[_Chain]:
    """Every two flats of the part that bends of one way join, once."""
    joined: dict[int, list[tuple[int, int]]] = {}
    owners: dict[tuple[int, int], set[int]] = {}
    for i, region in enumerate(folded.regions):
        for loop in region.loops:
            for side in loop:
                if region.bend is None and side.fold is not None and side.fold[0] in pressed:
                    owners.setdefault(side.fold, set()).add(i)
    for number in sorted(pressed):
        for i in sorted(owners.get((number, 0), ())):
            for j in sorted(owners.get((number, 1), ())):
                joined.setdefault(i, []).append((number, j))
                joined.setdefault(j, []).append((number, i))
    bends = folded.blank.bends
    for first in joined:
        waiting = [_Chain(first, first, (), 0.0)]
        for chain in waiting:
            if chain.last > first:
                yield chain
            for number, beyond in joined[chain.last]:
                same = not chain.bends or same_way(bends[chain.bends[0]], bends[number])
                if same and number not in chain.bends:
                    turn_deg = chain.turn_deg + bends[number].turn_deg
                    waiting.append(_Chain(first, beyond, (*chain.bends, number), turn_deg))


def _abreast(one: Region, other: Region, bend: Bend) -> bool:
    """Whether two flats share a stretch along a bend."""
    spans = []
    for region in (one, other):
        along = [bend.beside(c.at(f)) for c in region.curves[0] for f in (0.0, 0.5)]
        spans.append((min(along), max(along)))
    return min(s[1] for s in spans) - max(s[0] for s in spans) > 1e-3
