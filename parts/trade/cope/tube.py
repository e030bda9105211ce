"""A round tube as a flat tab sees it, and where planes of the tab meet it.

The tab's own axes: x along its root, y up the tab and away from the tube, z square to it, with
z = 0 in the middle of its thickness.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, atan2, cos, hypot, inf, sin, sqrt

import numpy as np
from numpy.typing import ArrayLike

from parts.place import Place, unit
from parts.sheet.curve import Point

Point3 = tuple[float, float, float]
LEVEL = 1e-6  # a direction's part below this runs level: 0.2 micrometres off over 200 mm
UPRIGHT = 0.9999  # a tube whose axis runs up the tab by more than this cannot be coped onto


@dataclass(frozen=True, slots=True)
class TubeUnder:
    """A tube's outside: radius, a point of its axis and the axis' unit direction, in the tab's
    axes. Raises ValueError for a radius of 0 or an axis that runs up the tab."""

    radius: float
    point: Point3
    along: Point3

    def __post_init__(self) -> None:
        if self.radius <= 0:
            raise ValueError(f"a tube of radius {self.radius:g} mm; needs over 0")
        if abs(hypot(*self.along) - 1) > 1e-9:
            raise ValueError("the tube's direction must have length 1")
        if abs(self.along[1]) > UPRIGHT:
            raise ValueError("the tube's axis runs up the tab: there is no side to cope it to")

    @property
    def cant_deg(self) -> float:
        """Angle between the tube's axis and the tab's normal: 0 where the tab stands square
        across the tube, 90 where it lies along it."""
        return float(np.degrees(np.arccos(min(1.0, abs(self.along[2])))))

    def clear(self, at: Point3) -> float:
        """How far a point is outside the tube; below 0 inside.

        >>> TubeUnder(20, (0, 0, 0), (0, 0, 1)).clear((0, 30, 5))
        10.0
        """
        return self._from_axis(at) - self.radius

    def least_clear(self, x: float, y: float, half: float) -> float:
        """The least of that over the straight edge through the thickness, z from -half to
        half."""
        square = 1 - self.along[2] ** 2
        z = 0.0
        if square > LEVEL**2:
            start = (x - self.point[0], y - self.point[1], -self.point[2])
            ahead = sum(a * b for a, b in zip(start, self.along, strict=True))
            z = min(half, max(-half, (ahead * self.along[2] - start[2]) / square))
        return self.clear((x, y, z))

    def top(self, x: float, z: float) -> float:
        """Height y of the tube's upper side over (x, z); -inf beside the tube."""
        (ax, ay, az), (dx, dy, dz) = self.point, self.along
        run, rise = x - ax, z - az
        ahead, square = run * dx + rise * dz, 1 - dy * dy
        room = ahead**2 - square * (run**2 + rise**2 - self.radius**2)
        return -inf if room < 0 else ay + (dy * ahead + sqrt(room)) / square

    def bigger(self, by: float) -> TubeUnder:
        """The same tube with `by` more radius."""
        return TubeUnder(self.radius + by, self.point, self.along)

    def _from_axis(self, at: Point3) -> float:
        arm = [a - b for a, b in zip(at, self.point, strict=True)]
        ahead = sum(a * b for a, b in zip(arm, self.along, strict=True))
        return hypot(*(a - ahead * d for a, d in zip(arm, self.along, strict=True)))


def tube_under(diameter: float, point: ArrayLike, along: ArrayLike, tab: Place) -> TubeUnder:
    """A tube given in the vehicle's axes (a point of its axis, a direction of any length), seen
    from a tab at `tab`.

    >>> from parts.place import HERE
    >>> tube_under(76.1, (0, -41, 0), (0, 0, 2), HERE).along
    (0.0, 0.0, 1.0)
    """
    home = tab.inverse()
    x, y, z = home.apply(point).tolist()
    dx, dy, dz = home.direction(unit(along)).tolist()
    return TubeUnder(diameter / 2, (x, y, z), (dx, dy, dz))


@dataclass(frozen=True, slots=True)
class FaceCurve:
    """Where a plane z = const of the tab, one that is not level with the tube, meets its upper
    side: an ellipse, followed by `s` from left to right.

    Round the tube it is centre + cos(angle) across + sin(angle) up, with
    angle = start - turn s, so that x = centre + reach cos(s).
    """

    centre: Point
    across: Point
    up: Point
    reach: float
    start: float  # the angle where x is greatest, radians
    turn: float  # 1 or -1: which way round is the upper side

    def parameter(self, x: float) -> float:
        """s at an x; it grows from left to right. Raises ValueError beside the tube."""
        part = (x - self.centre[0]) / self.reach
        if abs(part) > 1:
            raise ValueError(
                f"the tube is met from {self.centre[0] - self.reach:.2f} to "
                f"{self.centre[0] + self.reach:.2f} mm along the root, not at {x:.2f} mm"
            )
        return -acos(part)

    def at(self, s: float) -> Point:
        c, n = cos(self.start - self.turn * s), sin(self.start - self.turn * s)
        (cx, cy), (ax, ay), (ux, uy) = self.centre, self.across, self.up
        return (cx + c * ax + n * ux, cy + c * ay + n * uy)

    def slope(self, s: float) -> Point:
        """(dx/ds, dy/ds)."""
        c, n = cos(self.start - self.turn * s), sin(self.start - self.turn * s)
        (ax, ay), (ux, uy) = self.across, self.up
        return (self.turn * (n * ax - c * ux), self.turn * (n * ay - c * uy))


def face_curve(tube: TubeUnder, z: float) -> FaceCurve:
    """The upper side of the tube in the plane at `z`; the tube must not be level with it."""
    (px, py, pz), (dx, dy, dz) = tube.point, tube.along
    ahead = (z - pz) / dz
    across, up = ((tube.radius * (v[0] - v[2] * dx / dz), tube.radius * (v[1] - v[2] * dy / dz))
                  for v in round_axes(tube))  # fmt: skip
    start = atan2(up[0], across[0])
    highest = cos(start) * up[1] - sin(start) * across[1]  # y a quarter turn on
    return FaceCurve(
        (px + ahead * dx, py + ahead * dy), across, up, hypot(across[0], up[0]), start,
        1.0 if highest > 0 else -1.0,
    )  # fmt: skip


def root_on_tube(tube: TubeUnder, left: float, right: float, half: float) -> None:
    """Raises ValueError where a root end lies beside the tube on a face, at z = -half or half."""
    for x in (left, right):
        if all(tube.top(x, z) > -inf for z in (-half, half)):
            continue
        if abs(tube.along[2]) < LEVEL:
            raise ValueError(
                f"a face of the tab lies beside the tube, whose axis is {abs(tube.point[2]):.2f} "
                f"mm from the tab's middle and radius {tube.radius:g} mm: move the tab in"
            )
        spans = [face_curve(tube, z) for z in (-half, half)]
        least = max(span.centre[0] - span.reach for span in spans)
        most = min(span.centre[0] + span.reach for span in spans)
        raise ValueError(
            f"the root's end at {x:.2f} mm lies beside the tube, which both faces meet from "
            f"{least:.2f} to {most:.2f} mm: make the root narrower or move it"
        )


def round_axes(tube: TubeUnder, toward: ArrayLike | None = None) -> tuple[Point3, Point3]:
    """Two unit vectors square to the axis and to each other, with the axis a right hand; the
    first points as near `toward` as that allows. Raises ValueError where that runs along it."""
    d = np.array(tube.along)
    pick = np.eye(3)[int(np.abs(d).argmin())] if toward is None else unit(toward)
    if abs(float(pick @ d)) > UPRIGHT:
        raise ValueError("the direction to mark runs along the tube: it marks no line on it")
    e = unit(pick - pick @ d * d)
    ex, ey, ez = e.tolist()
    fx, fy, fz = np.cross(d, e).tolist()
    return (ex, ey, ez), (fx, fy, fz)
