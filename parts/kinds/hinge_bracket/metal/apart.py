"""How far two pieces of a hinge stay apart over the whole swing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot, inf

from parts.kinds.hinge_bracket.metal.given import Cut, Hinge, Slab
from parts.trade.swing import Outline, Section, swing

STILL = 1e-4  # degrees; two pieces that both swing, or neither, do not move to each other
ALIKE = 6  # decimals of mm in which gaps along the axis are one


@dataclass(frozen=True, slots=True)
class Apart:
    """The least distance of two pieces over the swing, and at which opening."""

    distance: float
    angle_deg: float


def apart(hinge: Hinge, one: Cut, other: Cut, within: float) -> Apart | None:
    """How near two pieces come, or None where nothing of them comes within `within` mm.

    The swing turns about the axis, so no metal moves along it: two slabs come no nearer than the
    gap between them along the axis and the least distance of their outlines in the section, at a
    right angle to each other. That is proved for every angle, and exact for flats along the
    section and for feet square to it. A fold's outside and a leaning foot are told in slabs that
    hold them, so they may really stay further apart; round corners of a foot likewise. Raises
    NotProved.
    """
    if other.swings and not one.swings:
        one, other = other, one
    angle = hinge.opening_deg if one.swings != other.swings else STILL
    gaps = {round(a.beside(b), ALIKE) for a in one.slabs for b in other.slabs}
    best = Apart(inf, 0.0)
    for gap in sorted(gaps):
        if gap >= min(within, best.distance):
            break
        found = swing(_told(one.slabs, other.slabs, gap, angle), hinge.pivot)
        distance = hypot(gap, found.clearance) if not found.strikes else gap
        if distance < best.distance:
            best = Apart(distance, found.angle_deg)
    return best if best.distance < within else None


def _told(one: tuple[Slab, ...], other: tuple[Slab, ...], gap: float, angle_deg: float) -> Section:
    """The slabs that lie so far from each other along the axis, as the section sees them."""
    near = {
        j: tuple(str(i) for i, a in enumerate(one) if round(a.beside(b), ALIKE) == gap)
        for j, b in enumerate(other)
    }
    moves = sorted({int(i) for names in near.values() for i in names})
    moving = tuple(Outline(str(i), one[i].outline) for i in moves)
    fixed = tuple(
        replace(Outline(f"still {j}", other[j].outline), against=names)
        for j, names in near.items()
        if names
    )
    return Section(moving, fixed, angle_deg)
