"""How much sheet a bend uses up: the rules in use, and a strip that tells the truth.

`angle_deg` is the turn from flat throughout; its sign does not matter here. `k` is the
distance of the neutral fibre from the inside face, in thicknesses. `radius` is the inside one.
"""

from __future__ import annotations

from math import hypot, log10, pi, radians, tan
from typing import Literal, NamedTuple

from parts.tables import find


class StripK(NamedTuple):
    """k of a test strip and its 95 % half width."""

    k: float
    plus_minus: float


def arc_length(k: float, radius: float, thickness: float, angle_deg: float) -> float:
    """Length along the neutral fibre.

    Quarter turn, 2 mm sheet, k 0.42, inside radius 3:

    >>> round(arc_length(0.42, 3, 2, 90), 2)
    6.03
    """
    return radians(abs(angle_deg)) * (radius + k * thickness)


def din_6935_k(radius: float, thickness: float) -> float:
    """k by DIN 6935: half of the standard's own factor, which counts in half thicknesses.

    The standard's 0.65 + 0.5 log10(r/s) to r/s = 5, and 1 beyond; radius = thickness gives
    0.65, which is k 0.325:

    >>> din_6935_k(2, 2)
    0.325

    Raises ValueError for a bend so sharp that the neutral fibre would leave the sheet.
    """
    if radius > 5 * thickness:
        return 0.5
    k = (0.65 + 0.5 * log10(radius / thickness)) / 2 if radius > 0 else -1.0
    if k < 0:
        raise ValueError(
            f"DIN 6935 has no answer for inside radius {radius:g} on {thickness:g} mm sheet; "
            f"needs {0.0502 * thickness:.2g} mm or more, or a bend book row from a test strip"
        )
    return k


def faa_allowance(radius: float, thickness: float, angle_deg: float) -> float:
    """Length by the empirical formula of FAA-H-8083-31A, chapter 4.

    One degree takes 0.01743 R + 0.0078 T, in any unit; .032 radius, .050 sheet:

    >>> round(faa_allowance(0.032, 0.050, 90), 3)
    0.085
    """
    return (0.01743 * radius + 0.0078 * thickness) * abs(angle_deg)


def machinery_allowance(
    radius: float, thickness: float, angle_deg: float, stock_class: str
) -> float:
    """Length by Machinery's Handbook (31st ed. p. 1421): f T + 1.57 R for a quarter turn.

    f is 0.55, 0.64 or 0.71 as `stock_class` is soft, half-hard or hard. Soft steel, inches:

    >>> round(machinery_allowance(0.375, 0.125, 180, "half-hard"), 4)
    1.3375
    """
    row = find("stock_classes", stock_class, "stock_class", what="stock class")
    return (float(row["thickness_factor"]) * thickness + 1.57 * radius) * abs(angle_deg) / 90


def k_from_allowance(length: float, radius: float, thickness: float, angle_deg: float) -> float:
    """k of a bend whose length is known.

    >>> round(k_from_allowance(6.03, 3, 2, 90), 2)
    0.42
    """
    return (length / radians(abs(angle_deg)) - radius) / thickness


def outside_setback(
    radius: float,
    thickness: float,
    angle_deg: float,
    leg_to: Literal["apex", "tangent"] = "apex",
) -> float:
    """From the start of the bend to the point that an outside leg is measured to.

    "apex": where the outside faces would meet. "tangent": the outermost plane of a bend past
    a right angle, as DIN 6935 measures legs there. Raises ValueError at 180 and over to the
    apex, where there is none.

    >>> round(outside_setback(2, 2, 90), 6)
    4.0
    """
    turn_deg = abs(angle_deg)
    if leg_to == "tangent" and turn_deg >= 90:
        return radius + thickness
    if turn_deg >= 180:
        raise ValueError(
            f"a turn of {turn_deg:g} degrees has no apex; measure its legs to the tangent"
        )
    return (radius + thickness) * tan(radians(turn_deg) / 2)


def bend_deduction(
    radius: float,
    thickness: float,
    angle_deg: float,
    allowance_mm: float,
    leg_to: Literal["apex", "tangent"] = "apex",
) -> float:
    """What two outside legs measure more than the flat sheet they came from.

    >>> bend_deduction(2, 2, 90, arc_length(0.325, 2, 2, 90)).__round__(2)
    3.84
    """
    return 2 * outside_setback(radius, thickness, angle_deg, leg_to) - allowance_mm


def k_from_test_strip(
    cut: float,
    leg_a: float,
    leg_b: float,
    angle_deg: float,
    radius: float,
    thickness: float,
    *,
    plus_minus: float = 0.0,
    angle_plus_minus_deg: float = 0.0,
    radius_plus_minus: float = 0.0,
    thickness_plus_minus: float = 0.0,
) -> StripK:
    """k of a strip cut to `cut`, bent once, whose outside legs measure `leg_a` and `leg_b`.

    k = ((cut - a - b + 2 setback) / turn - radius) / thickness. `plus_minus` is that of each
    of the three lengths; errors add as squares, first order. Strip of 100, 2 mm, radius 3:

    >>> k, _ = k_from_test_strip(100, 52, 52, 90, 3, 2)
    >>> round(k, 3)   # ((100 - 104 + 10) / 1.5708 - 3) / 2
    0.41

    Raises ValueError for a k outside the sheet: a misread leg or the wrong radius.
    """
    turn_rad = radians(abs(angle_deg))
    if not 0 < turn_rad < pi:
        raise ValueError(f"test strip bent {angle_deg:g} degrees; needs between 0 and 180")
    half_tan = tan(turn_rad / 2)
    setback = (radius + thickness) * half_tan
    length = cut - leg_a - leg_b + 2 * setback
    k = k_from_allowance(length, radius, thickness, angle_deg)
    if not 0 <= k <= 1:
        raise ValueError(
            f"test strip {cut:g} -> {leg_a:g} + {leg_b:g} gives k {k:.2f}; "
            "a neutral fibre inside the sheet lies between 0 and 1: measure the strip again"
        )
    by_length = 3**0.5 / (turn_rad * thickness)
    by_radius = (2 * half_tan / turn_rad - 1) / thickness
    by_thickness = (2 * half_tan / turn_rad - k) / thickness
    setback_rate = (radius + thickness) * (1 + half_tan**2)
    by_angle = (setback_rate - length / turn_rad) / (turn_rad * thickness)
    spread = hypot(
        by_length * plus_minus,
        by_radius * radius_plus_minus,
        by_thickness * thickness_plus_minus,
        by_angle * radians(angle_plus_minus_deg),
    )
    return StripK(k, spread)
