"""The lid on its struts: hung from what was given, or from the best that a search finds."""

from __future__ import annotations

from dataclasses import dataclass, replace

from parts.kinds.hinge_bracket.axes import from_plumb, plumb
from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.places import Spot
from parts.kinds.hinge_bracket.strut_config import SearchConfig, StrutsConfig
from parts.kinds.hinge_bracket.weight import Weighed, weighed
from parts.sheet.curve import Point
from parts.trade.strut import (
    Area,
    Found,
    HungLid,
    Lid,
    Mounts,
    Room,
    Rules,
    Seal,
    Wanted,
    seal_round,
    search,
    sizes,
    usual_rules,
)

BESIDE = 40.0  # mm outboard of the hinge plane, where the job does not say where the struts are
LEAST_SEAL = 1.0  # mm of squeeze, and of lever, under which a seal's push is not reckoned


@dataclass(frozen=True, slots=True)
class Hanging:
    """The lid's weight about its pivot, and the struts that hold it where there are any.

    `lid`, `handle` and all that hangs on them are in plumb axes. `hung` is None without struts,
    or where a search finds none; `found` is what a search came to.
    """

    pivot: Point
    slope_deg: float
    weighed: Weighed
    lid: Lid
    handle: Point
    rules: Rules
    seal: Seal | None
    room: Room | None
    hung: HungLid | None
    found: Found | None

    def in_lid_axes(self, point: Point) -> Point:
        """A point of plumb axes in lid axes."""
        return from_plumb(point, self.pivot, self.slope_deg)


def hang(config: HingeBracket, pivot: Point) -> Hanging:
    """The lid about a pivot, and its struts."""
    slope = config.lid.slope
    known = weighed(config.weight)

    def seen(spot: Spot) -> Point:
        return plumb(spot, pivot, slope)

    lid = Lid(known.mass.mass_kg, seen((known.mass.along, known.mass.up)))
    handle = seen(config.lid.handle or (config.lid.depth, -config.lid.fold.value))
    asked = config.struts
    room = None
    if asked is not None:
        room = Room(tuple(map(seen, asked.room or ())), tuple(map(seen, keep_clear(config))))
    alone = Hanging(
        pivot, slope, known, lid, handle, rules_of(asked), _seal(config, pivot), room, None, None
    )
    if asked is None:
        return alone
    if asked.fitted is not None:
        one = asked.fitted
        mounts = Mounts(seen(one.on_lid), seen(one.on_body), asked.aside)
        hung = HungLid(lid, one.strut(), one.count, mounts, config.opening, handle, alone.seal)
        return replace(alone, hung=hung)
    assert asked.search is not None
    found = _searched(config, asked, asked.search, alone)
    return replace(alone, hung=found.best.hung if found.best else None, found=found)


def rules_of(asked: StrutsConfig | None) -> Rules:
    """The usual limits, with those that the job states."""
    rules = usual_rules()
    if asked is None:
        return rules
    stated = {
        "shut_at_c": asked.shut_at, "hold_at_c": asked.hold_at, "aged_percent": asked.aged,
        "holds_from_deg": asked.holds_from, "hand_force_wished_n": asked.hand_force,
        "slam_factor": asked.slam_factor,
    }  # fmt: skip
    return replace(rules, **{name: value for name, value in stated.items() if value is not None})


def strut_y(asked: StrutsConfig, hinge_y: float) -> float:
    """From the centre plane to the ball on the body."""
    return hinge_y + BESIDE if asked.y is None else asked.y


def keep_clear(config: HingeBracket) -> tuple[Spot, ...]:
    """Points of the body that a strut must miss: those named, and the gutter's corners."""
    assert config.struts is not None
    return (*config.struts.keep_clear, *((p[0], p[1]) for p in config.gutter.points))


def _seal(config: HingeBracket, pivot: Point) -> Seal | None:
    one = config.seal
    if one is None or one.force is None or one.free - one.squeezed < LEAST_SEAL:
        return None
    rear = one.rear or config.lid.depth - one.foot[0]
    across = one.across or config.lid.width - 2 * one.foot[0]
    front = one.foot[0] - pivot[0]
    if front < LEAST_SEAL or rear - one.foot[0] < LEAST_SEAL or across < LEAST_SEAL:
        return None
    return seal_round(one.force, one.free - one.squeezed, front, rear - pivot[0], across)


def _searched(
    config: HingeBracket, asked: StrutsConfig, area: SearchConfig, hanging: Hanging
) -> Found:
    """The search, with mounts told along the lid, in which the areas were measured.

    Turning all about the pivot changes no length and no lever; the weight alone is told plumb.
    The choices come back in plumb axes.
    """

    def from_pivot(spot: Spot) -> Point:
        return (spot[0] - hanging.pivot[0], spot[1] - hanging.pivot[1])

    def within(corners: tuple[Spot, Spot]) -> Area:
        (u, v), (p, q) = map(from_pivot, corners)
        steps = (area.steps, area.steps)
        return Area((min(u, p), min(v, q)), (max(u, p), max(v, q)), steps)

    def plumb_mounts(hung: HungLid) -> HungLid:
        mounts, slope = hung.mounts, hanging.slope_deg
        lid, body = (plumb(end, (0.0, 0.0), slope) for end in (mounts.lid, mounts.body))
        return replace(hung, mounts=Mounts(lid, body, mounts.aside))

    corners = tuple(map(from_pivot, asked.room or ()))
    room = Room(corners, tuple(map(from_pivot, keep_clear(config))))
    found = search(
        Wanted(
            hanging.lid, config.opening, hanging.handle, within(area.lid_area),
            within(area.body_area), hanging.rules, hanging.seal, asked.aside, area.counts,
            tuple(s for s in sizes() if not area.rods or s.rod in area.rods), room,
        )
    )  # fmt: skip
    choices = tuple(replace(c, hung=plumb_mounts(c.hung)) for c in found.choices)
    return replace(found, choices=choices)
