"""Cuts through bent metal: what a line or an arc of the flat becomes on a skin of the bend.

A straight cut on a bend is a straight line in the cylinder's own (angle, axial) parameters and a
round cut an ellipse, both exact; their curve in space is a quintic spline within `FIT` of it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin, tau
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from parts.place import Place, Vector, cross
from parts.sheet.bent import axis_height, skin_radius
from parts.sheet.blank import Bend
from parts.sheet.curve import Arc, Line
from parts.sheet.shape import Cylinder, EllipseTrace, LineTrace, Ring, Spline

FIT = 2e-8  # mm; a third of the kernel's own tolerance or less, else its checker objects
LEVEL = 1e-9  # mm; a cut that strays less than this runs along the bend, or square across it

Array: TypeAlias = NDArray[np.float64]
Curve3: TypeAlias = Callable[[Array], tuple[Array, ...]]


@dataclass(frozen=True, eq=False)
class Bow:
    """A flat cut of a bent region: u(x), v(x), each with first and second derivative."""

    low: float
    high: float
    flat: Callable[[Array], tuple[Array, ...]]


@dataclass(frozen=True, eq=False)
class BentSkin:
    """The layer at depth `w` of a bent region; `place` is that of the side before the bend."""

    place: Place
    bend: Bend
    thickness: float
    w: float

    @property
    def radius(self) -> float:
        """Radius of the cylinder it is rolled to."""
        return skin_radius(self.bend, self.thickness, self.w)

    def surface(self) -> Cylinder:
        """The cylinder; its angle is 0 where the bend starts and grows with the turn."""
        bend, way = self.bend, 1.0 if self.bend.up else -1.0
        return Cylinder(
            self.place.apply([*bend.start, axis_height(bend, self.thickness)]),
            self.place.direction([way * bend.along[0], way * bend.along[1], 0.0]),
            -way * self.place.turn[:, 2],
            self.radius,
        )

    def in_space(self, bow: Bow) -> Curve3:
        """Position, first and second derivative (n, 3) of a flat cut once it is bent."""
        bend, radius, rn = self.bend, self.radius, self.bend.neutral_radius
        along = self.place.direction([*bend.along, 0.0])
        across = self.place.direction([*bend.across, 0.0])
        z = (1.0 if bend.up else -1.0) * self.place.turn[:, 2]
        center = self.place.apply([*bend.start, axis_height(bend, self.thickness)])

        def curve(x: Array) -> tuple[Array, ...]:
            u, du, ddu, v, dv, ddv = (part[:, None] for part in bow.flat(x))
            s, c = np.sin(u / rn), np.cos(u / rn)
            out, onward = s * across - c * z, c * across + s * z
            turn, turn2 = du / rn, ddu / rn
            return (
                center + v * along + radius * out,
                dv * along + radius * turn * onward,
                ddv * along + radius * (turn2 * onward - turn * turn * out),
            )

        return curve

    def square_cut(self, cut: Line, start: Vector) -> Ring:
        """The arc that a straight cut square across the bend becomes; `start` is its start."""
        bend = self.bend
        u0, u1, v = bend.ahead(cut.start), bend.ahead(cut.end), bend.beside(cut.start)
        d, n = bend.along, bend.across
        foot = (bend.start[0] + v * d[0], bend.start[1] + v * d[1])
        center = self.place.apply([*foot, axis_height(bend, self.thickness)])
        x = (start - center) / self.radius
        angle = u0 / bend.neutral_radius
        rise = sin(angle) if bend.up else -sin(angle)
        ahead = self.place.direction([cos(angle) * n[0], cos(angle) * n[1], rise])
        axis = cross(x, ahead if u1 > u0 else -ahead)
        axis /= np.linalg.norm(axis)
        return Ring(center, axis, x, self.radius)


def straight_cut(bend: Bend, cut: Line) -> tuple[Bow, LineTrace]:
    """A straight cut in the flat, and the line it is in (angle, axial)."""
    way, rn = 1.0 if bend.up else -1.0, bend.neutral_radius
    u0, v0 = bend.ahead(cut.start), bend.beside(cut.start)
    u1, v1 = bend.ahead(cut.end), bend.beside(cut.end)
    turn, run = (u1 - u0) / rn, v1 - v0
    size = hypot(turn, run)

    def flat(x: Array) -> tuple[Array, ...]:
        one = np.ones_like(x)
        du, dv = (u1 - u0) / size, run / size
        return u0 + du * x, du * one, 0 * one, v0 + dv * x, dv * one, 0 * one

    trace = LineTrace((u0 / rn, way * v0), (turn / size, way * run / size))
    return Bow(0.0, size, flat), trace


def round_cut(bend: Bend, cut: Arc) -> tuple[Bow, EllipseTrace]:
    """A round cut in the flat, and the ellipse it is in (angle, axial)."""
    way, spin = (1.0 if bend.up else -1.0), (1.0 if cut.sweep > 0 else -1.0)
    rn, r = bend.neutral_radius, cut.radius
    uc, vc = bend.ahead(cut.center), bend.beside(cut.center)
    center = (uc / rn, way * vc)
    first = cut.start_angle - atan2(bend.along[1], bend.along[0])
    if rn >= 1:  # the ellipse is longer along the axis than round it
        trace = EllipseTrace(center, (0.0, way), (spin, 0.0), r, r / rn)
        low = (spin * first) % tau
    else:
        trace = EllipseTrace(center, (1.0, 0.0), (0.0, -spin * way), r / rn, r)
        low = (spin * (first - pi / 2)) % tau

    def flat(x: Array) -> tuple[Array, ...]:
        angle = first + spin * (x - low)
        s, c = r * np.sin(angle), r * np.cos(angle)
        return uc + s, spin * c, -s, vc + c, -spin * s, -c

    return Bow(low, low + abs(cut.sweep), flat), trace


def spans_needed(curve: Curve3, low: float, high: float) -> int:
    """Spans that keep the quintic within FIT, judged at the middle of each span."""
    spans = 2
    while True:
        at = np.linspace(low, high, spans + 1)
        b0, b1, b2, b3, b4, b5 = _hermite(curve, at)
        middle = (b0 + 5 * b1 + 10 * b2 + 10 * b3 + 5 * b4 + b5) / 32
        off = middle - curve(at[:-1] + (at[1] - at[0]) / 2)[0]
        worst = float(np.sqrt((off**2).sum(axis=1).max()))
        if worst <= FIT:
            return spans
        spans = max(spans + 1, int(np.ceil(spans * min(4.0, 1.02 * (worst / FIT) ** (1 / 6)))))


def quintic(curve: Curve3, knots: NDArray[np.float64]) -> Spline:
    """The C2 quintic through position and two derivatives at the knots."""
    b0, b1, b2, b3, b4, b5 = _hermite(curve, knots)
    spans = len(knots) - 1
    poles = np.empty((3 * spans + 3, 3))
    poles[:3] = b0[0], b1[0], b2[0]
    poles[-3:] = b3[-1], b4[-1], b5[-1]
    for i in range(spans - 1):
        poles[3 * i + 3 : 3 * i + 6] = b3[i], 2 * b4[i] - b3[i], b2[i + 1]
    return Spline(poles, knots)


def _hermite(curve: Curve3, at: NDArray[np.float64]) -> list[NDArray[np.float64]]:
    """The six Bezier poles of every span, each (spans, 3)."""
    h = float(at[1] - at[0])
    p, d, dd = curve(at)
    b0, b5 = p[:-1], p[1:]
    b1, b4 = b0 + h / 5 * d[:-1], b5 - h / 5 * d[1:]
    b2 = b0 + 2 * h / 5 * d[:-1] + h * h / 20 * dd[:-1]
    b3 = b5 - 2 * h / 5 * d[1:] + h * h / 20 * dd[1:]
    return [b0, b1, b2, b3, b4, b5]
