"""The numbers of a laid-out bumper mount, each with its source and, where measured, its ±."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, degrees

import numpy as np

from parts.kinds.bumper_mount.clearances import Gap
from parts.kinds.bumper_mount.layout import Bracket
from parts.kinds.bumper_mount.spreads import Spreads
from parts.place import Vector
from parts.report import Figure
from parts.sheet import measure
from parts.sheet.allowance import Allowance, bend_deduction, outside_setback
from parts.sheet.blank import Bend
from parts.sheet.fold import Folded, stretches
from parts.sheet.loop import Loop, box, moved

GEOMETRY = "computed from the measured points and faces"


def figures(
    bracket: Bracket,
    folded: Folded,
    allowances: tuple[Allowance, ...],
    spread: Spreads,
    clear: tuple[Gap, ...],
) -> Iterator[Figure]:
    """The numbers of one hand's bracket."""
    t, r = folded.blank.thickness, bracket.sheet.radius
    for number, (bend, allowance) in enumerate(zip(folded.blank.bends, allowances, strict=True)):
        turn, name = abs(bend.turn_deg), bend.name
        half = spread.turns[number] if number < len(spread.turns) else None
        yield Figure(f"{name}: turn angle", turn, "deg", GEOMETRY, half)
        yield Figure(f"{name}: included angle", 180 - turn, "deg", GEOMETRY, half)
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
    yield from _hole_figures(bracket, spread)
    yield from _length_figures(bracket, folded)
    for root in bracket.roots:
        yield Figure(f"{root.bend.name}: width at the bend", root.width, "mm", GEOMETRY)
    yield from _square_figures(bracket)
    for gap in clear:
        yield Figure(
            f"{gap.point}: gap to the bracket", gap.found, "mm", GEOMETRY, gap.error or None
        )
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


def _hole_figures(bracket: Bracket, spread: Spreads) -> Iterator[Figure]:
    ends = (
        (bracket.rail_holes, bracket.chain.near, spread.near),
        (bracket.bar_holes, bracket.chain.far, spread.far),
    )
    for holes, distances, halves in ends:
        for flat, distance, half in zip(holes, distances, halves, strict=True):
            hole = flat.hole
            yield Figure(
                f"{hole.name}: from the start of the bend", float(distance), "mm", GEOMETRY, half
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
