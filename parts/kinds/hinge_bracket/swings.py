"""One hinge swung: the lid about its pivot, the arm that carries it, the stop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from parts.kinds.hinge_bracket.axes import pivot_at, side_place
from parts.kinds.hinge_bracket.config import Hand, HingeBracket, HingeSide
from parts.kinds.hinge_bracket.section import Around, around, fence, stub
from parts.kinds.hinge_bracket.struts import Hanging
from parts.place import Place
from parts.sheet.curve import Point
from parts.trade.swing import (
    Neck,
    NeckSizes,
    Section,
    Sensitivity,
    Stop,
    StrutLength,
    Swing,
    clearance_curve,
    neck,
    outside_room,
    sensitivity,
    stop,
    swing,
)

ENDLESS = 1e5  # mm; a strut this long never ends, where there is none


@dataclass(frozen=True, slots=True)
class ByThing:
    """The lid against one thing that stays: its swing, and the clearance shut and open."""

    swing: Swing
    shut: float
    open: float


@dataclass(frozen=True, eq=False)
class Swung:
    """One hinge: its pivot in lid axes, and what the lid comes near as it swings about it.

    `by_thing` has the least clearance of the lid to each thing that stays. `arm` is None where
    none clears; then `no_arm` says why. `arm_out` is how far it stands out of its room when shut,
    and where. `place` carries (back, aside, up) to vehicle axes.
    """

    hand: Hand
    side: HingeSide
    place: Place
    pivot: Point
    around: Around
    clear: Swing
    by_thing: tuple[ByThing, ...]
    doubt: Sensitivity
    arm: Neck | None
    no_arm: str
    stop: Stop | None
    arm_out: tuple[float, Point] | None


def swung(config: HingeBracket, side: HingeSide, hand: Hand, pivot: Point, hanging: Hanging
          ) -> Swung:  # fmt: skip
    """The hinge of one hand; `pivot` is told from the edge half way between the hinges."""
    here = pivot_at(config, side, pivot)
    what = around(config, side)
    clear = swing(what.lid, here)
    arm, why = arm_about(config, what, here)
    stopped, out = None, None
    if arm is not None:
        stopped, out = _stop(config, arm, here, hanging), out_of_room(config, arm)
    return Swung(
        hand, side, side_place(config, side, hand), here, what, clear,
        tuple(_by_thing(what.lid, here)), sensitivity(what.lid, clear, config.pivot_plus_minus),
        arm, why, stopped, out,
    )  # fmt: skip


def for_hand(config: HingeBracket, one: Swung, hand: Hand) -> Swung:
    """The same hinge as the mirror image, on the other side."""
    return replace(one, hand=hand, place=side_place(config, one.side, hand))


def arm_about(config: HingeBracket, what: Around, pivot: Point) -> tuple[Neck | None, str]:
    """The arm about a pivot; None, and why, where there is none."""
    chosen = config.arm
    sizes = NeckSizes(chosen.hub, chosen.width, chosen.fillet, chosen.pad)
    section = what.with_arm(stub(config))
    try:
        found = neck(
            section, pivot, sizes, what.passed_under, config.neck_clearance, config.arm_clearance
        )
    except ValueError as error:
        return None, str(error)
    return found, ""


def out_of_room(config: HingeBracket, arm: Neck) -> tuple[float, Point] | None:
    """How far an arm stands out of its room with the lid shut, and where."""
    if config.arm_room is None:
        return None
    return outside_room(arm.outline, fence(config.arm_room))


def _by_thing(lid: Section, pivot: Point) -> Iterator[ByThing]:
    for item in lid.fixed:
        alone = Section(lid.moving, (item,), lid.opening_deg)
        shut, opened = clearance_curve(alone, pivot, lid.opening_deg)
        yield ByThing(swing(alone, pivot), shut.clearance, opened.clearance)


def _stop(config: HingeBracket, arm: Neck, pivot: Point, hanging: Hanging) -> Stop:
    held = StrutLength((config.lid.depth, 0.0), (config.lid.depth, -1.0), ENDLESS)
    if hanging.hung is not None:
        mounts = hanging.hung.mounts
        on_lid, on_body = map(hanging.in_lid_axes, (mounts.lid, mounts.body))
        held = StrutLength(on_lid, on_body, hanging.hung.strut.extended)
    return stop(pivot, config.opening, arm.leg_deg, config.arm.hub, config.arm.stop, held)
