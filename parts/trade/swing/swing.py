"""One pivot: how near the lid comes to what stays, over the whole swing."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, cos, degrees, radians, sin

import numpy as np

from parts.sheet.curve import Point, at_words
from parts.trade.swing.curves import gaps, reach
from parts.trade.swing.exact import least_over_swing
from parts.trade.swing.flattened import Flattened, Nearest, flattened
from parts.trade.swing.section import Section
from parts.trade.swing.witness import proved_floors

PROVED_TO = 0.01  # mm
TOUCHING = 1e-3  # mm; nearer than this the first touch is found
MOST_STEPS = 20_000  # to the first touch; one that slides along is taken as solved


@dataclass(frozen=True, slots=True)
class Swing:
    """The least clearance over a swing and where it is.

    `at_least` is proved: nothing comes nearer at any angle. `mover` and `item` are the outlines;
    `on_lid` is the moving point as it lies shut, `from_point` the same at `angle_deg`, and
    `to_point` the fixed one. Where it strikes, these tell of the first touch.
    """

    pivot: Point
    clearance: float
    at_least: float
    angle_deg: float
    mover: str
    item: str
    on_lid: Point
    from_point: Point
    to_point: Point

    @property
    def strikes(self) -> bool:
        """Whether anything touches."""
        return self.clearance < TOUCHING

    def __str__(self) -> str:
        where = f"{self.mover} {at_words(self.from_point, 1)} at {self.angle_deg:.2f}°"
        if self.strikes:
            return f"{where} strikes {self.item} at {at_words(self.to_point, 1)}"
        return (
            f"{self.clearance:.2f} mm between {where} and {self.item} {at_words(self.to_point, 1)}"
        )


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """The clearance at one angle, and between which outlines."""

    angle_deg: float
    clearance: float
    mover: str
    item: str


def swing(section: Section, pivot: Point, within: float = PROVED_TO) -> Swing:
    """The least clearance over the whole swing about a pivot, proved `within` mm.

    It is solved without sampling, then proved anew by bounds on the motion and bisection. Raises
    ValueError for a pivot that is no place, NotProved where the two disagree.

    A corner 10 mm from the pivot turns past one 13 mm from it:

    >>> from parts.trade.swing.section import polyline
    >>> lid = polyline("lid", ((10, 0), (0.5, 0)))
    >>> post = polyline("post", ((0, 13), (0, 20)))
    >>> print(swing(Section((lid,), (post,), 120), (0, 0)))
    3.00 mm between lid (0.0, 10.0) at 90.00° and post (0.0, 13.0)
    """
    check_pivot(pivot)
    if not within > 0:
        raise ValueError(f"proved within {within:g} mm; needs more than 0")
    flat = flattened(section)
    at = np.array([pivot], dtype=float)
    found = least_over_swing(flat, at)
    clearance = float(found.distance[0])
    if clearance < TOUCHING:
        return _first_touch(section, flat, pivot, found)
    floor = float(proved_floors(flat, at, found.distance, within)[0])
    on_lid = _point(found.on_mover[0])
    angle = degrees(float(found.angle[0]))
    return Swing(
        pivot, clearance, floor, angle, section.moving[int(found.mover[0])].name,
        section.fixed[int(found.item[0])].name, on_lid, opened(on_lid, pivot, angle),
        _point(found.on_item[0]),
    )  # fmt: skip


def clearance_curve(section: Section, pivot: Point, step_deg: float = 1.0) -> list[CurvePoint]:
    """The clearance at even steps from shut to open, exact at each; for charts."""
    check_pivot(pivot)
    if not step_deg > 0:
        raise ValueError(f"steps of {step_deg:g}°; needs more than 0")
    flat = flattened(section)
    count = max(1, ceil(section.opening_deg / step_deg - 1e-9))
    rows = []
    for k in range(count + 1):
        angle_deg = min(k * step_deg, section.opening_deg)
        distance, _, mover, item = _at_angle(flat, pivot, radians(angle_deg))[:4]
        names = section.moving[mover].name, section.fixed[item].name
        rows.append(CurvePoint(angle_deg, distance, *names))
    return rows


def opened(point: Point, pivot: Point, angle_deg: float) -> Point:
    """Where a point of the lid comes to when it is opened by an angle.

    >>> tuple(round(c, 9) for c in opened((10, 0), (0, 0), 90))
    (0.0, 10.0)
    """
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    du, dv = point[0] - pivot[0], point[1] - pivot[1]
    return (pivot[0] + c * du - s * dv, pivot[1] + s * du + c * dv)


def check_pivot(pivot: Point) -> None:
    """Raises ValueError where the pivot is not a place."""
    if len(pivot) != 2 or not all(abs(c) < 1e6 for c in pivot):
        raise ValueError(f"pivot {pivot}: needs two numbers in mm, back and up from the lid's edge")


def _point(row: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> Point:
    return (float(row[0]), float(row[1]))


def _at_angle(
    flat: Flattened, pivot: Point, angle: float
) -> tuple[float, float, int, int, Point, Point]:
    """At one angle (radians): the least distance, an angle within which nothing can come to half
    of `TOUCHING`, the outlines and the points nearest."""
    a, b = np.nonzero(flat.told[flat.moving.item[:, None], flat.fixed.item[None, :]])
    about = np.tile(np.array(pivot, dtype=float), (len(a), 1))
    moving = flat.moving.curves.take(a)
    turned = moving.turned(about, np.full(len(a), angle))
    distance, on_mover, on_item = gaps(turned, flat.fixed.curves.take(b))
    best = int(distance.argmin())
    lever = np.maximum(reach(moving, about)[1], 1e-9)
    return (
        float(distance[best]), float(((distance - TOUCHING / 2) / lever).min()),
        int(flat.moving.item[a[best]]), int(flat.fixed.item[b[best]]),
        _point(on_mover[best]), _point(on_item[best]),
    )  # fmt: skip


def _first_touch(section: Section, flat: Flattened, pivot: Point, found: Nearest) -> Swing:
    """Opens the lid by no more than it surely may, again and again, until something touches."""
    angle, steps = 0.0, 0
    distance, free, mover, item, start, end = _at_angle(flat, pivot, angle)
    while distance >= TOUCHING and angle < flat.opening and steps < MOST_STEPS:
        angle, steps = angle + free, steps + 1
        distance, free, mover, item, start, end = _at_angle(flat, pivot, angle)
    turned = degrees(angle)
    on_lid = opened(start, pivot, -turned)
    if flat.shut[0] < TOUCHING or distance >= TOUCHING or angle > flat.opening:
        turned, on_lid = degrees(float(found.angle[0])), _point(found.on_mover[0])
        start, end = opened(on_lid, pivot, turned), _point(found.on_item[0])
        mover, item = int(found.mover[0]), int(found.item[0])
    return Swing(
        pivot, 0.0, 0.0, turned, section.moving[mover].name, section.fixed[item].name,
        on_lid, start, end,
    )  # fmt: skip
