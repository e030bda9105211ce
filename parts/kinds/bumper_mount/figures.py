"""The numbers of a laid-out bumper mount, each with its source and, where measured, its ±."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import atan2, degrees

import numpy as np

from parts.kinds.bench import WIDE_95, Spots
from parts.kinds.bumper_mount.bracket import one_bend, two_bends
from parts.kinds.bumper_mount.config import BumperMount, Side
from parts.kinds.bumper_mount.faces import Angles, NoLayout, contact_faces
from parts.kinds.bumper_mount.layout import Bracket, clear_of_bend
from parts.place import Vector
from parts.report import Figure
from parts.sheet import measure
from parts.sheet.allowance import Allowance, bend_deduction, outside_setback
from parts.sheet.blank import Bend
from parts.sheet.fold import Folded, stretches
from parts.sheet.loop import Loop, box, moved

GEOMETRY = "computed from the measured points and faces"
SMALL_STEP = 0.01  # mm, to find how a turn changes with a coordinate


def figures(
    config: BumperMount,
    side: Side,
    spots: Spots,
    bracket: Bracket,
    folded: Folded,
    allowances: tuple[Allowance, ...],
) -> Iterator[Figure]:
    """The numbers of one hand's bracket."""
    t, r = folded.blank.thickness, bracket.sheet.radius
    spreads = turn_spreads(config, side, spots, bracket)
    for number, (bend, allowance) in enumerate(zip(folded.blank.bends, allowances, strict=True)):
        turn, name = abs(bend.turn_deg), bend.name
        spread = spreads[number] if number < len(spreads) else None
        yield Figure(f"{name}: turn angle", turn, "deg", GEOMETRY, spread)
        yield Figure(f"{name}: included angle", 180 - turn, "deg", GEOMETRY, spread)
        yield Figure(f"{name}: inside radius", r, "mm", bracket.radius_source)
        yield Figure(
            f"{name}: bend allowance",
            allowance.length_mm,
            "mm",
            allowance.source,
            allowance.plus_minus_mm,
        )
        deduction = bend_deduction(r, t, turn, allowance.length_mm)
        yield Figure(f"{name}: bend deduction", deduction, "mm", allowance.source)
    for reach in bracket.chain.reaches:
        lean = float(np.degrees(np.arccos(np.abs(reach.line).max())))
        yield Figure(f"{reach.bend.name}: lean of the fold line off square", lean, "deg", GEOMETRY)
    yield from _hole_figures(spots, bracket)
    yield from _length_figures(bracket, folded)
    for root in bracket.roots:
        yield Figure(f"{root.bend.name}: width at the bend", root.width, "mm", GEOMETRY)
    yield from _square_figures(bracket)
    width, height = measure.blank_box(folded)
    yield Figure("blank, along the fold", width, "mm", GEOMETRY)
    yield Figure("blank, across the fold", height, "mm", GEOMETRY)
    stock = bracket.rack.stock
    yield Figure(
        "mass",
        measure.mass_kg(folded, stock.material.density_kg_m3),
        "kg",
        f"volume, at {stock.material.density_kg_m3:g} kg/m3",
    )


def _hole_figures(spots: Spots, bracket: Bracket) -> Iterator[Figure]:
    chain = bracket.chain
    ends = (
        (bracket.rail_holes, bracket.bar_holes, chain.near, chain.reaches[0]),
        (bracket.bar_holes, bracket.rail_holes, chain.far, chain.reaches[-1]),
    )
    for own, other, distances, reach in ends:
        place = chain.base if own is bracket.rail_holes else chain.end
        ahead = place.direction([*reach.bend.across, 0.0])
        for flat, distance in zip(own, distances, strict=True):
            hole = flat.hole
            error = max(spots.error_between(hole.name, o.hole.name, ahead) for o in other)
            yield Figure(
                f"{hole.name}: from the start of the bend",
                float(distance),
                "mm",
                GEOMETRY,
                error or None,
            )
            if hole.length > hole.width:
                yield Figure(f"{hole.name}: slot length", hole.length, "mm", "bolt + 2 x (error + "
                             "wished adjustment)")  # fmt: skip
                yield Figure(f"{hole.name}: slot width", hole.width, "mm", "clearance hole")
            else:
                yield Figure(f"{hole.name}: hole", hole.width, "mm", "clearance hole")


def _length_figures(bracket: Bracket, folded: Folded) -> Iterator[Figure]:
    """Outside legs and developed length, along the middle of the first and last root."""
    t, r = folded.blank.thickness, bracket.sheet.radius
    first, last = bracket.chain.bends[0], bracket.chain.bends[-1]
    rail_leg = -furthest(folded.blank.outline, first, ahead=False)
    bar_leg = furthest(folded.blank.outline, last, ahead=True) - last.allowance
    for name, flat, bend in (("rail leg", rail_leg, first), ("bar leg", bar_leg, last)):
        leg = flat + outside_setback(r, t, abs(bend.turn_deg))
        yield Figure(f"{name}: outside length to the apex", leg, "mm", GEOMETRY)
    if len(bracket.chain.bends) == 1:
        yield Figure(
            "developed length", rail_leg + first.allowance + bar_leg, "mm", "legs and allowance"
        )
    else:
        middle = bracket.roots[0]
        v = (middle.low + middle.high) / 2
        line = middle.before(v)
        run = stretches(folded.blank.outline, line, first.across)
        yield Figure("developed length", max(high - low for low, high in run), "mm",
                     "along the middle of the rail fold")  # fmt: skip


def furthest(outline: Loop, bend: Bend, ahead: bool) -> float:
    """Distance of the outline's furthest point beyond (or, negative, before) a bend's start."""
    turned = degrees(atan2(bend.across[1], bend.across[0]))
    moved_out = moved(outline, (-bend.start[0], -bend.start[1]))
    low, _, high, _ = box(moved(moved_out, turn_deg=-turned))
    return high if ahead else low


def _square_figures(bracket: Bracket) -> Iterator[Figure]:
    """How far a plain bracket, with square corners on the vehicle's axes, would have missed."""
    studs = np.array([flat.hole.at for flat in bracket.bar_holes])
    if len(bracket.chain.reaches) == 1:
        reach = bracket.chain.reaches[0]
        axis, rail = _nearest_axis(reach.line), _nearest_axis(bracket.rail.metal)
        normal = np.cross(axis, rail)
        if np.linalg.norm(normal) < 0.5:
            return
        middle = studs.mean(axis=0)
        foot = reach.apex + ((middle - reach.apex) @ reach.line) * reach.line
        gaps = (studs - foot) @ normal
        yield Figure("a square bracket would miss the studs by", abs(float(gaps.mean())), "mm",
                     "90 degrees about the nearest vehicle axis")  # fmt: skip
        yield Figure("and over the studs' pitch by", float(np.ptp(gaps)), "mm",
                     "90 degrees about the nearest vehicle axis")  # fmt: skip
    else:
        gaps = (studs - studs[0]) @ bracket.rail.metal
        yield Figure("a step with parallel legs would miss over the studs by",
                     float(np.ptp(gaps)), "mm", "bar leg parallel to the rail leg")  # fmt: skip


def _nearest_axis(direction: Vector) -> Vector:
    axis = np.zeros(3)
    largest = int(np.abs(direction).argmax())
    axis[largest] = np.sign(direction[largest])
    return axis


def turn_spreads(
    config: BumperMount, side: Side, spots: Spots, bracket: Bracket
) -> tuple[float | None, ...]:
    """95 % half width of the turn of each bend from rail to bar, degrees.

    Each measured angle moved by its own error, effects added as squares; the points' coordinates
    by their covariance, with the turn's slope to each. None where nothing has an error.
    """
    measured = Angles.measured(side)
    rail, bar = side.rail_face, side.bar_face
    nominal = np.array([bend.turn_deg for bend in bracket.chain.bends])
    slopes = np.zeros((len(nominal), len(spots.covariance)))
    by_angle = np.zeros(len(nominal))
    try:
        for name, angle in (
            ("toe", rail.toe),
            ("rail_lean", rail.lean),
            ("sweep", bar.sweep),
            ("bar_lean", bar.lean),
        ):
            if angle.plus_minus:
                moved = replace(measured, **{name: getattr(measured, name) + angle.plus_minus})
                by_angle += (_turns(config, side, spots, bracket, moved) - nominal) ** 2
        for i, shifted in _steps(side, spots, bracket):
            slopes[:, i] = (_turns(config, side, shifted, bracket, measured) - nominal) / SMALL_STEP
    except (NoLayout, ValueError):
        return tuple(None for _ in nominal)
    by_points = np.einsum("bi,ij,bj->b", slopes, spots.covariance, slopes)
    spreads = np.sqrt(by_angle + WIDE_95**2 * np.maximum(by_points, 0.0))
    return tuple(float(spread) if spread > 1e-9 else None for spread in spreads)


def _steps(side: Side, spots: Spots, bracket: Bracket) -> Iterator[tuple[int, Spots]]:
    """Every coordinate that the turns rest on and that has an error, moved by a small step."""
    used = {*(side.rail_face.points or ()), *(side.bar_face.points or ())}
    if len(bracket.chain.bends) > 1:  # where a step's web starts and ends
        used |= {*side.rail_holes, *side.bar_studs}
    for number, (name, at) in enumerate(spots.positions.items()):
        for axis in range(3):
            i = 3 * number + axis
            if name in used and spots.covariance[i, i] > 0:
                shifted = at + SMALL_STEP * np.eye(3)[axis]
                yield i, replace(spots, positions={**spots.positions, name: shifted})


def _turns(
    config: BumperMount, side: Side, spots: Spots, bracket: Bracket, angles: Angles
) -> Vector:
    """The turns (n,) of as many bends, had the points and angles been these."""
    rail, bar = contact_faces(side, spots, bracket.hand, config.bumper, angles)
    rail_at = np.array([rail.foot(spots.at(flat.hole.name)) for flat in bracket.rail_holes])
    bar_at = np.array([bar.foot(spots.at(flat.hole.name)) for flat in bracket.bar_holes])
    if len(bracket.chain.bends) == 1:
        chain = one_bend(bracket.sheet, rail, bar, rail_at, bar_at)
    else:
        clear = (
            clear_of_bend(tuple(flat.hole for flat in bracket.rail_holes)),
            clear_of_bend(tuple(flat.hole for flat in bracket.bar_holes)),
        )
        chain = two_bends(bracket.sheet, rail, bar, rail_at, bar_at, clear)
    return np.array([bend.turn_deg for bend in chain.bends])
