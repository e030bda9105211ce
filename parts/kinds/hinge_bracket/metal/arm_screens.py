"""Rough checks of an arm's strength under an assumed load: screening, never a proof."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, sqrt

from parts.kinds.hinge_bracket.metal.given import ArmShape, Cut, Hinge
from parts.kinds.hinge_bracket.metal.loads import Loads
from parts.kinds.hinge_bracket.metal.rules import rule
from parts.kinds.hinge_bracket.metal.sections import (
    Cross,
    Plates,
    aside_mpa,
    crosses,
    equal_mpa,
    fibres_mpa,
)
from parts.sheet.curve import Arc, Curve, at_words, distance
from parts.sheet.fold import stretches
from parts.sheet.loop import contains
from parts.sheet.stock import Material
from parts.tables import rows
from parts.trade.bolts import partial_factor
from parts.trade.screening import Screen

CURVED = "curved bar after Winkler (Timoshenko, Roark), first yield"
STRAIGHT = "beam theory, first yield"
ASIDE = "beam theory; rectangle in torsion (Timoshenko, Roark); von Mises, first yield"
ON_PIVOT = 1e-4  # mm
THROAT, FILLET, SIDES = "arm at the throat", "arm at the fillet", "arm at its straight sides"


def arm_screens(
    hinge: Hinge, shape: ArmShape, material: Material, loads: Loads, doubler: Cut | None = None
) -> Iterator[Screen]:
    """The arm as a bar held at the lid and bent by its pivot, at its worst cuts.

    In its plane the slammed force in whatever direction is worst; across it a hand's push
    sideways, with the force that stands and the couple in plan. A return flange is not counted.
    """
    limit = material.yield_mpa / partial_factor("M0")
    worst: dict[str, tuple[float, Cross]] = {}
    aside: tuple[float, Cross] | None = None
    for edge, cross in crosses(shape.outline, shape.pad):
        plates = _plates(shape, cross, doubler)
        found = fibres_mpa(cross, hinge.pivot, loads.slammed_n, plates.in_plane)
        kind = _kind(edge, hinge)
        if kind not in worst or found > worst[kind][0]:
            worst[kind] = (found, cross)
        bent, twisted = aside_mpa(cross, hinge.pivot, loads.aside_n, plates)
        stands = fibres_mpa(cross, hinge.pivot, loads.pushed_n, plates.in_plane)
        whole = equal_mpa(bent + stands, twisted)
        if aside is None or whole > aside[0]:
            aside = (whole, cross)
    for kind in (THROAT, FILLET, SIDES):
        if kind in worst:
            found, cross = worst[kind]
            yield Screen(
                f"{kind}, in its plane", found, limit, "MPa", limit / found if found else inf,
                STRAIGHT if kind == SIDES else CURVED, f"{_where(cross)}; {loads.told()}",
            )  # fmt: skip
    if aside is not None:
        yield Screen(
            "arm, pushed sideways", aside[0], limit, "MPa",
            limit / aside[0] if aside[0] else inf, ASIDE,
            f"{_where(aside[1])}; {loads.told_aside()}",
        )  # fmt: skip


def thickness_needed(
    hinge: Hinge, shape: ArmShape, material: Material, loads: Loads
) -> float | None:
    """The thinnest plate of metric stock no thinner than the arm with which it holds, or None.

    The remedy to put beside a doubler.
    """
    for thickness in (float(row["thickness_mm"]) for row in rows("plate_thicknesses")):
        if thickness >= shape.thickness:
            thick = ArmShape(shape.outline, shape.pad, thickness, shape.bush)
            if all(screen.holds for screen in arm_screens(hinge, thick, material, loads)):
                return thickness
    return None


def hub_screens(
    hinge: Hinge, shape: ArmShape, material: Material, loads: Loads
) -> Iterator[Screen]:
    """The metal round the bush."""
    hub = min(distance(curve.nearest(hinge.pivot), hinge.pivot) for curve in shape.outline)
    t, bush, force = shape.thickness, shape.bush, loads.slammed_n
    wall, strong = hub - bush / 2, material.yield_mpa / partial_factor("M0")
    least = rule("hub wall")
    yield Screen(
        "hub, metal round the bush", wall, least, "mm", wall / least,
        "common practice, from memory: the bush and 12 mm across",
    )  # fmt: skip
    for name, found, limit in (
        ("hub, net section", force / (2 * wall * t), strong),
        ("hub, torn out", force / (2 * wall * t), strong / sqrt(3)),
        ("hub, bush against plate", force / (bush * t), 1.5 * strong),
    ):
        source = (
            "EN 1993-1-8 table 3.10, bearing of a pin" if "against" in name
            else "statics, two sections of metal beside the hole"
        )  # fmt: skip
        yield Screen(
            name, found, limit, "MPa", limit / found if found else inf, source, loads.told()
        )


def _kind(edge: Curve, hinge: Hinge) -> str:
    if isinstance(edge, Arc):
        return THROAT if distance(edge.center, hinge.pivot) < ON_PIVOT else FILLET
    return SIDES


def _plates(shape: ArmShape, cross: Cross, doubler: Cut | None) -> Plates:
    """The plates at a cut; a doubler counts where it lies behind the cut's middle."""
    if doubler is None or not any(contains([view], cross.at) for view in doubler.side_view):
        return Plates(shape.thickness)
    deep = max(
        high - low
        for view in doubler.side_view
        for low, high in stretches(view, cross.at, cross.across)
        if low < 0 < high
    )
    return Plates(shape.thickness, doubler.sheet.thickness, min(1.0, deep / cross.depth))


def _where(cross: Cross) -> str:
    return f"cut {cross.depth:.1f} mm deep about {at_words(cross.at, 0)}"
