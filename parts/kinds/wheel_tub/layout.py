"""From the tyre's travel to a tub: size, shape, blanks and their places."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, floor, hypot, isfinite, radians, tan

import numpy as np

from parts.kinds.bench import Bench, Rack
from parts.kinds.wheel_tub.band import BandEdges
from parts.kinds.wheel_tub.blanks import Cut, NoTub, band_cuts, disc_cuts, skin_cut
from parts.kinds.wheel_tub.config import BodySideConfig, Hand, TubSide, WheelTub
from parts.kinds.wheel_tub.disc import Spun, spun_blank
from parts.kinds.wheel_tub.envelope import (
    Shape,
    band_circle,
    greatest_disc,
    inboard_reach,
    least_radius,
)
from parts.kinds.wheel_tub.local import FORWARD, OUTWARD, Local
from parts.kinds.wheel_tub.path import BandPath, End, end_on_floor
from parts.kinds.wheel_tub.room import Arch, Room
from parts.kinds.wheel_tub.surround import BodySide, Rail, Station, fitted_side
from parts.kinds.wheel_tub.tabs import standoff
from parts.sheet.curve import Point
from parts.sheet.loop import Loop
from parts.trade.gear import Gear
from parts.trade.sweep import Block, Motion, Spot, Surface

MOST_LEAN = 45.0  # degrees that a body side may lean or run out
LEAST_BOX = 1.0  # mm; a box thinner than this between its corners is taken this thick


@dataclass(frozen=True, eq=False)
class Tub:
    """One hand's tub, laid out.

    `notches` are cut into the band's inboard edge; `spun` tells a formed disc's blank. `errors`
    are the 95 % half widths of the surround's own measurements, by surface; `shape` draws the
    band on the same floors for another centre and radius.
    """

    hand: Hand
    rack: Rack
    fold_radius: float
    gear: Gear
    motion: Motion
    room: Room
    edges: BandEdges
    cuts: tuple[Cut, ...]
    notches: tuple[Loop, ...]
    spun: Spun | None
    body_off: float
    errors: Mapping[str, float]
    shape: Shape


def lay_out_tub(config: WheelTub, side: TubSide, bench: Bench, hand: Hand) -> Tub:
    """The tub of one hand; raises NoTub where the measurements leave none."""
    local, gear = Local(hand), bench.gears[config.axle]
    motion, rack = gear.motion(hand), bench.racks[config.stock]
    fold_radius, t = bench.inside_radius(rack).value, rack.stock.thickness
    others, errors = _others(side, bench, local)
    for name in ("rail", "body side", "floor"):
        errors[name] = config.surround_error
    try:
        room, shape, body_off = _room(config, side, bench, local, others)
        spun = None
        if config.style == "formed":
            flat = room.path.radius + t - config.edge_radius
            spun = spun_blank(flat, config.edge_radius, t, config.tab)
        edges = BandEdges(room.inboard, room.skin, room.rail, config.band_rail_gap)
        band, notches = band_cuts(config, room, edges)
        cuts = (
            *disc_cuts(config, bench, rack, room, fold_radius, spun), *band,
            skin_cut(config, room),
        )  # fmt: skip
    except NoTub:
        raise
    except ValueError as error:  # NoBand, or outlines that only touch: told in words
        raise NoTub(
            "band", str(error), "a band between disc, floors and body side",
            "look at floor heights, band centre, rail and body side",
        ) from error  # fmt: skip
    return Tub(
        hand, rack, fold_radius, gear, motion, room, edges, cuts, notches, spun, body_off, errors,
        shape,
    )  # fmt: skip


def _room(
    config: WheelTub, side: TubSide, bench: Bench, local: Local, others: Mapping[str, Surface]
) -> tuple[Room, Shape, float]:
    rack, gear = bench.racks[config.stock], bench.gears[config.axle]
    wheel, motion, t = gear.wheel, gear.motion(local.hand), rack.stock.thickness
    body, off = body_side(side.body_side, bench, local)
    floors = {"front": side.front_floor, "rear": side.rear_floor}
    given = config.band_center
    at = None if given is None else (local.p(given[0]), given[1])
    p, q, swept_radius = band_circle(local, wheel, motion, at)
    if given is None:
        p, q = float(round(p)), float(ceil(q))
    radius = config.band_radius or float(ceil(swept_radius + config.crown_clearance))
    disc = config.disc_face
    if disc is None:
        reach = inboard_reach(local, wheel, motion, min(floors.values()))
        if not isfinite(reach):
            raise NoTub(
                "floors", f"the tyre stays below the lower of them, {min(floors.values()):.0f} mm",
                "a tyre that comes through the floor", "look at floor heights and travel",
            )  # fmt: skip
        disc = float(floor(reach - config.side_clearance))
    if not disc > 0:
        raise NoTub(
            "disc_face", f"{disc:.0f} mm from the centre plane", "a disc outboard of it",
            "look at the axle's and tyre's measurements",
        )  # fmt: skip
    fold_radius = bench.inside_radius(rack).value
    rim = config.edge_radius if config.style == "formed" else 0.0
    off_disc = standoff(fold_radius) if config.style == "tabs" else rim
    arch = None
    if side.arch is not None:
        arch = Arch(local.p(side.arch.x), side.arch.z, side.arch.radius, side.arch.lip)

    heights = [floors[end] for end in local.ends]

    def shape(center: Point, inside: float) -> BandPath:
        return band_path(config, bench, rack, center, inside, heights)

    room = Room(
        local, shape((p, q), radius), disc, off_disc, rim, body.inward(config.skin_gap + t), body,
        _rail(side, local), arch, others,
    )  # fmt: skip
    if config.band_radius is None:
        least = least_radius(
            room, shape, wheel, motion, config.crown_clearance, config.floor_clearance
        )
        if least is not None:
            room = room.shaped(shape((p, q), least), disc)
    if config.disc_face is None:
        greatest = greatest_disc(room, wheel, motion, config.side_clearance)
        if greatest is not None:
            room = room.shaped(room.path, greatest)
    return room, shape, off


def _rail(side: TubSide, local: Local) -> Rail | None:
    stations = (Station(local.p(s.x), s.top, s.bottom, s.outer, s.lean) for s in side.rail)
    return Rail(tuple(sorted(stations, key=lambda s: s.p))) if side.rail else None


def _others(
    side: TubSide, bench: Bench, local: Local
) -> tuple[dict[str, Surface], dict[str, float]]:
    """Measured points and boxes to keep clear of, and how far each may be out."""
    found: dict[str, Surface] = {}
    errors: dict[str, float] = {}
    for clear in side.keep_clear:
        ends = [bench.spots.at(name) for name in clear.points]
        errors[clear.name] = max(
            hypot(*(bench.spots.error_of(name, way) for way in np.eye(3))) / 3**0.5
            for name in clear.points
        )
        if len(ends) == 1:
            found[clear.name] = Spot(ends[0])
            continue
        low, high = np.minimum(*ends), np.maximum(*ends)
        thin = high - low < LEAST_BOX
        low, high = low - thin * LEAST_BOX / 2, high + thin * LEAST_BOX / 2
        corners = np.array(
            [[x, y, z] for x in (low[0], high[0]) for y in (low[1], high[1])
             for z in (low[2], high[2])]
        )  # fmt: skip
        found[clear.name] = Block.around(corners)
    return found, errors


def body_side(config: BodySideConfig, bench: Bench, local: Local) -> tuple[BodySide, float]:
    """The body side's inner face, and how far its points are off it."""
    if config.points:
        points = [
            (local.p(float(x)), float(z), OUTWARD[local.hand] * float(y))
            for x, y, z in (bench.spots.at(name) for name in config.points)
        ]
        try:
            return fitted_side(points)
        except ValueError as error:
            raise NoTub("body_side", str(error), "points of a plane", "measure it again") from error
    assert config.y is not None
    steepest = max(abs(config.lean.value), abs(config.toe.value))
    if steepest > MOST_LEAN:
        raise NoTub(
            "body_side", f"leans or runs out by {steepest:g}°", f"at most {MOST_LEAN:g}°",
            "measure the lean from upright and the toe from the centre line",
        )  # fmt: skip
    lean, toe = tan(radians(config.lean.value)), tan(radians(config.toe.value))
    along = FORWARD[local.hand] * toe
    return BodySide(config.y + lean * config.height, along, -lean), 0.0


def band_path(
    config: WheelTub,
    bench: Bench,
    rack: Rack,
    center: Point,
    radius: float,
    floors: list[float],
) -> BandPath:
    """The band's side view between two floors, first end first; raises NoBand."""
    t, fold_radius = rack.stock.thickness, bench.inside_radius(rack).value
    ends = []
    for height in floors:
        rise, leg, flat = end_on_floor(
            height - center[1], radius, t, fold_radius, config.end_flange, config.least_leg
        )
        turn = 90.0 - rise
        ends.append(End(rise, leg, turn, bench.allowance(rack, turn).length_mm, flat))
    roll_deg = 180.0 - ends[0].rise_deg - ends[1].rise_deg
    roll = radians(roll_deg) * (radius + t / 2)  # rolled sheet stretches about its middle
    return BandPath(center, radius, t, fold_radius, ends[0], ends[1], roll)
