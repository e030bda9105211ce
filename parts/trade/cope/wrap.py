"""A paper to wrap round the tube: where the tab's faces stand on it, and lines to set it by.

Drawn as it lies flat, printed side out: to the right is the distance round the tube, up is along
its axis. The paper's own thickness is left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import atan2, pi, sqrt

import numpy as np
from numpy.typing import ArrayLike

from parts.sheet.biarc import biarcs
from parts.sheet.curve import Curve, Line, Point
from parts.sheet.loop import Loop, joined, reversed_loop
from parts.trade.cope.tube import LEVEL, Point3, TubeUnder, face_curve, root_on_tube, round_axes


@dataclass(frozen=True, slots=True)
class WrapLine:
    """A line to set the paper by, and what it marks."""

    name: str
    line: Line


@dataclass(frozen=True, slots=True)
class WrapPaper:
    """`foot` is where the tab's faces and ends, made longer down to the tube, would stand on it.
    x = 0 lies along the tube on the side of the direction first marked, y = 0 round it abreast
    of the hole; the paper meets itself after `circumference`."""

    circumference: float
    foot: Loop
    lines: tuple[WrapLine, ...]


@dataclass(frozen=True, slots=True)
class _Unrolled:
    """The tube's outside laid flat: distance round it from `zero`, and along it from `base`."""

    tube: TubeUnder
    zero: Point3
    quarter: Point3
    base: float

    def at(self, point: Point3, near: float = 0.0) -> Point:
        """The paper's point; of the turns round the tube the one nearest to `near`, radians."""
        arm = [a - b for a, b in zip(point, self.tube.point, strict=True)]
        angle = atan2(_dot(arm, self.quarter), _dot(arm, self.zero))
        angle += 2 * pi * round((near - angle) / (2 * pi))
        return (self.tube.radius * angle, _dot(arm, self.tube.along) - self.base)


def wrap_paper(
    tube: TubeUnder, left: float, right: float, thickness: float, hole: Point,
    marks: Mapping[str, ArrayLike], tolerance: float = 0.01,
) -> WrapPaper:
    """The paper for a tab whose root runs from `left` to `right` and whose hole is at `hole`.

    `marks`: names and directions, in the tab's axes, that get a line along the tube; the first
    is the paper's zero (the link, straight up). Square across a tube of 76.1 a foot 70 wide
    reaches 2 x 38.05 x asin(35 / 38.05) round it and the plate's thickness along it:

    >>> from parts.sheet.loop import box
    >>> tube = TubeUnder(38.05, (0, 0, 0), (0, 0, 1))
    >>> paper = wrap_paper(tube, -35, 35, 6, (0, 60), {"hole": (0, 1, 0)})
    >>> tuple(round(c, 2) for c in box(paper.foot))
    (-44.43, -3.0, 44.43, 3.0)

    Raises ValueError without a mark, for one that runs along the tube, and where a root end lies
    beside the tube.
    """
    root_on_tube(tube, left, right, thickness / 2)
    if not marks:
        raise ValueError("a paper needs a direction to mark: it is set by that line")
    first = next(iter(marks.values()))
    zero, quarter = round_axes(tube, first)
    arm = (hole[0] - tube.point[0], hole[1] - tube.point[1], -tube.point[2])
    flat = _Unrolled(tube, zero, quarter, _dot(arm, tube.along))
    half = thickness / 2
    back = _along_face(flat, left, right, -half, tolerance)
    front = _along_face(flat, left, right, half, tolerance, _turn(flat, back[0].start))
    sides = [_across_end(flat, x, half, tolerance, _turn(flat, near))
             for x, near in ((right, back[-1].end), (left, back[0].start))]  # fmt: skip
    foot = joined(
        (*back, *sides[0], *reversed_loop(front), *reversed_loop(sides[1])), "the foot on the paper"
    )
    ys = [y for curve in foot for y in curve.box()[1::2]]
    low, high = min(*ys, 0.0) - half, max(*ys, 0.0) + half
    girth = 2 * pi * tube.radius
    lines = [WrapLine("abreast of the hole", Line((-girth / 2, 0.0), (girth / 2, 0.0)))]
    for name, direction in marks.items():
        e, _ = round_axes(tube, direction)
        x = tube.radius * atan2(_dot(e, quarter), _dot(e, zero))
        lines.append(WrapLine(name, Line((x, low), (x, high))))
    return WrapPaper(girth, foot, tuple(lines))


def _along_face(
    flat: _Unrolled, left: float, right: float, z: float, tolerance: float, near: float = 0.0
) -> tuple[Curve, ...]:
    """A face of the tab on the paper, from left to right."""
    tube = flat.tube
    start = flat.at((left, tube.top(left, z), z), near)
    (dx, dy, dz), radius = tube.along, tube.radius
    if abs(dz) < LEVEL:
        return (Line(start, flat.at((right, tube.top(right, z), z), _turn(flat, start))),)
    face = face_curve(tube, z)
    low, high = face.parameter(left), face.parameter(right)

    def at(s: float) -> Point:
        x, y = face.at(s)
        _, up = flat.at((x, y, z))
        return (start[0] - face.turn * radius * (s - low), up)

    def slope(s: float) -> Point:
        sx, sy = face.slope(s)
        return (-face.turn * radius, sx * dx + sy * dy)

    return biarcs(at, slope, low, high, tolerance)


def _across_end(
    flat: _Unrolled, x: float, half: float, tolerance: float, near: float
) -> tuple[Curve, ...]:
    """An end of the root on the paper, from the back face to the front."""
    tube = flat.tube
    (px, _, pz), (dx, dy, dz) = tube.point, tube.along
    square = 1 - dy * dy

    def at(z: float) -> Point:
        return flat.at((x, tube.top(x, z), z), near)

    def slope(z: float) -> Point:
        ahead, rise = (x - px) * dx + (z - pz) * dz, z - pz
        room = ahead**2 - square * ((x - px) ** 2 + rise**2 - tube.radius**2)
        climb = (dy * dz + (ahead * dz - square * rise) / sqrt(room)) / square
        step = np.array([0.0, climb, 1.0])
        out = np.array([x - px, tube.top(x, z) - tube.point[1], rise])
        round_it = np.cross(np.array(tube.along), out) / tube.radius
        return (float(step @ round_it), float(step @ np.array(tube.along)))

    return biarcs(at, slope, -half, half, tolerance)


def _turn(flat: _Unrolled, at: Point) -> float:
    return at[0] / flat.tube.radius


def _dot(a: ArrayLike, b: ArrayLike) -> float:
    return float(np.dot(a, b))
