"""Regions as straight lines: their faceted outlines, and a line network just under their skin.

Arcs and bends are replaced by chords within `CHORD` of them. A region's own axes are the flat's
(x, y, w) or, for a bent one, (beside, ahead, w) of its bend; in them any region is its outline
times the thickness.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import acos, ceil, pi
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from parts.sheet.bent import axis_height
from parts.sheet.blank import Bend
from parts.sheet.curve import Arc, Curve
from parts.sheet.fold import Folded, Region
from parts.sheet.loop import Loop

INSET = 0.02  # mm below the skin
CHORD = 0.005  # mm that a chord may stray from its arc
RULING = 0.05  # mm; the same for the lines laid along a bend between its cut edges

Array: TypeAlias = NDArray[np.float64]
Numbers: TypeAlias = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Zone:
    """A region in its own axes: flat (x, y, w), or (beside, ahead, w) of its bend.

    `sides` (m, 2, 2) is the faceted boundary, metal on the left; `lines` (n, 2, 3) the network
    under its skin; `box` (2, 3) the network's least and greatest x, y, z in space, with a margin.
    """

    region: Region
    bend: Bend | None
    thickness: float
    sides: Array
    lines: Array
    box: Array

    def local(self, points: Array) -> Array:
        """Points in space (..., 3) in the flat axes of this region, not yet unrolled."""
        place = self.region.place
        return np.asarray((points - place.origin) @ place.turn)

    def about_axis(self, local: Array) -> Array:
        """Local points (..., 3) as (along the axis, out, drop) of a bent region's axis."""
        assert self.bend is not None
        d, n = np.array(self.bend.along), np.array(self.bend.across)
        flat = local[..., :2] - np.array(self.bend.start)
        drop = axis_height(self.bend, self.thickness) - local[..., 2]
        return np.stack([flat @ d, flat @ n, drop if self.bend.up else -drop], axis=-1)

    def unrolled(self, about: Array) -> Array:
        """Points about the axis (..., 3) as (beside, ahead, w)."""
        bend = self.bend
        assert bend is not None
        radius = np.hypot(about[..., 1], about[..., 2])
        middle = bend.turn_rad / 2  # the jump of the angle lies opposite the middle of the bend
        angle = np.arctan2(about[..., 1], about[..., 2])
        angle = (angle - middle + pi) % (2 * pi) - pi + middle
        w = bend.radius + self.thickness - radius if bend.up else radius - bend.radius
        return np.stack([about[..., 0], angle * bend.neutral_radius, w], axis=-1)

    def space(self, own: Array) -> Array:
        """Own points (..., 3) where they stand in space (..., 3)."""
        return self.region.place.apply(own if self.bend is None else self._rolled(self.bend, own))

    def _rolled(self, bend: Bend, own: Array) -> Array:
        beside, ahead, w = own[..., 0], own[..., 1], own[..., 2]
        angle = ahead / bend.neutral_radius
        radius = bend.radius + (self.thickness - w if bend.up else w)
        out, drop = radius * np.sin(angle), radius * np.cos(angle)
        flat = (
            np.array(bend.start)
            + beside[..., None] * np.array(bend.along)
            + out[..., None] * np.array(bend.across)
        )
        z = axis_height(bend, self.thickness) + (-drop if bend.up else drop)
        return np.concatenate([flat, z[..., None]], axis=-1)


def zone_of(folded: Folded, region: Region) -> Zone:
    """The region's outline and network."""
    bend, t = folded.bend_of(region), folded.blank.thickness
    rims: list[tuple[Array, Array]] = []
    for loop in region.curves:
        points, corners = _faceted(loop)
        if bend is not None:
            points = points - np.array(bend.start)
            points = points @ np.column_stack([bend.along, bend.across])
        rims.append((points, corners))
    sides = np.concatenate([np.stack([p, np.roll(p, -1, axis=0)], axis=1) for p, _ in rims])
    lines = np.concatenate(list(_network(rims, sides, bend, t)))
    zone = Zone(region, bend, t, sides, lines, np.empty((2, 3)))
    ends = zone.space(lines).reshape(-1, 3)
    margin = 2 * INSET + RULING
    box = np.stack([ends.min(axis=0) - margin, ends.max(axis=0) + margin])
    return Zone(region, bend, t, sides, lines, box)


def _faceted(loop: Loop) -> tuple[Array, Array]:
    """Points along a loop (n, 2) and the numbers of those where two curves join."""
    points: list[tuple[float, float]] = []
    corners: list[int] = []
    for curve in loop:
        corners.append(len(points))
        count = _chords(curve)
        points += [curve.at(i / count) for i in range(count)]
    return np.array(points), np.array(corners)


def _chords(curve: Curve) -> int:
    if not isinstance(curve, Arc):
        return 1
    return ceil(abs(curve.sweep) / _step(curve.radius, CHORD))


def _step(radius: float, stray: float) -> float:
    """Angle of a chord that strays that far from its circle; at most an eighth of a turn."""
    return 2 * acos(max(1 - stray / radius, 0.924)) if radius > stray else pi / 4


def _network(
    rims: list[tuple[Array, Array]], sides: Array, bend: Bend | None, t: float
) -> Iterator[Array]:
    """Lines (n, 2, 3) just inside: round every rim, through at its corners, along the bend."""
    depths = (INSET, t - INSET)
    for points, corners in rims:
        rim = _inset(points)
        around = np.stack([rim, np.roll(rim, -1, axis=0)], axis=1)
        if bend is not None:
            around = _split(around, bend.neutral_radius * _step(bend.radius + t, CHORD))
        for w in depths:
            yield _at_depth(around, w, w)
        yield _at_depth(np.stack([rim[corners], rim[corners]], axis=1), *depths)
    if bend is not None:
        along = _rulings(sides, bend.neutral_radius * _step(bend.radius + t, RULING))
        for w in depths:
            yield _at_depth(along, w, w)


def _at_depth(lines: Array, first: float, last: float) -> Array:
    w = np.broadcast_to(np.array([[first], [last]]), (len(lines), 2, 1))
    return np.concatenate([lines, w], axis=2)


def _inset(points: Array) -> Array:
    """A closed run of points (n, 2) moved INSET into the metal on its left."""
    ahead = np.roll(points, -1, axis=0) - points
    ahead /= np.maximum(np.linalg.norm(ahead, axis=1), 1e-12)[:, None]
    normal = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    before = np.roll(normal, 1, axis=0)
    spread = np.maximum(1 + (normal * before).sum(axis=1), 0.25)
    return np.asarray(points + INSET * (normal + before) / spread[:, None])


def _split(lines: Array, longest: float) -> Array:
    """Lines (n, 2, 2) cut so that none runs further than `longest` ahead."""
    counts = np.ceil(np.abs(lines[:, 1, 1] - lines[:, 0, 1]) / longest).astype(np.intp)
    number, low, high = pieces(np.maximum(counts, 1))
    start, run = lines[number, 0], lines[number, 1] - lines[number, 0]
    return np.stack([start + low[:, None] * run, start + high[:, None] * run], axis=1)


def pieces(counts: Numbers) -> tuple[Numbers, Array, Array]:
    """For things cut into `counts` equal pieces: each piece's thing, low and high fraction."""
    number = np.repeat(np.arange(len(counts)), counts)
    piece = np.arange(len(number)) - np.repeat(np.cumsum(counts) - counts, counts)
    return number, piece / counts[number], (piece + 1) / counts[number]


def _rulings(sides: Array, step: float) -> Array:
    """Lines along the bend (n, 2, 2) across its metal, one about every `step` ahead."""
    low, high = float(sides[..., 1].min()), float(sides[..., 1].max())
    count = ceil((high - low) / step)
    stations = low + (np.arange(1, count) / count) * (high - low) + 1.2345e-7
    ahead = sides[None, :, :, 1] > stations[:, None, None]
    row, side = np.nonzero(ahead[..., 0] != ahead[..., 1])
    a, b = sides[side, 0], sides[side, 1]
    at = a[:, 0] + (b[:, 0] - a[:, 0]) * (stations[row] - a[:, 1]) / (b[:, 1] - a[:, 1])
    order = np.lexsort((at, row))
    ends, rows = at[order].reshape(-1, 2), row[order].reshape(-1, 2)[:, 0]
    keep = ends[:, 1] - ends[:, 0] > 4 * INSET
    ends, rows = ends[keep] + np.array([INSET, -INSET]), rows[keep]
    return np.stack([ends, np.repeat(stations[rows][:, None], 2, axis=1)], axis=2)


def in_metal(points: Array, sides: Array) -> NDArray[np.bool_]:
    """Whether points (n, 2) lie within the sides (m, 2, 2), by the even-odd rule."""
    a, b = sides[:, 0], sides[:, 1]
    y = points[:, 1:]
    above_a, above_b = a[:, 1] > y, b[:, 1] > y
    rise = np.where(b[:, 1] == a[:, 1], 1.0, b[:, 1] - a[:, 1])
    x = a[:, 0] + (y - a[:, 1]) * ((b[:, 0] - a[:, 0]) / rise)
    hit = (above_a != above_b) & (x > points[:, :1])
    return np.asarray(hit.sum(axis=1) % 2 == 1)
