"""The side disc: the band's outside outline down to the floor, trimmed round the rail."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, radians, sin

from parts.kinds.wheel_tub.path import BandPath
from parts.kinds.wheel_tub.surround import Rail
from parts.sheet.combine import subtract
from parts.sheet.curve import Curve, Line, Point, arc
from parts.sheet.loop import Loop, area, joined

LEAST_PART = 2500.0  # mm2; a smaller corner left beside the rail is scrap


def whole_disc(path: BandPath, grow: float = 0.0) -> Loop:
    """The disc before the rail is cut out, in (p, q), anticlockwise.

    Its arc and legs lie on the band's outer skin, `grow` further out; its foot is a chord from
    floor to floor.
    """
    first, last = radians(path.first.rise_deg), radians(path.last.rise_deg)
    radius = path.radius + path.thickness + grow
    roll = arc(path.center, radius, last, pi - first - last)
    feet = (_foot(path, roll.end, first, -1.0), _foot(path, roll.start, last, 1.0))
    curves: tuple[Curve, ...] = (
        Line(feet[0], feet[1]),
        Line(feet[1], roll.start),
        roll,
        Line(roll.end, feet[0]),
    )
    return joined(curves, "the disc")


def _foot(path: BandPath, top: Point, rise: float, side: float) -> Point:
    """Where the outer skin of a leg, carried straight on, meets the floor."""
    flange = path.at(0.0 if side < 0 else path.length, path.thickness)
    drop = (top[1] - flange[1]) / cos(rise)
    return (top[0] + side * drop * sin(rise), flange[1])


def trimmed_disc(disc: Loop, rail: Rail | None, gap: float) -> tuple[Loop, ...]:
    """The disc's parts, largest first, with the rail and its gap cut away where there is one."""
    if rail is None:
        return (disc,)
    return tuple(p for p in subtract(disc, rail.swollen(gap)) if area(p) >= LEAST_PART)


@dataclass(frozen=True, slots=True)
class Spun:
    """Starting values for the blank of a disc with a formed rim: its radius by the length of the
    meridian and by equal area, and by what share the rim's edge shrinks."""

    by_length: float
    by_area: float
    shrink: float


def spun_blank(flat_radius: float, edge_radius: float, thickness: float, straight: float) -> Spun:
    """Blank of a disc whose rim is formed round by `edge_radius` (inside) and runs on `straight`.

    The arc's middle fibre has the radius m = edge_radius + t/2. By length the blank is
    flat + pi/2 m + straight; by area (Pappus) R^2 = flat^2 + 2 flat pi/2 m + 2 m^2
    + 2 straight (flat + m). A formed rim is no developable surface: both are starting values.

    >>> spun = spun_blank(379.7, 12, 1.2, 0)
    >>> round(spun.by_length, 1), round(spun.by_area, 1), round(100 * spun.shrink, 1)
    (399.5, 399.4, 1.8)
    """
    m = edge_radius + thickness / 2
    by_length = flat_radius + pi / 2 * m + straight
    square = flat_radius**2 + pi * flat_radius * m + 2 * m**2
    by_area = (square + 2 * straight * (flat_radius + m)) ** 0.5
    rim = flat_radius + m
    return Spun(by_length, by_area, 1 - rim / by_length)
