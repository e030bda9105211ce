"""How near the folded metal comes to points in space."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, tau

import numpy as np
from numpy.typing import NDArray

from parts.place import Place, Vector
from parts.sheet.bent import rolled_all, unrolled_all
from parts.sheet.blank import Bend
from parts.sheet.curve import Arc, Curve, Line
from parts.sheet.fold import Folded, Region

STEP = 0.02  # mm between samples of a cut edge on a bend: no distance is more than 0.01 out
LIFT = 1.234567e-8  # mm that a ray is lifted, so that it does not run through drawn corners

Array = NDArray[np.float64]


def distance_to_metal(folded: Folded, point: Vector) -> float:
    """Least distance from a point (3,) in the part's own axes to any metal; 0 inside it.

    Exact over flat regions and over the faces of bends; to cut edges on bends within 0.01 mm.
    """
    return float(distances_to_metal(folded, point[None, :])[0])


def distances_to_metal(folded: Folded, points: Vector) -> Vector:
    """The same for many points (n, 3): (n,)."""
    return Metal.of(folded).distances(points)


@dataclass(frozen=True, eq=False)
class Metal:
    """Folded metal made ready to be asked more than once how near it comes."""

    flats: tuple[_FlatMetal, ...]
    bends: tuple[_BentMetal, ...]

    @staticmethod
    def of(folded: Folded) -> Metal:
        """The metal of every region."""
        t = folded.blank.thickness
        return Metal(
            tuple(_FlatMetal.of(t, region) for region in folded.regions if region.bend is None),
            tuple(
                _BentMetal.of(t, region, bend)
                for region in folded.regions
                if (bend := folded.bend_of(region)) is not None
            ),
        )

    def distances(self, points: Vector) -> Vector:
        """Least distance from points (n, 3) in the part's own axes to any metal (n,)."""
        nearest = np.full(len(points), np.inf)
        for flat in self.flats:
            nearest = np.minimum(nearest, flat.distances(points))
        for bent in self.bends:
            near = bent.least(points) < nearest
            if near.any():
                nearest[near] = np.minimum(nearest[near], bent.distances(points[near]))
        return nearest


def flats_apart(folded: Folded, one: Region, other: Region) -> float:
    """Least distance between two flat regions, from edge samples: at most 0.3 mm too much.

    >>> from parts.sheet.blank import Blank
    >>> from parts.sheet.fold import fold
    >>> from parts.sheet.loop import polygon
    >>> outline = polygon([(0, 0), (90, 0), (90, 20), (0, 20)])
    >>> bends = [Bend("a", (30, 20), (30, 0), 90, 2, 4), Bend("b", (60, 20), (60, 0), 90, 2, 4)]
    >>> channel = fold(Blank(2, outline, (), tuple(bends), (45, 5)))
    >>> legs = channel.region_at((5, 5)), channel.region_at((85, 5))
    >>> round(flats_apart(channel, *legs), 6)   # 60 - 34 of flat and two radii
    30.0
    """
    t, nearest = folded.blank.thickness, float("inf")
    for here, there in ((one, other), (other, one)):
        samples = [
            [*curve.at(i / count), w]
            for loop in here.curves
            for curve in loop
            for count in (max(2, ceil(curve.length)),)
            for i in range(count + 1)
            for w in (0.0, t)
        ]
        found = _FlatMetal.of(t, there).distances(here.place.apply(np.array(samples)))
        nearest = min(nearest, float(found.min()))
    return nearest


@dataclass(frozen=True, eq=False)
class _Drawn:
    """The curves round a region's flat metal as arrays.

    `lines` (n, 2, 2); of the arcs `ends` (m, 2, 2), `centers` (m, 2), `radii`, start `angles` and
    `sweeps` in radians (m,).
    """

    lines: Array
    ends: Array
    centers: Array
    radii: Array
    angles: Array
    sweeps: Array

    @staticmethod
    def of(region: Region) -> _Drawn:
        curves = [curve for loop in region.curves for curve in loop]
        lines = [(c.start, c.end) for c in curves if isinstance(c, Line)]
        arcs = [c for c in curves if isinstance(c, Arc)]
        return _Drawn(
            np.array(lines, dtype=float).reshape(-1, 2, 2),
            np.array([(c.start, c.end) for c in arcs], dtype=float).reshape(-1, 2, 2),
            np.array([c.center for c in arcs], dtype=float).reshape(-1, 2),
            np.array([c.radius for c in arcs]),
            np.array([c.start_angle for c in arcs]),
            np.array([c.sweep for c in arcs]),
        )

    def fractions(self, angles: Array) -> Array:
        """Where on each arc the directions (n, m) from its centre lie: 0 at its start, 1 its end;
        more than 1 off the arc."""
        way = np.sign(self.sweeps)
        return np.asarray(((angles - self.angles) * way) % tau / np.abs(self.sweeps))

    def hold(self, points: Array) -> NDArray[np.bool_]:
        """Which points (n, 2) lie inside the loops, by the even-odd rule (n,)."""
        x, y = points[:, :1], points[:, 1:] + LIFT
        (x0, y0), (x1, y1) = self.lines[:, 0].T, self.lines[:, 1].T
        spans = (y0 > y) != (y1 > y)
        rise = np.where(y1 == y0, 1.0, y1 - y0)
        hits = (spans & (x0 + (x1 - x0) * (y - y0) / rise > x)).sum(axis=1)
        height = y - self.centers[:, 1]
        half = np.sqrt(np.maximum(self.radii**2 - height**2, 0.0))
        for dx in (half, -half):
            ahead = (np.abs(height) < self.radii) & (self.centers[:, 0] + dx > x)
            hits += (ahead & (self.fractions(np.arctan2(height, dx)) < 1)).sum(axis=1)
        return np.asarray(hits % 2 == 1)

    def distances(self, points: Array) -> Array:
        """Least distance from points (n, 2) to any of the curves (n,)."""
        nearest = np.full(len(points), np.inf)
        if len(self.lines):
            start, run = self.lines[:, 0], self.lines[:, 1] - self.lines[:, 0]
            off = points[:, None] - start
            along = (off * run).sum(axis=2) / np.maximum((run**2).sum(axis=1), 1e-24)
            off = off - np.clip(along, 0.0, 1.0)[:, :, None] * run
            nearest = np.hypot(off[..., 0], off[..., 1]).min(axis=1)
        if len(self.radii):
            out = points[:, None] - self.centers
            beside = self.fractions(np.arctan2(out[..., 1], out[..., 0])) <= 1
            rim = np.abs(np.hypot(out[..., 0], out[..., 1]) - self.radii)
            tips = points[:, None, None] - self.ends
            tip = np.hypot(tips[..., 0], tips[..., 1]).min(axis=2)
            nearest = np.minimum(nearest, np.where(beside, rim, tip).min(axis=1))
        return nearest


@dataclass(frozen=True, eq=False)
class _FlatMetal:
    """A flat region: what is drawn of it, its thickness, and the move into its flat axes."""

    thickness: float
    drawn: _Drawn
    inward: Place

    @staticmethod
    def of(thickness: float, region: Region) -> _FlatMetal:
        return _FlatMetal(thickness, _Drawn.of(region), region.place.inverse())

    def distances(self, points: Vector) -> Vector:
        """Least distance from points in space (n, 3) to the region's metal (n,)."""
        local = self.inward.apply(points)
        above = np.maximum(np.maximum(-local[:, 2], local[:, 2] - self.thickness), 0.0)
        flat = local[:, :2]
        beside = np.where(self.drawn.hold(flat), 0.0, self.drawn.distances(flat))
        return np.asarray(np.hypot(above, beside))


@dataclass(frozen=True, eq=False)
class _BentMetal:
    """A bent region: what is drawn of it and samples of its cut edges.

    `back` (n, 3) are the samples on the back face and `run` (n, 3) the way through the metal. The
    metal between its edges is straight along the bend, so the box of the edges holds all of it:
    `low` and `high` (3,), along the columns of `axes` (3, 3).
    """

    thickness: float
    bend: Bend
    drawn: _Drawn
    inward: Place
    back: Vector
    run: Vector
    axes: Array
    low: Vector
    high: Vector

    @staticmethod
    def of(thickness: float, region: Region, bend: Bend) -> _BentMetal:
        samples = np.concatenate(
            [
                _sampled(side.curve)
                for loop in region.loops
                for side in loop
                if side.fold is None  # beyond a tangent line the metal goes on, flat
            ]
        )
        back, front = (rolled_all(bend, thickness, samples, w) for w in (0.0, thickness))
        axes = np.array([[*bend.along, 0.0], [*bend.across, 0.0], [0.0, 0.0, 1.0]]).T
        corners = np.concatenate([back, front]) @ axes
        return _BentMetal(
            thickness, bend, _Drawn.of(region), region.place.inverse(),
            back, front - back, axes, corners.min(axis=0), corners.max(axis=0),
        )  # fmt: skip

    def least(self, points: Vector) -> Vector:
        """What no point in space (n, 3) is nearer than: its distance from the box (n,)."""
        at = self.inward.apply(points) @ self.axes
        off = np.maximum(np.maximum(self.low - at, at - self.high), 0.0)
        return np.asarray(np.linalg.norm(off, axis=1))

    def distances(self, points: Vector) -> Vector:
        """Least distance from points in space (n, 3) to the region's metal (n,)."""
        local, bend = self.inward.apply(points), self.bend
        flat, w = unrolled_all(bend, self.thickness, local)
        ahead = (flat - np.array(bend.start)) @ np.array(bend.across)
        facing = (ahead >= -1e-9) & (ahead <= bend.allowance + 1e-9) & self.drawn.hold(flat)
        found = np.maximum(np.maximum(-w, w - self.thickness), 0.0)
        for i in np.flatnonzero(~facing):
            # a cut edge is straight through the thickness
            off = local[i] - self.back
            f = np.clip((off * self.run).sum(axis=1) / self.thickness**2, 0.0, 1.0)
            off -= f[:, None] * self.run
            found[i] = np.sqrt((off**2).sum(axis=1).min())
        return found


def _sampled(curve: Curve) -> Array:
    """Points (n, 2) along a curve, `STEP` apart or less."""
    count = max(2, ceil(curve.length / STEP))
    f = np.arange(count + 1)[:, None] / count
    start = np.array(curve.start)
    if isinstance(curve, Line):
        return np.asarray(start + f * (np.array(curve.end) - start))
    out = start - np.array(curve.center)
    angle = f * curve.sweep
    left = np.array([-out[1], out[0]])
    return np.asarray(start - 2 * np.sin(angle / 2) ** 2 * out + np.sin(angle) * left)
