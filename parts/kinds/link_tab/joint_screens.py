"""The joint in its fork and the bolt through it: tilt, play, room, threads and strength."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil, sqrt

import numpy as np

from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.on_tab import fork_of
from parts.kinds.link_tab.screens import leg_of, pin_of
from parts.kinds.link_tab.stands import RoundTube
from parts.kinds.link_tab.tab import Tab
from parts.trade.fork import (
    bolt_fit_screens,
    bolt_length,
    plain_shank,
    play_screens,
    thread_screens,
)
from parts.trade.joint import NEVER, head_screens, lean_limit_deg, shank_to_tube, tilt_limit
from parts.trade.links import Bolts, Sweep, Tilt, joint_tilts, level_bolts
from parts.trade.links.car import rule
from parts.trade.lug import aisc_bolt_shear, pin_screens
from parts.trade.reserve import Screen, at_least, at_most

STEP = 5.0  # mm; bolts are sold in lengths of whole fives
LONGER = 6  # lengths tried beyond the shortest
GEOMETRY = "geometry of the fork"
TRAVEL = "the axle's motion, solved from its links"


@dataclass(frozen=True, eq=False)
class BoltUsed:
    """The bolt through the joint: what it clamps, its length, and whether threads lie where it
    shears."""

    grip: float
    length: float
    threads: tuple[Screen, ...]

    @property
    def threads_in_plane(self) -> bool:
        return not self.threads[0].holds


def bolt_used(given: Given, thickness: float) -> BoltUsed:
    """The bolt for tabs of a thickness: of the length asked for, else the shortest that reaches
    through its nut and, where there is one, keeps its threads out of the shear planes."""
    bolt, config = given.bolt, given.config
    gap = given.gap if given.double else 0.0
    grip = 2 * thickness + gap if given.double else thickness + given.gap
    shortest = STEP * ceil(bolt_length(bolt, grip) / STEP - 1e-9)
    clamped = grip + 2 * bolt.washer_thickness

    def threads(length: float) -> tuple[Screen, ...]:
        shank = config.bolt_shank
        found = thread_screens(bolt, length, thickness, gap, bolt.washer_thickness, shank)
        plain = plain_shank(bolt, length) if shank is None else shank
        return (
            *found,
            at_most("plain shank within what it clamps", plain, clamped, "mm", GEOMETRY,
                    "else the nut runs out of thread"),
        )  # fmt: skip

    tried = [shortest + n * STEP for n in range(LONGER)]
    lengths = [config.bolt_length] if config.bolt_length is not None else tried
    good = (one for one in lengths if all(screen.holds for screen in threads(one)[::2]))
    length = next(good, lengths[0])
    return BoltUsed(grip, length, threads(length))


def bolt_screens(given: Given, thickness: float, used: BoltUsed) -> Iterator[Screen]:
    """The bolt's strength at the greatest force, as the pin of the joint."""
    worst = max(given.pulls, key=lambda pull: pull.size_n)
    fork, pin = fork_of(given, thickness), pin_of(given, used.threads_in_plane)
    if given.config.method == "AISC 360":
        yield _said(
            aisc_bolt_shear(
                worst.size_n, given.bolt, given.strength, fork, used.threads_in_plane
            ),
            worst.case,
        )
    for screen in pin_screens(worst.size_n, pin, fork):
        if given.config.method == "AISC 360" and screen.name == "pin shear":
            continue
        named = replace(screen, name=screen.name.replace("pin", "bolt"))
        if screen.unit == "Nmm":
            named = replace(named, found=screen.found / 1e3, limit=screen.limit / 1e3, unit="Nm")
        yield _said(named, worst.case)


def fit_screens(given: Given, tab: Tab) -> Iterator[Screen]:
    """Play of the joint, bolt in its holes, room round the head."""
    if given.double:
        yield from play_screens(
            given.joint, given.gap, given.config.joint.spacer, given.config.joint.kind
        )
    yield from bolt_fit_screens(given.bolt, given.hole, given.joint)
    corner = 2 * given.bolt.across_flats / sqrt(3)
    low = min(hole[1] for hole in tab.outline.holes)
    yield from head_screens(low - tab.foot.crown, given.joint, leg_of(given, tab), corner)


def tilts_of(given: Given, sweep: Sweep) -> tuple[Tilt, Tilt]:
    """How far both joints of the link held tilt, chassis end first; the other end's bolt is taken
    as level and square to the link."""
    assert given.held is not None
    link = given.held.link
    other = np.array(level_bolts(link).axle)
    if other @ given.bolt_way < 0:  # both told the same way, so that swings have one sense
        other = -other
    (ox, oy, oz), (x, y, z) = other.tolist(), given.bolt_way.tolist()
    here, there = (x, y, z), (ox, oy, oz)
    bolts = Bolts(there, here) if given.held.end == "axle" else Bolts(here, there)
    return joint_tilts(sweep, link, bolts)


def tilt_screens(given: Given, tilts: tuple[Tilt, ...]) -> Iterator[Screen]:
    """Tilt of both joints against their limit in this fork, and the link's shank against tabs and
    tube."""
    limit = tilt_limit(given.joint, given.gap)
    for tilt in tilts:
        note = f"{limit.by}; left wheel {tilt.left:+.0f}, right {tilt.right:+.0f} mm"
        if given.held is not None and tilt.end != given.held.end:
            note += "; same joint and fork as here"
        yield at_most(
            f"joint tilt, {tilt.end} end", tilt.most_deg, limit.angle_deg, "deg", GEOMETRY, note
        )


def shank_screens(given: Given, tab: Tab, tilts: tuple[Tilt, ...]) -> Iterator[Screen]:
    """The link itself between the tabs, and over the tube, through all its travel."""
    shank, held = given.joint.shank, given.held
    if shank is None or held is None:
        return
    own = next(tilt for tilt in tilts if tilt.end == held.end)
    if given.double:
        most = lean_limit_deg(given.joint, given.gap, tab.sizes.edge)
        if most < NEVER:
            yield at_most("lean of the link", own.lean_deg, most, "deg", GEOMETRY,
                          "its shank against the tabs' edges")  # fmt: skip
    if isinstance(given.stand, RoundTube):
        found = min(shank_to_tube(*sight, shank, angle) for sight, angle in _sights(given, own))
        room = rule("room between link and tube")
        yield at_least("link clear of the tube", found, room, "mm", TRAVEL,
                       "nearest over all the swing")  # fmt: skip


def _sights(given: Given, own: Tilt) -> Iterator[tuple[tuple[float, float], float]]:
    """Hole distance and tube, with the angles between the link and the line to the axis."""
    stand, way = given.stand, given.link_way
    assert isinstance(stand, RoundTube)
    assert way is not None
    arm = -stand.from_axis(given.at)
    flat = way - (way @ stand.along) * stand.along
    side = np.cross(arm, flat) @ stand.along
    at_ride = float(np.degrees(np.arctan2(side, arm @ flat)))
    turn = 1.0 if stand.along @ given.bolt_way >= 0 else -1.0
    low, high = own.swing_deg
    for swing in np.linspace(low, high, 9):
        yield (float(np.linalg.norm(arm)), stand.od), at_ride + turn * float(swing)


def _said(screen: Screen, case: str) -> Screen:
    return replace(screen, note="; ".join(filter(None, (case, screen.note))))
