"""Rough checks of a bumper mount's strength under an assumed load: screening, never a proof."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from parts.kinds.bumper_mount.bracket import FlatHole
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.frame import middle_strip, most_give
from parts.kinds.bumper_mount.layout import Bracket
from parts.kinds.bumper_mount.sections import bolt_section, distance_to_line, screening_force_n
from parts.place import Vector
from parts.sheet.curve import SAME_POINT, Line, curve_distance, distance
from parts.sheet.tidy import SPECK
from parts.trade import screening
from parts.trade.bolts import bolt, property_class
from parts.trade.screening import PRELOADED, Screen

MOST_DEFLECTION = 2.0  # mm at the studs: a quarter of the usual gap to paint; common practice


def screens(config: BumperMount, bracket: Bracket) -> Iterator[Screen]:
    """Rough checks under the screening load, which may pull in any direction."""
    force = screening_force_n(config)
    material, t = bracket.rack.stock.material, bracket.rack.stock.thickness
    studs = np.array([flat.hole.at for flat in bracket.bar_holes])
    for root, reach in zip(bracket.roots, bracket.chain.reaches, strict=True):
        arm = distance_to_line(studs, reach.apex, reach.line)
        yield replace(
            screening.root_bending(force, arm, root.width, t, material.yield_mpa),
            name=f"bending at the {root.bend.name}",
            note=f"arm {arm:.0f} mm, width {root.width:.1f} mm",
        )
    yield _at_first_bolt(bracket, force)
    yield _give(bracket, force)
    yield from _of_bolts(config, bracket, force, bracket.rail_holes, "rail", config.rail_bolt)
    yield from _of_bolts(config, bracket, force, bracket.bar_holes, "bar", config.bar_bolt)


def _at_first_bolt(bracket: Bracket, force: float) -> Screen:
    """Bending of the rail leg across its bolt nearest the bend, the holes taken off."""
    section = bolt_section(
        bracket.blank, bracket.flange, bracket.chain, bracket.rail_holes, bracket.bar_holes
    )
    stock = bracket.rack.stock
    screen = screening.root_bending(
        force, section.arm, section.width, stock.thickness, stock.material.yield_mpa
    )
    spot = ", bolt at the far end of its slot" if section.slot_end else ""
    return replace(
        screen,
        name=f"bending across {section.hole}",
        note=f"arm {section.arm:.0f} mm, width less the holes {section.width:.1f} mm{spot}"
        + _without_flange(bracket),
    )


def _give(bracket: Bracket, force: float) -> Screen:
    """Movement at the studs, in the direction that gives most, the rail bolt held fast."""
    stock = bracket.rack.stock
    strips = middle_strip(bracket.blank, bracket.flange, bracket.chain, bracket.roots)
    found = most_give(strips, force, stock.thickness, stock.material.e_mpa)
    metal = sum(float(np.linalg.norm(strip.end - strip.start)) for strip in strips)
    return Screen(
        "give at the studs",
        found,
        MOST_DEFLECTION,
        "mm",
        MOST_DEFLECTION / found,
        "beam theory, a bent strip; limit common practice",
        f"{metal:.0f} mm of metal from the rail bolt to the studs" + _without_flange(bracket),
    )


def _without_flange(bracket: Bracket) -> str:
    return "" if bracket.flange is None else ", return flange not counted"


def _of_bolts(
    config: BumperMount,
    bracket: Bracket,
    force: float,
    holes: tuple[FlatHole, ...],
    end: str,
    name: str,
) -> Iterator[Screen]:
    """The bolts of one end, and the plate they bear on."""
    strength, fastener = property_class(config.bolt_class), bolt(name)
    material, t = bracket.rack.stock.material, bracket.rack.stock.thickness
    hole = holes[0].hole
    slotted = hole.length > hole.width
    worst = _worst_bolt_n(bracket, force, holes)
    edge = min(_to_edge(bracket, flat) for flat in holes)
    pitch, gauge = _pitch_and_gauge(holes)
    yield replace(
        screening.bolt_shear(worst, fastener, strength, hole=hole.width),
        name=f"bolt shear, {end}",
    )
    bearing = screening.bearing(
        worst, fastener, strength, t, material.ultimate_mpa, hole.width, edge, edge, pitch, gauge,
        kind_of_hole="slot across" if slotted else "round",
    )  # fmt: skip
    yield replace(bearing, name=f"bearing, {end}", note=f"{bearing.note}, edge {edge:.1f} mm")
    if strength.name in PRELOADED:
        slip = screening.slip(
            len(holes) * worst, fastener, strength, bolts=len(holes),
            kind_of_hole="long slot along" if slotted else "round",
        )  # fmt: skip
        yield replace(
            slip,
            name=f"slip of the joint, {end}",
            note=f"{len(holes)} x the worst bolt's share; {slip.note}",
        )
    spacing = min(_apart(a, b) for i, a in enumerate(holes) for b in holes[:i])
    apart = screening.hole_spacing(spacing, hole.width, along_force=False)
    between = "between the slots' nearest ends, " if slotted else ""
    yield replace(apart, name=f"hole spacing, {end}", note=between + apart.note)
    for screen in screening.edge_distances(edge, hole.width, fastener.diameter, slotted):
        # tidying the outline may have taken half a speck from what the bosses keep
        yield replace(
            screen, name=f"{screen.name}, {end}", reserve=(edge + SPECK / 2) / screen.limit
        )


def _worst_bolt_n(bracket: Bracket, force: float, holes: tuple[FlatHole, ...]) -> float:
    """Most that one bolt of a group takes: its share plus that of the turning moment.

    The load acts at the furthest bolt of the other end, square to its arm: F/n + F e r / sum r^2.
    """
    other = bracket.bar_holes if holes is bracket.rail_holes else bracket.rail_holes
    at = np.array([flat.hole.at for flat in holes])
    middle = at.mean(axis=0)
    radii = np.linalg.norm(at - middle, axis=1)
    arm = max(float(np.linalg.norm(flat.hole.at - middle)) for flat in other)
    return float(force / len(holes) + force * arm * radii.max() / (radii**2).sum())


def _axis(flat: FlatHole) -> Line:
    """The middle line of a slot from end to end; of no length for a round hole."""
    return Line(*flat.ends)


def _to_edge(bracket: Bracket, flat: FlatHole) -> float:
    """From a hole's centre, or anywhere on its slot's middle line, to the nearest cut edge."""
    axis = _axis(flat)
    if axis.length < SAME_POINT:
        return min(distance(c.nearest(flat.center), flat.center) for c in bracket.blank.outline)
    return min(curve_distance(axis, curve)[0] for curve in bracket.blank.outline)


def _apart(one: FlatHole, other: FlatHole) -> float:
    """Between two hole centres, or the nearest ends of the middle lines of two slots."""
    return float(np.linalg.norm(_between(one, other)))


def _between(one: FlatHole, other: FlatHole) -> Vector:
    """From one hole to another where their middle lines come nearest, on the blank (2,)."""
    a, b = _axis(one), _axis(other)
    ends = [(p, b.nearest(p)) for p in (a.start, a.end)]
    ends += [(a.nearest(p), p) for p in (b.start, b.end)]
    p, q = min(ends, key=lambda pair: distance(*pair))
    return np.subtract(q, p)


def _pitch_and_gauge(holes: tuple[FlatHole, ...]) -> tuple[float | None, float | None]:
    """Spacing from the worst bolt to the others along its force and across it, None for none.

    The worst bolt is the one furthest from the middle of the group; what turning adds to its
    force runs square to its radius. A hole that lies more along the force than across it counts
    for the pitch, another for the gauge.
    """
    centers = np.array([flat.center for flat in holes])
    radii = centers - centers.mean(axis=0)
    worst = int(np.linalg.norm(radii, axis=1).argmax())
    across = radii[worst] / np.linalg.norm(radii[worst])
    pitch: list[float] = []
    gauge: list[float] = []
    for number, flat in enumerate(holes):
        if number == worst:
            continue
        gap = _between(holes[worst], flat)
        wide = abs(float(gap @ across))
        long = abs(float(gap[0] * across[1] - gap[1] * across[0]))
        (pitch if long > wide else gauge).append(max(long, wide))
    return min(pitch, default=None), min(gauge, default=None)
