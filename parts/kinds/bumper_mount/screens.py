"""Rough checks of a bumper mount's strength under an assumed load: screening, never a proof."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import hypot

import numpy as np

from parts.kinds.bumper_mount.bracket import FlatHole
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.layout import Bracket, distance_to_line, screening_force_n
from parts.place import Vector
from parts.sheet.fold import stretches
from parts.trade import screening
from parts.trade.bolts import bolt, property_class
from parts.trade.screening import Screen

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
    yield _at_first_bolt(bracket, force, studs)
    yield _deflection(bracket, force)
    strength = property_class(config.bolt_class)
    for end, holes, name in (
        ("rail", bracket.rail_holes, config.rail_bolt),
        ("bar", bracket.bar_holes, config.bar_bolt),
    ):
        fastener = bolt(name)
        hole = holes[0].hole
        worst = _worst_bolt_n(bracket, force, holes)
        slotted = hole.length > hole.width
        yield replace(
            screening.bolt_shear(worst, fastener, strength, hole=hole.width),
            name=f"bolt shear, {end}",
        )
        spacing = _least_spacing(holes)
        yield replace(
            screening.bearing(
                worst, fastener, strength, t, material.ultimate_mpa, hole.width,
                end=hole.boss, edge=hole.boss,
                kind_of_hole="slot across" if slotted else "round",
            ),
            name=f"bearing, {end}",
        )  # fmt: skip
        yield replace(
            screening.slip(
                force, fastener, strength, bolts=len(holes),
                kind_of_hole="long slot along" if slotted else "round",
            ),
            name=f"slip of the joint, {end}",
        )  # fmt: skip
        yield replace(
            screening.hole_spacing(spacing, hole.width), name=f"hole spacing, {end}"
        )
        floor, usual = screening.edge_distances(hole.boss, hole.width, fastener.diameter, slotted)
        yield replace(floor, name=f"edge distance, {end}")
        yield replace(usual, name=f"edge distance of a loaded bolt, {end}")


def _at_first_bolt(bracket: Bracket, force: float, studs: Vector) -> Screen:
    """Bending of the rail leg across its bolt nearest the bend, the hole taken off."""
    reach = bracket.chain.reaches[0]
    nearest = int(bracket.chain.near.argmin())
    flat = bracket.rail_holes[nearest]
    runs = stretches(bracket.blank.outline, flat.center, reach.bend.along)
    width = next(high - low for low, high in runs if low <= 0 <= high)
    d = np.array(reach.bend.along)
    ends = [np.array(end) @ d for end in flat.ends]
    net = width - (flat.hole.width + abs(float(ends[1] - ends[0])))
    arm = distance_to_line(studs, flat.hole.at, reach.line)
    material = bracket.rack.stock.material
    screen = screening.root_bending(
        force, arm, net, bracket.rack.stock.thickness, material.yield_mpa
    )
    return replace(
        screen,
        name=f"bending across {flat.hole.name}",
        note=f"arm {arm:.0f} mm, width less the hole {net:.1f} mm",
    )


def _deflection(bracket: Bracket, force: float) -> Screen:
    """Give at the studs, both legs bending: the bar leg as a cantilever on a rail leg that turns.

    Castigliano for two strips of the waist's width: F b^2 (b/3 + a) / (E I), b and a the free
    lengths of bar leg and rail leg.
    """
    t, e = bracket.rack.stock.thickness, bracket.rack.stock.material.e_mpa
    width = min(root.width for root in bracket.roots)
    b = float(bracket.chain.far.max()) + bracket.sheet.radius
    a = float(bracket.chain.near.min()) + bracket.sheet.radius
    inertia = width * t**3 / 12
    found = force * b**2 * (b / 3 + a) / (e * inertia)
    return Screen(
        "give at the studs",
        found,
        MOST_DEFLECTION,
        "mm",
        MOST_DEFLECTION / found,
        "beam theory, two strips; limit common practice",
        f"free legs {b:.0f} and {a:.0f} mm",
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


def _least_spacing(holes: tuple[FlatHole, ...]) -> float:
    centers = [flat.center for flat in holes]
    return min(
        hypot(a[0] - b[0], a[1] - b[1]) for i, a in enumerate(centers) for b in centers[:i]
    )
