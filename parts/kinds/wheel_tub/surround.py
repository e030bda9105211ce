"""What stands round a tub: the rail it is trimmed to, and the leaning side of the body."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import cached_property
from math import cos, radians, sqrt, tan

import numpy as np

from parts.place import Vector
from parts.sheet.loop import Loop, polygon
from parts.sheet.outline import offset

LEAST_ACROSS = 40.0  # mm that points of the body side are spread out to both sides of a line


@dataclass(frozen=True)
class Station:
    """The rail's section at one place along it: p, top and bottom heights q, distance of the
    outer face from the centre plane at the top, and how far it leans out at the top, degrees."""

    p: float
    top: float
    bottom: float
    outer: float
    lean_deg: float

    @property
    def outer_low(self) -> float:
        """Distance of the outer face from the centre plane at the bottom."""
        return self.outer - tan(radians(self.lean_deg)) * (self.top - self.bottom)

    @cached_property
    def edges(self) -> tuple[float, float, float, float]:
        """Heights of top and bottom, and the outer face's distances there."""
        return self.top, self.bottom, self.outer, self.outer_low


@dataclass(frozen=True, eq=False)
class Rail:
    """A rail by its stations, in the order of p; its four edges are straight in between."""

    stations: tuple[Station, ...]

    @cached_property
    def profile(self) -> Loop:
        """Its outline seen from the side, in (p, q), anticlockwise."""
        below = [(s.p, s.bottom) for s in self.stations]
        above = [(s.p, s.top) for s in reversed(self.stations)]
        return polygon([*below, *above])

    def swollen(self, gap: float) -> Loop:
        """The outline with a gap all round."""
        return offset(self.profile, gap) if gap > 0 else self.profile

    def outer(self, p: float, q: float) -> float:
        """Distance of the outer face from the centre plane at a place of it, or beyond it where
        the face would be if it went on.

        >>> rail = Rail((Station(0, 100, 0, 580, 3), Station(300, 100, 0, 590, 3)))
        >>> round(rail.outer(150, 100), 6), round(rail.outer(150, 0), 2)
        (585.0, 579.76)
        """
        return self._face(p, q)[0]

    def _face(self, p: float, q: float) -> tuple[float, float, float]:
        """`outer` at a place, and how fast it grows by p and by q."""
        a, b, share = self._between(p)
        top, bottom, out, low = (
            _at(share, one, other) for one, other in zip(a.edges, b.edges, strict=True)
        )
        high, lean = top - bottom, out - low
        up = (q - bottom) / high
        if a is b:
            return low + up * lean, 0.0, lean / high
        by_top, by_bottom, by_out, by_low = (
            (other - one) / (b.p - a.p) for one, other in zip(a.edges, b.edges, strict=True)
        )
        by_up = -(by_bottom + up * (by_top - by_bottom)) / high
        back = by_low + by_up * lean + up * (by_out - by_low)
        return low + up * lean, back, lean / high

    def _between(self, p: float) -> tuple[Station, Station, float]:
        """The stations on both sides of p and the share of the way; the ends go on as they are."""
        stations = self.stations
        if p <= stations[0].p:
            return stations[0], stations[0], 0.0
        for a, b in itertools.pairwise(stations):
            if p <= b.p:
                return a, b, (p - a.p) / (b.p - a.p)
        return stations[-1], stations[-1], 0.0

    def keeps_off(self, p: float, q: float, gap: float) -> float:
        """Least distance from the centre plane of a point that is `gap` off the outer face.

        The face's slopes are taken where the point is; at a station, where they change, the
        distance is also kept from the station's own line.
        """
        outer, back, up = self._face(p, q)
        found = outer + gap * sqrt(1 + back * back + up * up)
        for s in self.stations:
            if abs(p - s.p) < gap:
                rest = sqrt(gap * gap - (p - s.p) ** 2)
                found = max(found, self.outer(s.p, q) + rest / cos(radians(s.lean_deg)))
        return found

    def furthest_out(self, low: float, high: float) -> float:
        """Greatest distance from the centre plane between two p."""
        along = [low, high, *(s.p for s in self.stations if low <= s.p <= high)]
        found = []
        for p in along:
            a, b, share = self._between(p)
            found += [_at(share, a.outer, b.outer), _at(share, a.outer_low, b.outer_low)]
        return max(found)


def _at(share: float, a: float, b: float) -> float:
    return a + share * (b - a)


@dataclass(frozen=True, slots=True)
class BodySide:
    """A flat body side: o = at_zero + along * p + up * q."""

    at_zero: float
    along: float
    up: float

    def out(self, p: float, q: float) -> float:
        """Its distance from the centre plane."""
        return self.at_zero + self.along * p + self.up * q

    def inward(self, by: float) -> BodySide:
        """A parallel plane nearer to the centre plane by `by`, measured square to it."""
        return BodySide(
            self.at_zero - by * (1 + self.along**2 + self.up**2) ** 0.5, self.along, self.up
        )

    @property
    def normal(self) -> Vector:
        """Unit normal (3,) in (p, q, o), pointing outboard."""
        n = np.array([-self.along, -self.up, 1.0])
        return np.asarray(n / np.linalg.norm(n))


def fitted_side(points: list[tuple[float, float, float]]) -> tuple[BodySide, float]:
    """The plane nearest to points (p, q, o) by least squares, and the furthest any is off it.

    Raises ValueError for points in one line, or nearly.
    """
    at = np.array(points)
    system = np.column_stack([np.ones(len(at)), at[:, 0], at[:, 1]])
    found, _, rank, _ = np.linalg.lstsq(system, at[:, 2], rcond=None)
    across = np.linalg.svd(at[:, :2] - at[:, :2].mean(axis=0), compute_uv=False)[-1]
    if rank < 3 or across < LEAST_ACROSS:
        raise ValueError("its points lie in one line, or nearly: a plane needs one well off it")
    side = BodySide(*(float(value) for value in found))
    off = (system @ found - at[:, 2]) * float(side.normal[2])
    return side, float(np.abs(off).max())
