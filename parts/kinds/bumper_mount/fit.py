"""Whether the bracket fits: on its faces, its slots, a spanner's room, what it must clear."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

import numpy as np

from parts.kinds.bench import Spots
from parts.kinds.bumper_mount.clearances import Gap
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.figures import GEOMETRY
from parts.kinds.bumper_mount.holes import SPANNER_MARGIN
from parts.kinds.bumper_mount.layout import Bracket
from parts.kinds.bumper_mount.side import Side
from parts.place import Vector, unit
from parts.report import Finding, Severity
from parts.sheet.clearance import Metal
from parts.sheet.fold import Folded
from parts.sheet.reach import ContactFace
from parts.trade.bolts import bolt

PRACTICE = "common practice"
MOST_OUT = 3.0  # mm that points may be out across the slots: more no reamer mends; our own limit
RING_OVER_FLATS = 1.5  # outside of a ring spanner over the bolt's width across flats
SOCKET = 50.0  # mm, length of a socket past the washer
STEP = 0.5  # mm along a bolt's axis
SLOT_STEP = 2.5  # mm along a slot
BEHIND = 1e-3  # mm; metal further than this behind the rail's face is behind it
SAMPLES = 32  # to an edge, to see where it runs behind the rail's face


def off_face(
    side: Side, spots: Spots, rail: ContactFace, bar: ContactFace
) -> Iterator[Finding]:
    """Points that do not lie on the face they were measured on."""
    for names, face, what in (
        (side.rail_holes, rail, "rail face"),
        (side.bar_studs, bar, "bar's back"),
    ):
        for name in names:
            off = face.height(spots.at(name))
            allowed = max(1.0, spots.error_of(name, face.metal))
            if abs(off) > allowed:
                yield Finding(
                    Severity.REFUSES if abs(off) > 3 * allowed else Severity.MENTIONS,
                    name,
                    f"{abs(off):.1f} mm off the {what}",
                    f"at most {allowed:.1f} mm",
                    "measure the face's angles and this point again, or pack the gap",
                    GEOMETRY,
                )


def parallel_slots(bracket: Bracket) -> Iterator[Finding]:
    rail, bar = bracket.rail_holes[0].hole, bracket.bar_holes[0].hole
    if rail.length <= rail.width or bar.length <= bar.width:
        return
    if abs(float(rail.along @ bar.along)) > 0.5:
        yield Finding(
            Severity.MENTIONS,
            "slots",
            "the slots at both ends run nearly the same way",
            "slots at right angles, so that the bar can be set both ways",
            "turn the slots of one end",
            PRACTICE,
        )


def cross_error(spots: Spots, bracket: Bracket, config: BumperMount) -> Iterator[Finding]:
    for holes, other, face, name in (
        (bracket.rail_holes, bracket.bar_holes, bracket.rail, config.rail_bolt),
        (bracket.bar_holes, bracket.rail_holes, bracket.bar, config.bar_bolt),
    ):
        hole = holes[0].hole
        across = unit(np.cross(face.metal, hole.along))
        play = (hole.width - bolt(name).diameter) / 2
        shared = float(abs(across @ other[0].hole.along))
        if shared > 0.5 and other[0].hole.length > other[0].hole.width:
            continue  # the other end's slots take it up
        error = max(
            spots.error_between(a.hole.name, b.hole.name, across) for a in holes for b in other
        )
        if error > play:
            yield Finding(
                Severity.REFUSES if error > MOST_OUT else Severity.MENTIONS,
                ", ".join(flat.hole.name for flat in holes),
                f"the points may be {error:.1f} mm out across the slots, the bolt has "
                f"{play:.2f} mm of play",
                f"an error of at most {play:.2f} mm",
                "take more distances to these points, a coarser fit, or try a 1 mm card first",
                GEOMETRY,
            )


def spanner_room(config: BumperMount, bracket: Bracket, folded: Folded) -> Iterator[Finding]:
    """A socket on the bolt's axis, on the side away from the contact face.

    Held in the middle of the slot, at both its ends, and every few millimetres between.
    """
    back, metal = bracket.chain.base.inverse(), Metal.of(folded)
    ends = (
        (bracket.rail_holes, bracket.rail.metal, config.rail_bolt),
        (bracket.bar_holes, bracket.bar.metal, config.bar_bolt),
    )
    for holes, normal, name in ends:
        fastener = bolt(name)
        needed = fastener.socket_outside / 2 + SPANNER_MARGIN
        ring = fastener.across_flats * RING_OVER_FLATS / 2
        first = (needed + folded.blank.thickness) * normal
        for flat in holes:
            reach = (flat.hole.length - flat.hole.width) / 2
            count = ceil(reach / SLOT_STEP)
            places = np.array([0.0, *(way * reach * i / count for i in range(1, count + 1)
                                      for way in (-1, 1))])  # fmt: skip
            starts = flat.hole.at + np.outer(places, flat.hole.along) + first
            rooms = _beside_axes(metal, back.apply(starts), back.direction(normal), needed)
            room, off = float(rooms.min()), float(abs(places[rooms.argmin()]))
            if room < needed - 1e-9:
                where = f", {off:.0f} mm along its slot," if off > 0.5 else ""
                yield Finding(
                    Severity.MENTIONS if room > ring else Severity.REFUSES,
                    flat.hole.name,
                    f"{room:.1f} mm from the bolt's axis{where} to the bracket's own metal",
                    f"{needed:.1f} mm for a socket",
                    "use a stud or a smaller bolt, a longer leg or a shorter slot, or a ring "
                    "spanner",
                    PRACTICE,
                )


def _beside_axes(metal: Metal, starts: Vector, along: Vector, needed: float) -> Vector:
    """Least distance from a bolt's axis to the metal, at each of its places (n,).

    Within STEP / 2, over a socket's length from the `starts` (n, 3). A place whose metal is
    further off than needed is left by as much at once.
    """
    least, here = np.full(len(starts), np.inf), np.zeros(len(starts))
    while (going := here <= SOCKET).any():
        points = starts[going] + here[going, None] * along
        room = metal.distances(points)
        least[going] = np.minimum(least[going], room)
        here[going] += np.maximum(STEP, room - np.minimum(needed, least[going]))
    return least


def kept_clear(clear: tuple[Gap, ...]) -> Iterator[Finding]:
    """Gaps that are too small as drawn (refused), or may come out too small."""
    for gap in clear:
        if gap.found < gap.wished:
            yield Finding(
                Severity.REFUSES,
                gap.point,
                f"{gap.found:.1f} mm from the bracket",
                f"{gap.wished:.1f} mm",
                f"make room for {gap.wished - gap.found:.1f} mm more: smaller bosses, other bends "
                "or reach",
                "the gap that the job asks for",
            )
        elif gap.least < gap.wished:
            yield Finding(
                Severity.MENTIONS,
                gap.point,
                f"{gap.found:.1f} mm from the bracket as drawn, {max(gap.least, 0):.1f} when "
                f"the point is {gap.error:.1f} mm out and the slots are used up by "
                f"{gap.travel:.1f} mm",
                f"{gap.wished:.1f} mm",
                "measure the point closer, or set the bracket away from it before tightening",
                "the gap that the job asks for",
            )


def past_the_rail(bracket: Bracket, folded: Folded) -> Iterator[Finding]:
    """A bracket that folds round behind the rail's face: the rail must have ended by there."""
    behind = _behind_rail(bracket, folded)
    if not len(behind):
        return
    reach = bracket.chain.reaches[0]
    ahead = bracket.chain.base.direction([*reach.bend.across, 0.0])
    axis = int(np.abs(ahead).argmax())
    way = 1.0 if ahead[axis] > 0 else -1.0
    nearest = way * float((way * behind[:, axis]).min())
    yield Finding(
        Severity.MENTIONS,
        "rail",
        f"the bracket folds round behind the rail's face, from {'xyz'[axis]} = {nearest:.1f} on",
        f"a rail that ends before {'xyz'[axis]} = {way * (ceil(way * nearest) - 1):.0f}, seen "
        "from its holes",
        "measure where the rail ends, or put the bracket on the rail's other face",
        GEOMETRY,
    )


def _behind_rail(bracket: Bracket, folded: Folded) -> Vector:
    """Points of the metal's skins, in vehicle axes, behind the rail's face or where they meet it.

    (n, 3); none for a bracket that stays on its own side.
    """
    found: list[Vector] = []
    for region in folded.regions:
        for curve in (curve for loop in region.curves for curve in loop):
            drawn = np.array([curve.at(i / SAMPLES) for i in range(SAMPLES + 1)])
            for w in (0.0, folded.blank.thickness):
                at = bracket.chain.base.apply(folded.space_all(region, drawn, w))
                height = (at - bracket.rail.point) @ bracket.rail.metal
                found += list(at[height < -BEHIND])
                for i in np.flatnonzero((height[:-1] < -BEHIND) != (height[1:] < -BEHIND)):
                    meets = height[i] / (height[i] - height[i + 1])
                    found.append(at[i] + float(np.clip(meets, 0.0, 1.0)) * (at[i + 1] - at[i]))
    return np.array(found).reshape(-1, 3)
