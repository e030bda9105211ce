"""What is wrong with a laid-out bumper mount, or worth knowing before it is cut."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from parts.kinds.bench import Spots
from parts.kinds.bumper_mount.config import BumperMount, Side
from parts.kinds.bumper_mount.figures import GEOMETRY
from parts.kinds.bumper_mount.layout import SPANNER_MARGIN, Bracket
from parts.place import unit
from parts.report import Finding, Severity
from parts.sheet.clearance import distance_to_metal, distances_to_metal
from parts.sheet.fold import Folded
from parts.sheet.reach import ContactFace
from parts.trade.bolts import bolt
from parts.trade.screening import Screen

PRACTICE = "common practice"
RING_OVER_FLATS = 1.5  # outside of a ring spanner over the bolt's width across flats


def findings(
    config: BumperMount,
    side: Side,
    spots: Spots,
    bracket: Bracket,
    folded: Folded,
    screened: tuple[Screen, ...],
) -> Iterator[Finding]:
    """What is wrong with one hand's bracket, or worth knowing before it is cut."""
    yield from off_face(side, spots, bracket.rail, bracket.bar)
    yield from _slots(bracket)
    yield from _cross_error(spots, bracket, config)
    yield from _spanner_room(config, bracket, folded)
    yield from _kept_clear(side, spots, bracket, folded)
    for screen in screened:
        if not screen.holds:
            yield _failed(screen)


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


def _slots(bracket: Bracket) -> Iterator[Finding]:
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


def _cross_error(spots: Spots, bracket: Bracket, config: BumperMount) -> Iterator[Finding]:
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
                Severity.MENTIONS,
                ", ".join(flat.hole.name for flat in holes),
                f"the points may be {error:.1f} mm out across the slots, the bolt has "
                f"{play:.2f} mm of play",
                f"an error of at most {play:.2f} mm",
                "take more distances to these points, a coarser fit, or try a 1 mm card first",
                GEOMETRY,
            )


def _spanner_room(config: BumperMount, bracket: Bracket, folded: Folded) -> Iterator[Finding]:
    """A socket on the bolt's axis, on the side away from the contact face, 50 mm long."""
    back = bracket.chain.base.inverse()
    ends = (
        (bracket.rail_holes, bracket.rail.metal, config.rail_bolt),
        (bracket.bar_holes, bracket.bar.metal, config.bar_bolt),
    )
    for holes, normal, name in ends:
        fastener = bolt(name)
        needed = fastener.socket_outside / 2 + SPANNER_MARGIN
        along = np.linspace(needed, needed + 50, 11) + folded.blank.thickness
        heads = np.array([flat.hole.at + s * normal for flat in holes for s in along])
        rooms = distances_to_metal(folded, back.apply(heads)).reshape(len(holes), -1).min(axis=1)
        for flat, room in zip(holes, rooms, strict=True):
            if room < needed - 1e-9:
                ring = fastener.across_flats * RING_OVER_FLATS / 2
                yield Finding(
                    Severity.MENTIONS if room > ring else Severity.REFUSES,
                    flat.hole.name,
                    f"{room:.1f} mm from the bolt's axis to the bracket's own metal",
                    f"{needed:.1f} mm for a socket",
                    "use a stud or a smaller bolt, a longer leg, or a ring spanner",
                    PRACTICE,
                )


def _kept_clear(
    side: Side, spots: Spots, bracket: Bracket, folded: Folded
) -> Iterator[Finding]:
    for clear in side.keep_clear:
        at = bracket.chain.base.inverse().apply(spots.at(clear.point))
        gap = distance_to_metal(folded, at)
        if gap < clear.gap:
            yield Finding(
                Severity.REFUSES,
                clear.point,
                f"{gap:.1f} mm from the bracket",
                f"{clear.gap:.1f} mm",
                f"make room for {clear.gap - gap:.1f} mm more: smaller bosses, other bends or "
                "reach",
                "the gap that the job asks for",
            )


REMEDIES = {
    "bending": "thicker stock, more edge, a return flange, or a shorter leg",
    "give": "thicker stock, a shorter leg, or a return flange",
    "slip": "tighten to the class's torque, use washers that grip, or pin the joint once set",
    "hole": "move the holes apart, or round holes for slots",
}


def _failed(screen: Screen) -> Finding:
    serious = not screen.name.startswith(("slip", "give"))
    remedy = next(
        (text for word, text in REMEDIES.items() if screen.name.startswith(word)),
        "a larger bolt or a higher class",
    )
    return Finding(
        Severity.REFUSES if serious else Severity.MENTIONS,
        f"screening, {screen.name}",
        f"{screen.found:.1f} {screen.unit}",
        f"{screen.limit:.1f} {screen.unit}",
        remedy,
        screen.source,
    )
