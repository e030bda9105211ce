"""The press brake: which die suits a sheet, what it leaves, and the force it takes."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from parts.tables import rows


class Sourced(NamedTuple):
    """A value and where it comes from."""

    value: float
    source: str


def die_for(thickness: float) -> float:
    """Die opening V that suits the sheet: 6t to 12t by die_choice.csv, on the next die made.

    A die up to 2 % under the rule is near enough: V 63 serves 8 mm plate, whose 8t is 64.

    >>> die_for(2), die_for(3), die_for(8)
    (12.0, 25.0, 63.0)

    Raises ValueError for a sheet too thick for any die of the chart.
    """
    for row in rows("die_choice"):
        if float(row["over_mm"]) < thickness <= float(row["to_mm"]):
            wanted = float(row["v_per_t"]) * thickness
            made = [float(die["die_v_mm"]) for die in rows("dies")]
            suits = [v for v in made if v >= 0.98 * wanted]
            if suits:
                return suits[0]
    raise ValueError(f"no die of dies.csv suits {thickness:g} mm sheet; name its V")


def bend_force_kn_per_m(ultimate_mpa: float, thickness: float, die_v: float) -> float:
    """Force to air-bend a metre of sheet: 1.33 Rm t^2 / V (press-brake makers' chart).

    >>> round(bend_force_kn_per_m(450, 2, 16), 1)
    149.6
    """
    return 1.33 * ultimate_mpa * thickness**2 / die_v


def least_flange(die_v: float, angle_deg: float = 90.0) -> Sourced:
    """Shortest outside leg that reaches both edges of the die, in mm; sharper bends need more.

    >>> least_flange(12).value
    8.5

    Raises ValueError for a die or a turn that no table knows.
    """
    flange, source = _die("least_flange_mm", die_v)
    return Sourced(flange * flange_factor(angle_deg), f"{source}, V {die_v:g}")


def natural_radius(die_v: float) -> Sourced:
    """Inside radius that an air bend in the die takes by itself (steel), in mm.

    >>> natural_radius(12).value
    2.0
    """
    radius, source = _die("inside_radius_mm", die_v)
    return Sourced(radius, f"{source}, V {die_v:g}")


def flange_factor(angle_deg: float) -> float:
    """How the least flange grows from a right angle, by flange_by_angle.csv.

    A turn under its first row is taken as that row, which asks for a little more than it needs.

    >>> flange_factor(90), flange_factor(120), round(flange_factor(105), 2)
    (1.0, 1.1, 1.05)

    Raises ValueError for a turn past its last row, where the flange grows without end.
    """
    points = [(float(row["turn_deg"]), float(row["factor"])) for row in rows("flange_by_angle")]
    turn_deg, most_deg = abs(angle_deg), points[-1][0]
    if turn_deg > most_deg:
        raise ValueError(
            f"flange_by_angle.csv ends at a turn of {most_deg:g} degrees, under {turn_deg:g}"
        )
    return _between(points, max(turn_deg, points[0][0]))


def _die(column: str, die_v: float) -> Sourced:
    """A column of the chart at `die_v`, straight between its rows."""
    chart = rows("dies")
    points = [(float(row["die_v_mm"]), float(row[column])) for row in chart]
    if not points[0][0] <= die_v <= points[-1][0]:
        raise ValueError(
            f"die V {die_v:g} is not in dies.csv; it holds {points[0][0]:g} to {points[-1][0]:g}"
        )
    return Sourced(_between(points, die_v), chart[0]["source"])


def _between(points: list[tuple[float, float]], x: float) -> float:
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    raise ValueError(f"{x:g} lies outside {points[0][0]:g} to {points[-1][0]:g}")
