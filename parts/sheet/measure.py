"""Exact measures of the folded metal: volume, mass, centre of mass, axes of holes and bends."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.sheet import loop as loops
from parts.sheet.bent import axis_height
from parts.sheet.blank import Bend
from parts.sheet.curve import Arc, Point
from parts.sheet.fold import Folded, Region

KG_MM3 = 1e-9  # kg/m3 to kg/mm3


@dataclass(frozen=True, eq=False)
class RoundAxis:
    """The axis of a round cut in flat metal: a hole, or one end of a slot.

    `point` (3,) lies at half thickness; `direction` (3,) leaves the drawn face.
    """

    name: str
    flat: Point
    diameter: float
    whole: bool
    point: Vector
    direction: Vector


@dataclass(frozen=True, eq=False)
class BendAxis:
    """The axis a bend is rolled about: a point on it and its direction (3,)."""

    bend: Bend
    point: Vector
    direction: Vector


def blank_area(folded: Folded) -> float:
    """Area of sheet left after cutting, mm2."""
    return sum(loops.area(loop) for loop in folded.blank.loops)


def region_volume(folded: Folded, region: Region) -> float:
    """Exact volume, mm3: a bent region keeps its angle and width whatever its outline is."""
    t, bend = folded.blank.thickness, folded.bend_of(region)
    if bend is None:
        return region.area * t
    return region.area / bend.neutral_radius * t * (bend.radius + t / 2)


def volume(folded: Folded) -> float:
    """Exact volume of the folded metal, mm3."""
    return sum(region_volume(folded, region) for region in folded.regions)


def mass_kg(folded: Folded, density_kg_m3: float) -> float:
    """Mass of the folded metal."""
    return volume(folded) * density_kg_m3 * KG_MM3


def center_of_mass(folded: Folded) -> Vector:
    """Centre of mass in the part's own axes (3,), mm."""
    moment = sum((_moment(folded, region) for region in folded.regions), np.zeros(3))
    return np.asarray(moment / volume(folded))


def _moment(folded: Folded, region: Region) -> Vector:
    """Integral of position over the region's volume (3,), mm4."""
    t, bend = folded.blank.thickness, folded.bend_of(region)
    if bend is None:
        mx = _around(region, lambda x, y: 0.5 * x * x, 1)
        my = -_around(region, lambda x, y: 0.5 * y * y, 0)
        local = np.array([mx * t, my * t, region.area * t * t / 2])
        return np.asarray(region.place.turn @ local + region.place.origin * (region.area * t))
    return _bent_moment(region, bend, t)


def _bent_moment(region: Region, bend: Bend, t: float) -> Vector:
    rn, (dx, dy), (nx, ny) = bend.neutral_radius, bend.along, bend.across

    def ahead(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
        return (x - bend.start[0]) * nx + (y - bend.start[1]) * ny

    def beside(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
        return (x - bend.start[0]) * dx + (y - bend.start[1]) * dy

    def flux(f: _Flux, toward: Point) -> float:
        """Integral over the area of a field's divergence, the field f along `toward`."""
        return toward[0] * _around(region, f, 1) - toward[1] * _around(region, f, 0)

    run = flux(lambda x, y: 0.5 * beside(x, y) ** 2, bend.along)
    sines = flux(lambda x, y: -rn * np.cos(ahead(x, y) / rn), bend.across)
    cosines = flux(lambda x, y: rn * np.sin(ahead(x, y) / rn), bend.across)
    first = t * (bend.radius + t / 2)
    second = ((bend.radius + t) ** 3 - bend.radius**3) / 3
    way = 1.0 if bend.up else -1.0
    center = np.array([*bend.start, axis_height(bend, t)])
    along, across = np.array([dx, dy, 0.0]), np.array([nx, ny, 0.0])
    local = first * (center * region.area + along * run)
    local = local + second * (across * sines - np.array([0.0, 0.0, way]) * cosines)
    moment = region.place.turn @ local / rn + region.place.origin * (region.area / rn * first)
    return np.asarray(moment)


_Flux = Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.float64]]


@cache
def _nodes() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    x, w = np.polynomial.legendre.leggauss(24)
    return (x + 1) / 2, w / 2


def _around(region: Region, f: _Flux, along: int) -> float:
    """Line integral of f dx (along 0) or f dy (along 1) round the region's boundary.

    Gauss-Legendre, 24 points to a side or a third of a circle: exact to rounding for these.
    """
    nodes, weights = _nodes()
    total = 0.0
    for loop in region.curves:
        for curve in loop:
            parts = 3 if isinstance(curve, Arc) else 1
            for k in range(parts):
                at = (k + nodes) / parts
                if isinstance(curve, Arc):
                    angle = curve.start_angle + at * curve.sweep
                    r = curve.radius
                    x, y = curve.center[0] + r * np.cos(angle), curve.center[1] + r * np.sin(angle)
                    rate = (-r * np.sin(angle), r * np.cos(angle))[along] * curve.sweep / parts
                else:
                    (x0, y0), (x1, y1) = curve.start, curve.end
                    x, y = x0 + at * (x1 - x0), y0 + at * (y1 - y0)
                    rate = np.full_like(at, (x1 - x0, y1 - y0)[along])
                total += float(np.sum(weights * f(x, y) * rate))
    return total


def round_axes(folded: Folded) -> tuple[RoundAxis, ...]:
    """Axes of all round cuts of the cut-outs that lie in flat metal, slot ends included."""
    names = {
        (round(curve.center[0], 6), round(curve.center[1], 6)): cutout.name
        for cutout in folded.blank.cutouts
        for curve in cutout.loop
        if isinstance(curve, Arc)
    }
    found = []
    t = folded.blank.thickness
    for region in folded.regions:
        if region.bend is not None:
            continue
        for loop in region.curves[1:]:  # an opening that crosses a fold line is no inner loop
            for curve in loop:
                if not isinstance(curve, Arc) or curve.sweep > 0:
                    continue
                name = names.get((round(curve.center[0], 6), round(curve.center[1], 6)))
                if name is not None:
                    found.append(
                        RoundAxis(
                            name,
                            curve.center,
                            2 * curve.radius,
                            curve.full,
                            folded.space(region, curve.center, t / 2),
                            region.place.turn[:, 2],
                        )
                    )
    return tuple(found)


def bend_axes(folded: Folded) -> tuple[BendAxis, ...]:
    """The axis of every bend in the part's own axes."""
    found = []
    for number, bend in enumerate(folded.blank.bends):
        region = next(region for region in folded.regions if region.bend == number)
        height = axis_height(bend, folded.blank.thickness)
        point = region.place.apply([*bend.start, height])
        found.append(BendAxis(bend, point, region.place.direction([*bend.along, 0.0])))
    return tuple(found)


def blank_box(folded: Folded) -> tuple[float, float]:
    """Width and height of the blank as drawn, mm."""
    x0, y0, x1, y1 = loops.box(folded.blank.outline)
    return x1 - x0, y1 - y0

