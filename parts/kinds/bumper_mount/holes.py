"""The bolts' holes: how large, how long as slots, how much metal round them and to the bend."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from parts.kinds.bench import Spots
from parts.kinds.bumper_mount.bracket import BoltHole, Sheet
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.faces import NoLayout, toward
from parts.kinds.bumper_mount.room import refuse_coincident
from parts.kinds.bumper_mount.side import Hand, Side
from parts.place import Vector, unit
from parts.sheet.reach import ContactFace
from parts.tables import find
from parts.trade.bolts import Bolt, bolt, clearance_hole

FITS = (("fine", "close"), ("medium", "normal"), ("coarse", "loose"))  # ISO 273, ASME B18.2.8
WASHER_MARGIN = 1.0  # metal beyond the washer's rim
SPANNER_MARGIN = 1.0  # round a socket


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
    metric, inch = next(pair for pair in FITS if config.fit in pair)
    return clearance_hole(fastener, metric if fastener.series.startswith("metric") else inch)[0]


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


def with_more_metal(hole: BoltHole, boss: float, fastener: Bolt, sheet: Sheet) -> BoltHole:
    """The hole with more metal round it, and the bend kept clear of that."""
    return replace(hole, boss=boss, clear=bend_clearance(fastener, hole.width, boss, sheet))


def neck_length(thickness: float) -> float:
    """Straight edge kept beside a bend before the outline may turn."""
    return max(thickness, 5.0)


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


def clear_of_bend(holes: tuple[BoltHole, ...]) -> float:
    """Distance to keep from hole centres to the bend, half a slot's length counted in."""
    return max(hole.clear + (hole.length - hole.width) / 2 for hole in holes)
