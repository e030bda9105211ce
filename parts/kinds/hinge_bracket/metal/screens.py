"""Rough checks of what holds the arm: pivot bolt and bush, pad, brackets. Never a proof."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import hypot, pi, sqrt

from parts.kinds.hinge_bracket.metal.given import (
    Angle,
    ArmShape,
    BodySizes,
    Fixing,
    Hinge,
    PadSizes,
)
from parts.kinds.hinge_bracket.metal.joints import (
    fillet_n_per_mm,
    seam,
    seam_n_per_mm,
    worst_bolt_n,
)
from parts.kinds.hinge_bracket.metal.loads import Loads, PivotBolt
from parts.kinds.hinge_bracket.metal.pad import lid_face
from parts.kinds.hinge_bracket.metal.rules import boss, rule
from parts.sheet.curve import distance
from parts.sheet.stock import Material
from parts.tables import find
from parts.trade import screening
from parts.trade.bolts import PropertyClass, partial_factor
from parts.trade.reserve import at_most
from parts.trade.screening import PRELOADED, Screen

FOLD = "beam theory, first yield"
T_STUB = "EN 1993-1-8 6.2.4 from memory: plastic lines at the fold and at the bolts"
ROOT = 0.8  # of the inside radius that a plastic line keeps off the leg, EN 1993-1-8 6.2.4


def pivot_screens(
    bolt: PivotBolt, shape: ArmShape, bracket: Angle, sizes: BodySizes, loads: Loads
) -> Iterator[Screen]:
    """The shoulder bolt, its bush, and the bracket's leg round its thread."""
    row = find("bushes", bolt.bush, what="bush")
    area = bolt.shoulder * bolt.bush_length
    for name, force, column in (
        ("bush, moving", loads.pivot_n, "moving_mpa"),
        ("bush, slammed", loads.slammed_n, "standing_mpa"),
    ):
        yield at_most(
            name, force / area, float(row[column]), "MPa", row["source"],
            f"{row['name']}; {loads.told()}",
        )  # fmt: skip
    lever = shape.thickness / 2 + sizes.gap
    yield _pin(bolt, loads, lever)
    rack = bracket.cut.sheet.rack
    yield replace(
        screening.bearing(
            loads.slammed_n, bolt.thread, bolt.strength, rack.stock.thickness,
            rack.stock.material.ultimate_mpa, sizes.hole, bracket.round_hole, bracket.round_hole,
        ), name="bearing, pivot in the bracket",
    )  # fmt: skip


def _pin(bolt: PivotBolt, loads: Loads, lever: float) -> Screen:
    """The thread just beyond the shoulder as a pin held at one end, as if its nut were loose."""
    across = sqrt(4 * bolt.thread.stress_area / pi)
    bends = 1.5 * pi * across**3 / 32 * bolt.strength.design_yield_mpa / partial_factor("M0")
    shears = (
        0.6 * bolt.thread.stress_area * bolt.strength.design_ultimate_mpa / partial_factor("M2")
    )
    found = hypot(loads.slammed_n * lever / bends, loads.slammed_n / shears)
    return at_most(
        "shoulder bolt, bent and sheared", 100 * found, 100.0, "%", "EN 1993-1-8 3.13, a pin",
        f"{lever:.1f} mm from the middle of the arm to the bracket, at the thread's stress area; "
        f"{loads.told()}",
    )  # fmt: skip


def pad_screens(
    hinge: Hinge, shape: ArmShape, pad: Angle, sizes: PadSizes, arm_material: Material,
    strength: PropertyClass, loads: Loads,
) -> Iterator[Screen]:
    """The pad's joint to the arm, its fold, and its bolts into the lid."""
    stock = pad.cut.sheet.rack.stock
    yield from _to_arm(hinge, shape, pad, sizes, arm_material, strength, loads)
    force, fixing, count = loads.slammed_n, sizes.lid, sizes.lid.count
    face = lid_face(shape)
    middle = face.on(pad.length / 2)
    away = distance(hinge.pivot, middle)
    pitch = pad.pitch or pad.length / 2
    pulled = force * (1 / count + away / pitch)
    t, radius = stock.thickness, pad.cut.blank.bends[0].radius
    off = pad.row - t - ROOT * radius
    end = (pad.length - pad.pitch) / 2
    long = min(2 * pi * off, 2 * off + 0.625 * pad.boss + end, pad.length / count)
    plastic = long * t**2 * stock.material.yield_mpa / 4 / partial_factor("M0")
    note = f"{away:.0f} mm from the pivot, bolts {pitch:.0f} mm apart; {loads.told()}"
    yield at_most("lid pad, foot lifted at one bolt", pulled, 2 * plastic / off, "N", T_STUB, note)
    prised = pulled * (off + pad.boss) / pad.boss
    tension = replace(
        screening.bolt_tension(prised, fixing.fastener, strength),
        name="bolt tension, lid pad", note=f"prised by its foot; {note}",
    )  # fmt: skip
    turned = (pad.row + shape.thickness / 2) / pitch
    aside = loads.aside_n * (1 / count + away / pitch)
    shear = max(hypot(force / count, force * turned), aside)
    across = max(force * turned, aside)
    yield from _bolts(
        pad, fixing, strength, stock.material, (shear, across), tension, "lid pad", "slot across"
    )
    if strength.name in PRELOADED:
        slip = screening.slip(force, fixing.fastener, strength, bolts=count)
        yield replace(
            slip, name="slip of the joint, lid pad",
            note=f"along its slots, tightened bolts; {slip.note}; {loads.told()}",
        )  # fmt: skip


def _to_arm(
    hinge: Hinge, shape: ArmShape, pad: Angle, sizes: PadSizes, arm_material: Material,
    strength: PropertyClass, loads: Loads,
) -> Iterator[Screen]:
    stock = pad.cut.sheet.rack.stock
    weaker = min(stock.material, arm_material, key=lambda one: one.ultimate_mpa)
    thinner = min(stock.thickness, shape.thickness)
    if isinstance(sizes.arm, Fixing):
        spots = [at for at, _ in pad.joint]
        worst = worst_bolt_n(spots, loads.slammed_n, hinge.pivot)
        fastener, hole = sizes.arm.fastener, sizes.arm.hole
        yield replace(
            screening.bolt_shear(worst, fastener, strength, hole=hole),
            name="bolt shear, pad to arm", note=loads.told(),
        )  # fmt: skip
        edge = boss(sizes.arm, max(stock.thickness, shape.thickness))
        yield replace(
            screening.bearing(
                worst, fastener, strength, thinner, weaker.ultimate_mpa, hole, edge, edge
            ), name="bearing, pad to arm",
        )  # fmt: skip
        return
    throat = sizes.arm.throat
    most = rule("weld throat per thickness") * thinner
    row = find("hinge_metal", "weld throat per thickness")
    yield at_most("weld, pad to arm, throat", throat, most, "mm", row["source"], "")
    holds = fillet_n_per_mm(throat, weaker)
    if holds is not None:
        weld = seam(pad.seam)
        yield at_most(
            "weld, pad to arm", seam_n_per_mm(weld, loads.slammed_n, hinge.pivot), holds, "N/mm",
            "EN 1993-1-8 4.5.3.3", f"{weld.length:.0f} mm of weld; {loads.told()}",
        )  # fmt: skip


def bracket_screens(
    bracket: Angle, off: float, force_n: float, aside_n: float, strength: PropertyClass, told: str
) -> Iterator[Screen]:
    """A bracket that is held by its foot and pulled at its hole.

    `force_n` lies in the section, in whatever direction is worst, `off` from the leg's outer face
    on the side away from the foot: half the arm and the gap, or the ball's reach. `aside_n` acts
    with it along the hole's axis. `told` says what they are.
    """
    name, stock = bracket.cut.name, bracket.cut.sheet.rack.stock
    t, length, strong = stock.thickness, bracket.length, stock.material.yield_mpa
    fixing, count = bracket.fixing, bracket.fixing.count
    limit = strong / partial_factor("M0")
    leg = force_n * leg_mpa_per_n(length, t, bracket.rise, off)
    side = 6 * aside_n * bracket.rise / (length * t**2)
    yield at_most(
        f"{name}, leg at its fold", leg + side, limit, "MPa", FOLD,
        f"{off:.1f} mm beside the leg, {bracket.rise:.0f} above the face; {told}",
    )  # fmt: skip
    row, slots = bracket.row + fixing.adjust, fixing.adjust > 0
    net = max(length - count * fixing.hole, 0.0)
    plastic = net * t**2 * limit / 4
    bends = force_n * (row + off) + aside_n * bracket.rise
    yield at_most(
        f"{name}, foot at its bolts", bends / 1000, plastic / 1000, "N m", T_STUB,
        f"bolts {row:.1f} mm from the leg's face"
        + (", at the far end of their slots" if slots else "") + f"; {told}",
    )  # fmt: skip
    pitch = bracket.pitch or length / 2
    lifted = bends / bracket.boss / count + force_n / count
    tilted = force_n * bracket.rise / pitch
    tension = replace(
        screening.bolt_tension(hypot(lifted, tilted), fixing.fastener, strength),
        name=f"bolt tension, {name}", note=f"prised by its foot; {told}",
    )  # fmt: skip
    across = force_n * (1 / count + (row + off) / pitch)
    sheared = (hypot(across, aside_n / count), across)
    kind = "slot across" if slots else "round"
    yield from _bolts(bracket, fixing, strength, stock.material, sheared, tension, name, kind)


def leg_mpa_per_n(length: float, thickness: float, rise: float, off: float) -> float:
    """Stress in a bracket's leg at its fold per newton at its hole, in the worst direction.

    Away from the face a force pulls the leg and bends it across its thickness (a); along the face
    it bends it in its own plane (b), twists and shears it (c). The square of von Mises' stress,
    (a cos + b sin)^2 + 3 (c sin)^2, is at most the greater root of a 2 by 2 form. A force in the
    middle of the plate, at the fold, can only pull or shear it: sqrt3 / (l t) is the greater.

    >>> round(leg_mpa_per_n(50, 4, 0, -2) * 50 * 4, 6)
    1.732051
    """
    e, section = off + thickness / 2, length * thickness
    pull = 1 / section + 6 * e / (section * thickness)
    along = 6 * rise / (section * length)
    twist = e * (3 + 1.8 * min(thickness, length) / length) / (section * thickness) + 1 / section
    whole = pull**2 + along**2 + 3 * twist**2
    return sqrt((whole + sqrt(whole**2 - 12 * pull**2 * twist**2)) / 2)


def _bolts(
    angle: Angle, fixing: Fixing, strength: PropertyClass, material: Material,
    forces_n: tuple[float, float], tension: Screen, name: str, kind_of_hole: str,
) -> Iterator[Screen]:
    """One bolt in tension, in shear, in both, and bearing across its slot: a force for shear and
    one for bearing."""
    hole, (shear, across) = fixing.hole, forces_n
    yield tension
    sheared = screening.bolt_shear(shear, fixing.fastener, strength, hole=hole)
    yield replace(sheared, name=f"bolt shear, {name}")
    both = 100 * (sheared.found / sheared.limit + tension.found / (1.4 * tension.limit))
    yield at_most(
        f"bolt shear with tension, {name}", both, 100.0, "%", "EN 1993-1-8 table 3.4",
        "shear / shear resistance + tension / 1.4 of the tension resistance, each at its worst",
    )  # fmt: skip
    yield replace(
        screening.bearing(
            across, fixing.fastener, strength, angle.cut.sheet.thickness, material.ultimate_mpa,
            hole, angle.boss, angle.boss, kind_of_hole=kind_of_hole,
        ), name=f"bearing, {name}",
    )  # fmt: skip
