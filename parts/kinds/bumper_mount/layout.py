"""From measurements to a bracket: faces, folds, holes, outline, blank."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from parts.kinds.bench import Bench, Spots
from parts.kinds.bumper_mount.bracket import (
    LEAST_TURN_DEG,
    MOST_TURN_DEG,
    BoltHole,
    Chain,
    FlatHole,
    Sheet,
    flat_holes,
    one_bend,
    two_bends,
)
from parts.kinds.bumper_mount.config import BumperMount, Hand, Side
from parts.kinds.bumper_mount.faces import Angles, NoLayout, contact_faces, toward
from parts.kinds.bumper_mount.outline import Disc, Return, Root, bosses, outline, root
from parts.kinds.bumper_mount.room import (
    refuse_coincident,
    refuse_holes_in_bend,
    refuse_short_web,
)
from parts.place import Vector, unit
from parts.sheet.allowance import outside_setback
from parts.sheet.blank import Bend, Blank
from parts.sheet.curve import Point
from parts.sheet.reach import ContactFace, OutOfReach
from parts.sheet.shop import Rack
from parts.tables import find
from parts.trade.bolts import Bolt, bolt, clearance_hole

GRAVITY = 9.80665  # m/s2, standard
INCH_FIT = {"fine": "close", "medium": "normal", "coarse": "loose"}
WASHER_MARGIN = 1.0  # metal beyond the washer's rim
SPANNER_MARGIN = 1.0  # round a socket
EDGE_STEP = 0.5  # a return's edge stands this much outside the bosses, to be one straight line
ROOT_RESERVE = 1.5  # the waist is made this many times as strong as the screening load asks


@dataclass(frozen=True, eq=False)
class Bracket:
    """One hand's bracket, laid out: everything that figures and findings are drawn from."""

    hand: Hand
    rack: Rack
    sheet: Sheet
    radius_source: str
    rail: ContactFace
    bar: ContactFace
    chain: Chain
    rail_holes: tuple[FlatHole, ...]
    bar_holes: tuple[FlatHole, ...]
    roots: tuple[Root, ...]
    flange: Return | None
    blank: Blank


def lay_out_bracket(
    config: BumperMount, side: Side, bench: Bench, hand: Hand
) -> Bracket:
    """The bracket of one hand; raises NoLayout where the measurements leave none."""
    rack = bench.racks[config.stock]
    radius = bench.inside_radius(rack)
    t = rack.stock.thickness
    sheet = Sheet(t, radius.value, lambda turn: bench.allowance(rack, turn).length_mm)
    rail, bar = contact_faces(side, bench.spots, hand, config.bumper, Angles.measured(side))
    rail_holes = bolt_holes(config, side, bench.spots, rail, hand, "rail", sheet)
    bar_holes = bolt_holes(config, side, bench.spots, bar, hand, "bar", sheet)
    chain = folds(config, sheet, rail, bar, rail_holes, bar_holes)
    flat_rail = flat_holes(chain.base, rail_holes)
    flat_bar = flat_holes(chain.end, bar_holes)
    legs: list[tuple[Disc, ...]] = [bosses(flat_rail), *([()] * (len(chain.bends) - 1))]
    legs.append(bosses(flat_bar))
    neck = neck_length(t)
    studs = np.array([hole.at for hole in bar_holes])
    refuse_holes_in_bend(flat_rail, chain.bends[0], neck, beyond=False)
    refuse_holes_in_bend(flat_bar, chain.bends[-1], neck, beyond=True)
    roots = tuple(
        root(
            reach.bend,
            (legs[0], legs[-1]),
            waist_needed(config, rack, distance_to_line(studs, reach.apex, reach.line)),
            neck,
        )
        for reach in chain.reaches
    )
    refuse_short_web(roots)
    flange = None
    if config.return_flange > 0:
        flange = return_flange(config, bench, rack, chain, legs, roots)
    try:
        drawn = outline(tuple(legs), roots, flange)
    except ValueError as error:
        raise NoLayout(
            "outline", str(error), "bosses clear of the bend", "see the distances of the holes"
        ) from error
    blank = Blank(
        t,
        drawn,
        tuple(flat.cutout() for flat in (*flat_rail, *flat_bar)),
        (*(trimmed(r) for r in roots), *((flange.bend,) if flange else ())),
        _base_point(roots[0]),
    )
    return Bracket(
        hand, rack, sheet, radius.source, rail, bar, chain, flat_rail, flat_bar, roots, flange,
        blank,
    )


def trimmed(crossing: Root) -> Bend:
    """The bend with its line drawn from edge to edge of the metal."""
    bend = crossing.bend
    (x, y), d = bend.start, bend.along
    ends = [(x + v * d[0], y + v * d[1]) for v in (crossing.low, crossing.high)]
    return replace(bend, start=ends[0], end=ends[1])


def _base_point(first: Root) -> Point:
    """A point of the rail leg that is metal for sure: in the middle of the neck."""
    (x, y), d, n = first.bend.start, first.bend.along, first.bend.across
    v, u = (first.low + first.high) / 2, -first.neck / 2
    return (x + v * d[0] + u * n[0], y + v * d[1] + u * n[1])


def neck_length(thickness: float) -> float:
    """Straight edge kept beside a bend before the outline may turn."""
    return max(thickness, 5.0)


def bolt_holes(
    config: BumperMount,
    side: Side,
    spots: Spots,
    face: ContactFace,
    hand: Hand,
    end: str,
    sheet: Sheet,
) -> tuple[BoltHole, ...]:
    """The holes of one end, their slots long enough for the points' error and the wish."""
    own, other = side.rail_holes, side.bar_studs
    word, wish, name = config.rail_slots, config.rail_adjust, config.rail_bolt
    if end == "bar":
        own, other = other, own
        word, wish, name = config.bar_slots, config.bar_adjust, config.bar_bolt
    fastener = bolt(name)
    width = hole_size(config, fastener)
    along = slot_direction(face, word, hand, f"{end}_slots")
    refuse_coincident(own, spots, width)
    found = []
    for point in own:
        error = max(spots.error_between(point, there, along) for there in other)
        length = width if word == "none" else max(width, fastener.diameter + 2 * (error + wish))
        boss = boss_radius(config, fastener, width, slotted=length > width)
        found.append(
            BoltHole(
                point,
                face.foot(spots.at(point)),
                along,
                length,
                width,
                boss,
                bend_clearance(fastener, width, boss, sheet),
            )
        )
    return tuple(found)


def hole_size(config: BumperMount, fastener: Bolt) -> float:
    """Diameter of the clearance hole."""
    metric = fastener.series.startswith("metric")
    return clearance_hole(fastener, config.fit if metric else INCH_FIT[config.fit])[0]


def boss_radius(config: BumperMount, fastener: Bolt, width: float, slotted: bool) -> float:
    """Metal kept from a hole's centre to the edge.

    The floor of EN 1993-1-8 table 3.3, the trade's 1.5 d, room for the washer, and the wish.
    """
    floor = float(find("edge_distances", "slot" if slotted else "end")["factor"]) * width
    usual = float(find("edge_distances", "loaded bolt")["factor"]) * fastener.diameter
    washer = fastener.washer_outside / 2 + WASHER_MARGIN
    return max(floor, usual, washer, config.edge or 0.0)


def bend_clearance(fastener: Bolt, width: float, boss: float, sheet: Sheet) -> float:
    """Least distance from a hole's centre to the start of a bend.

    2t + R from the hole's edge, the boss clear of the neck, and a socket clear of the other leg.
    """
    t, r = sheet.thickness, sheet.radius
    spanner = fastener.socket_outside / 2 + SPANNER_MARGIN - r
    return max(width / 2 + 2 * t + r, boss + neck_length(t), spanner)


def slot_direction(face: ContactFace, word: str, hand: Hand, where: str) -> Vector:
    """The slot's direction in the face (3,); raises NoLayout where it would leave the face."""
    vehicle = {"fore-aft": "rear", "vertical": "above", "sideways": "outboard", "none": "above"}
    way = toward(vehicle[word], hand)  # type: ignore[arg-type]
    flat = way - (way @ face.metal) * face.metal
    if word == "none" and np.linalg.norm(flat) < 0.3:
        way = toward("rear", hand)
        flat = way - (way @ face.metal) * face.metal
    if np.linalg.norm(flat) < 0.3:
        raise NoLayout(
            where,
            f'"{word}" runs out of the face, not along it',
            "a direction that lies in the face",
            "choose one of the other two directions",
        )
    return unit(flat)


def folds(
    config: BumperMount,
    sheet: Sheet,
    rail: ContactFace,
    bar: ContactFace,
    rail_holes: tuple[BoltHole, ...],
    bar_holes: tuple[BoltHole, ...],
) -> Chain:
    """One bend where the faces meet within reach, else a step of two; raises NoLayout."""
    rail_at = np.array([hole.at for hole in rail_holes])
    bar_at = np.array([hole.at for hole in bar_holes])
    why = ""
    if config.bends != "two":
        try:
            chain = one_bend(sheet, rail, bar, rail_at, bar_at)
            why = _why_not_one(config, chain)
            if not why:
                return chain
        except OutOfReach as error:
            why = str(error)
        if config.bends == "one":
            raise NoLayout(
                "bends", f"one bend does not do: {why}", "faces that meet within reach",
                'say bends = "two", or raise reach',
            )  # fmt: skip
    clear = (clear_of_bend(rail_holes), clear_of_bend(bar_holes))
    not_one = f"one bend does not do: {why}; " if why else ""
    try:
        chain = two_bends(sheet, rail, bar, rail_at, bar_at, clear)
    except (OutOfReach, ValueError) as error:
        raise NoLayout(
            "bends", f"{not_one}no step fits: {error}", "a web between the two ends",
            "check the points and faces",
        ) from error  # fmt: skip
    sharpest = max(abs(bend.turn_deg) for bend in chain.bends)
    if sharpest > MOST_TURN_DEG:
        raise NoLayout(
            "bends",
            f"{not_one}the step would have to turn by {sharpest:.0f} degrees",
            f"{MOST_TURN_DEG:.0f} degrees at most",
            "the two ends are too near each other: use smaller bolts, or a packer",
        )
    return chain


def _why_not_one(config: BumperMount, chain: Chain) -> str:
    turn = abs(chain.bends[0].turn_deg)
    if turn < LEAST_TURN_DEG:
        return f"the faces are only {turn:.1f} degrees from parallel"
    if turn > MOST_TURN_DEG:
        return f"it would have to turn by {turn:.1f} degrees"
    far = max(chain.near.max(), chain.far.max())
    if far > config.reach:
        return f"the faces meet {far:.0f} mm from a hole, over the reach of {config.reach:.0f}"
    return ""


def clear_of_bend(holes: tuple[BoltHole, ...]) -> float:
    """Distance to keep from hole centres to the bend, half a slot's length counted in."""
    return max(hole.clear + (hole.length - hole.width) / 2 for hole in holes)


def screening_force_n(config: BumperMount) -> float:
    """The force the bar is taken to pull with, in any direction, N."""
    return config.bar_mass * GRAVITY * config.load_g


def distance_to_line(points: Vector, on_line: Vector, line: Vector) -> float:
    """Greatest distance of points (n, 3) from a line: the longest arm a force there can have."""
    off = points - on_line
    return float(np.linalg.norm(off - np.outer(off @ line, line), axis=1).max())


def waist_needed(config: BumperMount, rack: Rack, arm: float) -> float:
    """Width at the bend that bends with a reserve of ROOT_RESERVE: 6 F e / (w t^2) = fy."""
    t = rack.stock.thickness
    moment = screening_force_n(config) * arm
    strength = 6 * moment * ROOT_RESERVE / (t**2 * rack.stock.material.yield_mpa)
    return max(strength, 2 * bolt(config.rail_bolt).diameter)


def return_flange(
    config: BumperMount,
    bench: Bench,
    rack: Rack,
    chain: Chain,
    legs: list[tuple[Disc, ...]],
    roots: tuple[Root, ...],
) -> Return:
    """A stiffening return on the upper edge of the longer leg, turned away from its face.

    It hangs outside the bosses by the inside radius plus the thickness, so that its bend ends
    at free edges, and stops short of the main bend.
    """
    t, r = rack.stock.thickness, bench.inside_radius(rack).value
    first = bool(chain.near.max() >= chain.far.max())
    near_root = roots[0] if first else roots[-1]
    discs = legs[0] if first else legs[-1]
    place = chain.base if first else chain.end
    bend = near_root.bend
    d, n = np.array(bend.along), np.array(bend.across)
    raised = float(place.direction([*d, 0.0])[2])
    way = 1.0 if raised > 0 else -1.0  # along the bend line toward the upper edge
    reach = [way * bend.beside(c) + radius for c, radius in discs]
    v = way * (max(*reach, way * near_root.low, way * near_root.high) + EDGE_STEP)
    tips = [bend.ahead(c) + sign * radius for c, radius in discs for sign in (-1, 1)]
    if first:
        u_far, u_near = min(tips), -(near_root.neck + 2 * t)
    else:
        u_far, u_near = max(tips), bend.allowance + near_root.neck + 2 * t
    if abs(u_far - u_near) < 4 * t:
        raise NoLayout(
            "return_flange", "the leg is too short to carry it", f"{4 * t:.0f} mm of edge",
            "leave it out",
        )  # fmt: skip
    origin = np.array(bend.start)
    ends = [origin + v * d + u * n for u in (u_far, u_near)]
    outward = way * d
    heading = np.array([-outward[1], outward[0]])  # anticlockwise round the leg
    if (ends[1] - ends[0]) @ heading < 0:
        ends.reverse()
    edge = ((float(ends[0][0]), float(ends[0][1])), (float(ends[1][0]), float(ends[1][1])))
    drawn_touches = (not first) and chain.reaches[-1].drawn_touches
    turn = -90.0 if drawn_touches else 90.0
    stand = r + t
    start, end = ends[1] + stand * outward, ends[0] + stand * outward
    setback = outside_setback(r, t, 90.0)
    if config.return_flange <= setback:
        raise NoLayout(
            "return_flange", f"{config.return_flange:.1f} mm is no more than its own bend",
            f"over {setback:.1f} mm", "make it higher, or leave it out",
        )  # fmt: skip
    hung = Bend(
        "return",
        (float(start[0]), float(start[1])),
        (float(end[0]), float(end[1])),
        turn,
        r,
        bench.allowance(rack, 90.0).length_mm,
    )
    return Return(0 if first else -1, edge, hung, config.return_flange - setback)
