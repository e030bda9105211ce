"""The pieces of a hinge screened under what weight, struts and hands put into them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import hypot

from parts.kinds.bench import Bench
from parts.kinds.hinge_bracket.config import HingeBracket
from parts.kinds.hinge_bracket.layout import Hung
from parts.kinds.hinge_bracket.metal import (
    Loads,
    NoPiece,
    PivotBolt,
    arm_screens,
    bracket_screens,
    doubler,
    flat_sheet,
    hub_screens,
    pad_screens,
    pivot_screens,
    standing_n,
    thickness_needed,
)
from parts.kinds.hinge_bracket.pieces import Metal, body_sizes, pad_sizes
from parts.report import Finding, Severity
from parts.trade.bolts import bolt, property_class
from parts.trade.screening import Screen
from parts.trade.strut import Moving, force_n, length_range

MOST_STRUTS = 2  # a strut is taken to stand at each hinge, also where there is but one


def loads_of(config: HingeBracket, hung: Hung) -> Loads:
    """What one hinge is screened for: its share of the weight and all of a strut, in whatever
    direction is worst, and a hand's push sideways at the handle."""
    hanging = hung.hanging
    return Loads(
        standing_n(strut_n(hung), MOST_STRUTS, hanging.lid.mass_kg),
        hanging.rules.slam_factor, config.arm.side_push, hypot(*hanging.handle), hung.spacing,
    )  # fmt: skip


def strut_n(hung: Hung) -> float:
    """The most that one strut pushes: hot, new, pushed in; 0 without struts."""
    struts = hung.hanging.hung
    if struts is None:
        return 0.0
    least, _ = length_range(struts.mounts, struts.open_deg)
    return float(force_n(struts.strut, [least], hung.hanging.rules.hot, Moving.IN)[0])


def with_doubler(config: HingeBracket, bench: Bench, metal: Metal, loads: Loads) -> Metal:
    """The metal with a doubler over the throat where the arm alone does not hold, and a doubler
    can be laid out."""
    if metal.shape is None or metal.arm is None or metal.pad is None or config.arm.flange > 0:
        return metal
    material = metal.arm.sheet.rack.stock.material
    if all(s.holds for s in arm_screens(metal.hinge, metal.shape, material, loads)):
        return metal
    sheet = flat_sheet(bench, config.arm.doubler or config.stock)
    try:
        found = doubler(metal.hinge, metal.shape, sheet, metal.pad, config.pad.throat)
    except NoPiece as no:
        finding = Finding(
            Severity.MENTIONS, no.where, no.found, no.needed, no.remedy,
            "the arm's screening asks for one",
        )  # fmt: skip
        return replace(metal, refused=(*metal.refused, finding))
    return replace(metal, doubler=found)


def screens(config: HingeBracket, metal: Metal, loads: Loads, strut_force_n: float
            ) -> Mapping[str, tuple[Screen, ...]]:  # fmt: skip
    """The screens of each piece, by its name."""
    found: dict[str, tuple[Screen, ...]] = {}
    strength = property_class(config.bolt_class)
    shape, hinge = metal.shape, metal.hinge
    if metal.arm is not None and shape is not None:
        material = metal.arm.sheet.rack.stock.material
        found[metal.arm.name] = (
            *arm_screens(hinge, shape, material, loads, metal.doubler),
            *hub_screens(hinge, shape, material, loads),
        )
        if metal.pad is not None:
            found[metal.pad.cut.name] = tuple(
                pad_screens(hinge, shape, metal.pad, pad_sizes(config), material, strength, loads)
            )
    if metal.body is not None and shape is not None:
        sizes = body_sizes(config, shape.thickness, metal.hinge.pivot)
        one, thread = config.arm, bolt(config.arm.pivot_bolt)
        pin = PivotBolt(one.shoulder, thread, strength, one.bush_length, one.bush_kind)
        found[metal.body.cut.name] = (
            *pivot_screens(pin, shape, metal.body, sizes, loads),
            *bracket_screens(
                metal.body, shape.thickness / 2 + sizes.gap, loads.slammed_n, loads.aside_n,
                strength, loads.told(),
            ),
        )  # fmt: skip
    for bracket in metal.struts:
        assert config.struts is not None
        assert config.struts.brackets is not None
        told = f"assumed: {strut_force_n:.0f} N in the strut, slam factor {loads.slam_factor:g}"
        found[bracket.cut.name] = tuple(
            bracket_screens(
                bracket, config.struts.brackets.reach, strut_force_n * loads.slam_factor, 0.0,
                strength, told,
            )
        )  # fmt: skip
    return found


def screened(
    config: HingeBracket, metal: Metal, loads: Loads, found: Mapping[str, tuple[Screen, ...]]
) -> Iterator[Finding]:
    """What the screening finds, and the doubler it asked for."""
    if metal.doubler is not None and metal.shape is not None and metal.arm is not None:
        material = metal.arm.sheet.rack.stock.material
        thick = thickness_needed(metal.hinge, metal.shape, material, loads)
        words = "" if thick is None else f"; a plate of {thick:g} mm needs none"
        yield Finding(
            Severity.MENTIONS, "arm", "the plate alone is too weak: a doubler is drawn for it",
            "an arm that holds under the assumed load",
            f"weld the doubler over the throat{words}", "the arm's screening",
        )  # fmt: skip
    for name, some in found.items():
        for screen in some:
            if not screen.holds:
                yield Finding(
                    Severity.MENTIONS if screen.name.startswith(MILD) else Severity.REFUSES,
                    f"screening, {screen.name}", f"{screen.found:.1f} {screen.unit}".strip(),
                    f"{screen.limit:.1f} {screen.unit}".strip(), _remedy(screen.name, name),
                    screen.source,
                )  # fmt: skip


MILD = ("slip", "weld, pad to arm, throat", "hub, metal round")
REMEDIES = {
    "arm": "a wider throat, thicker plate, or a shorter neck",
    "hub": "a larger hub, a smaller bush, or thicker plate",
    "bush": "a longer bush or a thicker shoulder, or another bush",
    "shoulder bolt": "a thicker thread, or a bracket nearer the arm",
    "weld, pad to arm, throat": "a thinner weld, or thicker sheet",
    "weld": "a thicker weld as far as the plates allow, or a longer edge of the arm at the lid",
    "lid pad, foot": "thicker sheet for the pad, or more bolts",
    "slip": "tighten to the class's torque, or pin the joint once it is set",
    "bolt": "a larger bolt, a higher class, or bolts further apart",
    "bearing": "thicker sheet, or a larger bolt",
}


def _remedy(screen: str, piece: str) -> str:
    for word, remedy in REMEDIES.items():
        if screen.startswith(word):
            return remedy
    return f"thicker sheet or a longer foot for the {piece}, or a face nearer the hole"
