"""Rough checks of strength: enough to see a part that is far off, never a proof of one.

Loads come from the maker. Each function returns what was found, what is allowed and the
reserve between them. Resistances are of EN 1993-1-8 with its partial factors; the forces
held against them should carry their own factor already.
"""

from __future__ import annotations

from math import pi, sqrt

from parts.tables import find
from parts.trade.bolts import (
    Bolt,
    PropertyClass,
    partial_factor,
    preload_n,
    shear_resistance_n,
    tension_resistance_n,
)
from parts.trade.reserve import Screen as Screen  # one of the words of this module too
from parts.trade.reserve import at_least, at_most

PRELOADED = ("8.8", "10.9")  # EN 1993-1-8 3.1.2: only these are counted on once tightened


def root_bending(
    force_n: float, arm: float, width: float, thickness: float, yield_mpa: float, note: str = ""
) -> Screen:
    """A plate bent across its thickness by a force at an arm: 6 F e / (w t^2) against yield.

    >>> root_bending(500, 120, 60, 5, 235).found
    240.0
    """
    stress = 6 * force_n * arm / (width * thickness**2)
    return at_most(
        "root bending", stress, yield_mpa, "MPa", "beam theory, first yield at the root", note
    )


def tip_deflection(
    force_n: float, length: float, width: float, thickness: float, e_mpa: float, allowed: float
) -> Screen:
    """A cantilever strip with a force at its end: P L^3 / (3 E I).

    >>> round(tip_deflection(500, 120, 60, 5, 205000, 3).found, 4)
    2.2478
    """
    inertia = width * thickness**3 / 12
    found = force_n * length**3 / (3 * e_mpa * inertia)
    return at_most("tip deflection", found, allowed, "mm", "beam theory, cantilever")


def bolt_shear(
    force_n: float,
    bolt: Bolt,
    strength: PropertyClass,
    planes: int = 1,
    threads_in_plane: bool = True,
    hole: float | None = None,
) -> Screen:
    """Shear on one bolt against EN 1993-1-8 table 3.4."""
    limit = shear_resistance_n(bolt, strength, planes, threads_in_plane, hole)
    return at_most("bolt shear", force_n, limit, "N", "EN 1993-1-8 table 3.4")


def bolt_tension(force_n: float, bolt: Bolt, strength: PropertyClass) -> Screen:
    """Tension on one bolt against EN 1993-1-8 table 3.4."""
    limit = tension_resistance_n(bolt, strength)
    return at_most("bolt tension", force_n, limit, "N", "EN 1993-1-8 table 3.4")


def bearing_factors(
    hole: float,
    end: float,
    edge: float,
    bolt_ultimate_mpa: float,
    plate_ultimate_mpa: float,
    pitch: float | None = None,
    gauge: float | None = None,
) -> tuple[float, float]:
    """k1 and alpha_b of EN 1993-1-8 table 3.4.

    `end` and `pitch` run along the force, `edge` and `gauge` across it, all from hole centres.

    >>> k1, alpha_b = bearing_factors(22, 40, 1000, 800, 430, pitch=70, gauge=60)
    >>> round(k1, 4), round(alpha_b, 4)
    (2.1182, 0.6061)
    """
    k1 = min(2.8 * edge / hole - 1.7, 2.5)
    if gauge is not None:
        k1 = min(k1, 1.4 * gauge / hole - 1.7)
    alpha_b = min(end / (3 * hole), bolt_ultimate_mpa / plate_ultimate_mpa, 1.0)
    if pitch is not None:
        alpha_b = min(alpha_b, pitch / (3 * hole) - 0.25)
    return max(k1, 0.0), max(alpha_b, 0.0)


def bearing(
    force_n: float,
    bolt: Bolt,
    strength: PropertyClass,
    thickness: float,
    ultimate_mpa: float,
    hole: float,
    end: float,
    edge: float,
    pitch: float | None = None,
    gauge: float | None = None,
    kind_of_hole: str = "round",
) -> Screen:
    """One bolt bearing on the plate, k1 alpha_b f_u d t / gamma_M2 (EN 1993-1-8 table 3.4).

    `kind_of_hole`: a row of bearing_holes.csv, "round", "oversize" or "slot across" (a slot
    square to the force).
    """
    k1, alpha_b = bearing_factors(
        hole, end, edge, strength.design_ultimate_mpa, ultimate_mpa, pitch, gauge
    )
    row = find("bearing_holes", kind_of_hole, what="kind of hole")
    limit = (
        float(row["factor"]) * k1 * alpha_b * ultimate_mpa * bolt.diameter * thickness
        / partial_factor("M2")
    )  # fmt: skip
    note = f"k1 {k1:.2f}, alpha_b {alpha_b:.2f}, {row['name']} hole"
    return at_most("bearing", force_n, limit, "N", row["source"], note)


def punching(force_n: float, bolt: Bolt, thickness: float, ultimate_mpa: float) -> Screen:
    """One bolt's head or nut punching through the plate, 0.6 pi d_m t f_u / gamma_M2, d_m the
    mean of its head's width over corners and flats (EN 1993-1-8 table 3.4).

    M12, 18 over flats and 20.8 over corners, 5 mm of S235: 0.6 x 3.1416 x 19.39 x 5 x 360 / 1.25

    >>> from parts.trade.bolts import bolt
    >>> round(punching(10000, bolt("M12"), 5, 360).limit, -2)
    52600.0
    """
    mean = bolt.across_flats * (1 + 2 / sqrt(3)) / 2
    limit = 0.6 * pi * mean * thickness * ultimate_mpa / partial_factor("M2")
    return at_most("punching", force_n, limit, "N", "EN 1993-1-8 table 3.4")


def edge_distances(
    found: float, hole: float, bolt_diameter: float, slot: bool = False
) -> tuple[Screen, Screen]:
    """From a hole's centre to an edge: the floor of EN 1993-1-8, then what the trade likes.

    For a slot `found` is from its axis, or from the centre of its end. M12 in 13.5, 18 mm in:

    >>> [round(screen.limit, 1) for screen in edge_distances(18, 13.5, 12)]
    [16.2, 18.0]
    """
    floor = find("edge_distances", "slot" if slot else "end")
    usual = find("edge_distances", "loaded bolt")
    return (
        at_least(
            "edge distance", found, float(floor["factor"]) * hole, "mm", floor["source"],
            f"{floor['factor']} times the hole",
        ),
        at_least(
            "edge distance of a loaded bolt", found, float(usual["factor"]) * bolt_diameter,
            "mm", usual["source"], f"{usual['factor']} times the bolt",
        ),
    )  # fmt: skip


def hole_spacing(found: float, hole: float, along_force: bool = True) -> Screen:
    """Between hole centres, along the force or across it (EN 1993-1-8 table 3.3).

    >>> hole_spacing(70, 22).limit.__round__(1), hole_spacing(70, 22, False).limit.__round__(1)
    (48.4, 52.8)
    """
    row = find("edge_distances", "pitch" if along_force else "gauge")
    return at_least(
        "hole spacing", found, float(row["factor"]) * hole, "mm", row["source"],
        f"{row['factor']} times the hole",
    )  # fmt: skip


def slip(
    force_n: float,
    bolt: Bolt,
    strength: PropertyClass,
    bolts: int = 1,
    surfaces: int = 1,
    kind_of_hole: str = "long slot along",
    friction: float = 0.2,
) -> Screen:
    """A clamped joint against sliding, k_s n mu 0.7 f_ub A_s / gamma_M3 (EN 1993-1-8, 3.9.1).

    `kind_of_hole`: a row of slip_holes.csv; along and across mean to the force. `friction`
    0.2 is for plain or painted steel (EN 1090-2 class D). Counts on bolts tightened to their
    preload: raises ValueError for a class that is not one of `PRELOADED`.
    """
    if strength.name not in PRELOADED:
        raise ValueError(
            f"{strength.name} is not a preloaded class; needs {' or '.join(PRELOADED)} "
            "(EN 1993-1-8 3.1.2)"
        )
    row = find("slip_holes", kind_of_hole, what="kind of hole")
    limit = (
        float(row["factor"]) * bolts * surfaces * friction * preload_n(bolt, strength)
        / partial_factor("M3")
    )  # fmt: skip
    note = f"friction {friction:g}, {bolts} x {surfaces}, {row['name']}, k_s {row['factor']}"
    return at_most("slip", force_n, limit, "N", f"EN 1993-1-8 3.9.1; {row['source']}", note)


def net_section(
    force_n: float, width: float, thickness: float, hole: float, holes: int, ultimate_mpa: float
) -> Screen:
    """Tension across a line of holes, 0.9 A_net f_u / gamma_M2 (EN 1993-1-1, 6.2.3).

    >>> round(net_section(10000, 50, 5, 13.5, 1, 360).limit)   # 0.9 x 36.5 x 5 x 360 / 1.25
    47304
    """
    net = max(width - holes * hole, 0.0) * thickness
    limit = 0.9 * net * ultimate_mpa / partial_factor("M2")
    return at_most("net section", force_n, limit, "N", "EN 1993-1-1 6.2.3")


def plate_shear(
    force_n: float,
    height: float,
    thickness: float,
    hole: float,
    holes: int,
    yield_mpa: float,
    ultimate_mpa: float,
) -> Screen:
    """Shear along a line of holes: the lesser of gross section / 1.27 and net section.

    Gross: h t f_y / (1.27 sqrt3 gamma_M0); net: A_net f_u / (sqrt3 gamma_M2), as for a fin
    plate in Steel Buildings in Europe, Multi-storey part 5.
    """
    gross = height * thickness * yield_mpa / (1.27 * sqrt(3) * partial_factor("M0"))
    net_area = max(height - holes * hole, 0.0) * thickness
    net = net_area * ultimate_mpa / (sqrt(3) * partial_factor("M2"))
    note = "gross section governs" if gross <= net else "net section governs"
    source = "EN 1993-1-1 6.2.6; Steel Buildings in Europe, Multi-storey part 5"
    return at_most("plate shear", force_n, min(gross, net), "N", source, note)


def block_tearing(
    force_n: float,
    tension_area: float,
    shear_area: float,
    yield_mpa: float,
    ultimate_mpa: float,
    eccentric: bool = True,
) -> Screen:
    """A block torn out, net areas in mm2 (EN 1993-1-8, 3.10.2).

    `eccentric`: the force is off the line of the bolts, which halves the tension side.
    """
    tension = tension_area * ultimate_mpa / partial_factor("M2")
    shear = shear_area * yield_mpa / (sqrt(3) * partial_factor("M0"))
    limit = (0.5 if eccentric else 1.0) * tension + shear
    return at_most("block tearing", force_n, limit, "N", "EN 1993-1-8 3.10.2")
