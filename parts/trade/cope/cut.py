"""The foot of a flat tab on a round tube: one line, cut square through the thickness, that
stays off the tube everywhere, and the gap that it leaves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, degrees, hypot
from typing import Literal

from parts.sheet.biarc import biarcs
from parts.sheet.curve import Arc, Curve, Line, Point
from parts.trade.cope.tube import LEVEL, TubeUnder, face_curve, root_on_tube

TOLERANCE = 0.01  # mm, from the true curve to the lines and arcs cut
PLACES = 24  # along each line or arc where the gap is stated
SHORT = 1e-5  # mm along the root; pieces shorter than this are left out

SQUARE = 1 - 1e-12  # a tube more along the tab's normal than this shows a circle

Shape = Literal["circle", "ellipse", "straight"]


@dataclass(frozen=True, slots=True)
class Gap:
    """The gap between tab and tube at one place: at (x, y) of the cut on the faces z = -t/2 and
    z = t/2, and the least through the thickness."""

    at: Point
    back: float
    front: float
    least: float

    @property
    def greatest(self) -> float:
        return max(self.back, self.front)


@dataclass(frozen=True, slots=True)
class Cope:
    """The cut from left to right, in the tab's axes. `shape` is what a face makes of the tube;
    for an ellipse `long` is its half axis that lies `long_deg` from x (half axes are the tube's
    outside, without the gap)."""

    curves: tuple[Curve, ...]
    thickness: float
    gap: float  # asked for
    shape: Shape
    long: float
    long_deg: float
    gaps: tuple[Gap, ...]

    @property
    def widest(self) -> Gap:
        """Where the gap on a face is greatest."""
        return max(self.gaps, key=lambda gap: gap.greatest)

    @property
    def tightest(self) -> Gap:
        """Where the tab comes nearest to the tube."""
        return min(self.gaps, key=lambda gap: gap.least)

    @property
    def depth(self) -> float:
        """How far the cut arches above the lower end of the root."""
        ys = [curve.box() for curve in self.curves]
        return max(box[3] for box in ys) - min(self.curves[0].start[1], self.curves[-1].end[1])


def cope(
    tube: TubeUnder, left: float, right: float, thickness: float, gap: float = 0.0,
    tolerance: float = TOLERANCE,
) -> Cope:
    """The foot of a tab from x = `left` to `right`, `gap` off the tube at its nearest.

    A cut square through the plate has to clear the tube all through the thickness: it follows
    the face that lies higher, or the tube's own crown where that lies between the faces. The
    gap is kept as a distance, so the cut is that to a tube thicker by it. Lines and arcs lie
    within `tolerance` of the true curve.

    Square across a tube of 76.1 the cut is an arc of 38.05, 70 wide and 23.1 deep:

    >>> square = cope(TubeUnder(38.05, (0, 0, 0), (0, 0, 1)), -35, 35, 6)
    >>> len(square.curves), round(square.depth, 1), round(square.widest.greatest, 6)
    (1, 23.1, 0.0)

    Raises ValueError where a root end lies beside the tube, or the tab lies off it altogether.
    """
    if not left < right:
        raise ValueError(f"the root must run from left to right, not from {left:g} to {right:g}")
    if thickness <= 0 or gap < 0:
        raise ValueError(f"thickness {thickness:g} and gap {gap:g} mm; needs over 0, and 0 or more")
    half, fat = thickness / 2, tube.bigger(gap)
    root_on_tube(tube, left, right, half)
    curves = tuple(c for piece in _pieces(fat, left, right, half)
                   for c in _drawn(fat, *piece, tolerance))  # fmt: skip
    (dx, dy, dz) = tube.along
    shape: Shape = "circle" if abs(dz) > SQUARE else "ellipse"
    shape = "straight" if abs(dz) < LEVEL else shape
    long = tube.radius / abs(dz) if shape == "ellipse" else tube.radius
    long_deg = degrees(atan2(dy, dx)) % 180 if shape != "circle" else 0.0
    gaps = tuple(_gaps(tube, curves, half))
    return Cope(curves, thickness, gap, shape, long, long_deg, gaps)


def _pieces(
    tube: TubeUnder, left: float, right: float, half: float
) -> Iterator[tuple[float | None, float, float]]:
    """Stretches of the root with the z that governs: that of a face, or None for the crown."""
    (ax, _, az), (dx, dy, dz) = tube.point, tube.along
    if abs(dz) < LEVEL:
        yield (None if abs(az) <= half else half if az > 0 else -half), left, right
        return
    if abs(dx) < LEVEL * abs(dz):
        yield (half if dy * dz > 0 else -half), left, right
        return
    crown = ax - tube.radius * dy * (1 if dx > 0 else -1) / hypot(dx, dy)
    ends = sorted((crown + (z - az) * dx / dz, z) for z in (-half, half))
    stretches = [
        (ends[0][1], left, min(ends[0][0], right)),
        (None, max(ends[0][0], left), min(ends[1][0], right)),
        (ends[1][1], max(ends[1][0], left), right),
    ]
    for z, start, end in stretches:
        if end - start > SHORT:
            yield z, start, end


def _drawn(
    tube: TubeUnder, z: float | None, start: float, end: float, tolerance: float
) -> tuple[Curve, ...]:
    (ax, ay, _), (dx, dy, dz) = tube.point, tube.along
    if z is None:
        flat = hypot(dx, dy)
        over = ay + tube.radius * flat / abs(dx) - ax * dy / dx
        return (Line((start, over + start * dy / dx), (end, over + end * dy / dx)),)
    if abs(dz) < LEVEL:
        return (Line((start, tube.top(start, z)), (end, tube.top(end, z))),)
    face = face_curve(tube, z)
    low, high = face.parameter(start), face.parameter(end)
    if abs(dz) > SQUARE:
        return (Arc(face.at(low), face.at(high), face.centre, low - high),)
    return biarcs(face.at, face.slope, low, high, tolerance)


def _gaps(tube: TubeUnder, curves: tuple[Curve, ...], half: float) -> Iterator[Gap]:
    for n, curve in enumerate(curves):
        last = n == len(curves) - 1
        for k in range(PLACES + 1 if last else PLACES):
            x, y = curve.at(k / PLACES)
            yield Gap(
                (x, y), tube.clear((x, y, -half)), tube.clear((x, y, half)),
                tube.least_clear(x, y, half),
            )  # fmt: skip

