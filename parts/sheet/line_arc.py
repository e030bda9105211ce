"""The two curves the metal is drawn with, and what a straight line makes of them.

Points are tuples (x, y) in mm. Fractions run from 0 at a curve's start to 1 at its end.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import acos, atan2, cos, hypot, pi, sin, tau
from typing import TypeAlias

Point: TypeAlias = tuple[float, float]
Box: TypeAlias = tuple[float, float, float, float]  # least x, least y, greatest x, greatest y

SAME_POINT = 1e-6  # nearer than this is one point; a micrometre is a thousand of these
TOUCH = 2e-8  # a curve this near a line only touches it


@dataclass(frozen=True, slots=True)
class Line:
    """A straight cut from `start` to `end`."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    def at(self, fraction: float) -> Point:
        (x0, y0), (x1, y1) = self.start, self.end
        return (x0 + fraction * (x1 - x0), y0 + fraction * (y1 - y0))

    def tangent(self, fraction: float) -> Point:
        """Unit direction of travel."""
        size = self.length
        return ((self.end[0] - self.start[0]) / size, (self.end[1] - self.start[1]) / size)

    def reversed(self) -> Line:
        return Line(self.end, self.start)

    def between(self, low: float, high: float) -> Line:
        """The part between two fractions; the curve's own ends are kept exactly."""
        return Line(
            self.start if low <= 0 else self.at(low), self.end if high >= 1 else self.at(high)
        )

    def swept_area(self) -> float:
        """Signed area between the origin and the curve (Green's theorem)."""
        return 0.5 * (self.start[0] * self.end[1] - self.end[0] * self.start[1])

    def box(self) -> Box:
        (x0, y0), (x1, y1) = self.start, self.end
        return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))

    def crossings(self, point: Point, along: Point) -> list[float]:
        """Fractions strictly inside (0, 1) where the curve meets an endless straight line."""
        a = side_of(self.start, point, along)
        b = side_of(self.end, point, along)
        if abs(a) < 1e-9 or abs(b) < 1e-9 or a * b > 0:
            return []
        return [a / (a - b)]

    def nearest_fraction(self, point: Point) -> float:
        """The fraction of the curve nearest to `point`."""
        (x0, y0), (x1, y1) = self.start, self.end
        dx, dy = x1 - x0, y1 - y0
        square = dx * dx + dy * dy
        f = ((point[0] - x0) * dx + (point[1] - y0) * dy) / square if square else 0.0
        return min(1.0, max(0.0, f))

    def nearest(self, point: Point) -> Point:
        """The point of the curve nearest to `point`."""
        return self.at(self.nearest_fraction(point))


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular cut about `center`; `sweep` in radians, positive anticlockwise.

    A full circle has `start == end` and a sweep of plus or minus 2 pi.

    >>> quarter = arc((0, 0), 10, 0, pi / 2)
    >>> round(quarter.length, 4), tuple(round(c, 6) for c in quarter.end)
    (15.708, (0.0, 10.0))
    """

    start: Point
    end: Point
    center: Point
    sweep: float

    @property
    def radius(self) -> float:
        return hypot(self.start[0] - self.center[0], self.start[1] - self.center[1])

    @property
    def start_angle(self) -> float:
        """Direction from the centre to the start, radians."""
        return atan2(self.start[1] - self.center[1], self.start[0] - self.center[0])

    @property
    def length(self) -> float:
        return self.radius * abs(self.sweep)

    @property
    def full(self) -> bool:
        """Whether this is a whole circle."""
        return abs(self.sweep) > tau - 1e-12

    def at(self, fraction: float) -> Point:
        # turned from the start, not laid out from the centre: a far centre costs no accuracy
        x, y = self.start
        dx, dy = x - self.center[0], y - self.center[1]
        angle = fraction * self.sweep
        across, back = sin(angle), 2 * sin(angle / 2) ** 2
        return (x - back * dx - across * dy, y - back * dy + across * dx)

    def tangent(self, fraction: float) -> Point:
        """Unit direction of travel."""
        angle = self.start_angle + fraction * self.sweep
        way = 1.0 if self.sweep > 0 else -1.0
        return (-way * sin(angle), way * cos(angle))

    def reversed(self) -> Arc:
        return Arc(self.end, self.start, self.center, -self.sweep)

    def between(self, low: float, high: float) -> Arc:
        """The part between two fractions; the curve's own ends are kept exactly."""
        return Arc(
            self.start if low <= 0 else self.at(low),
            self.end if high >= 1 else self.at(high),
            self.center,
            (high - low) * self.sweep,
        )

    def swept_area(self) -> float:
        """Signed area between the origin and the curve (Green's theorem), exact."""
        chord = 0.5 * (self.start[0] * self.end[1] - self.end[0] * self.start[1])
        return chord + 0.5 * self.radius**2 * (self.sweep - sin(self.sweep))

    def box(self) -> Box:
        xs, ys = [self.start[0], self.end[0]], [self.start[1], self.end[1]]
        r = self.radius
        for quarter, (dx, dy) in enumerate(((r, 0.0), (0.0, r), (-r, 0.0), (0.0, -r))):
            if self.fraction_at(quarter * pi / 2) is not None:
                xs.append(self.center[0] + dx)
                ys.append(self.center[1] + dy)
        return (min(xs), min(ys), max(xs), max(ys))

    def fraction_at(self, angle: float) -> float | None:
        """Where the arc passes the direction `angle` (radians) seen from its centre, or None."""
        way = 1.0 if self.sweep > 0 else -1.0
        f = ((angle - self.start_angle) * way) % tau / abs(self.sweep)
        return f if f <= 1 else None

    def crossings(self, point: Point, along: Point) -> list[float]:
        """Fractions strictly inside (0, 1) where the curve meets an endless straight line.

        A touch nearer than `TOUCH` counts as one crossing at the foot point.
        """
        height = side_of(self.center, point, along)
        r = self.radius
        if abs(height) > r + TOUCH:
            return []
        toward = atan2(-along[0], along[1]) if height > 0 else atan2(along[0], -along[1])
        if abs(height) >= r - TOUCH:
            angles = [toward]
        else:
            opening = acos(abs(height) / r)
            angles = [toward - opening, toward + opening]
        found = (self.fraction_at(angle) for angle in angles)
        return sorted(f for f in found if f is not None and 1e-10 < f < 1 - 1e-10)

    def nearest_fraction(self, point: Point) -> float:
        """The fraction of the curve nearest to `point`."""
        dx, dy = point[0] - self.center[0], point[1] - self.center[1]
        if hypot(dx, dy) < 1e-12:
            return 0.0
        f = self.fraction_at(atan2(dy, dx))
        if f is not None:
            return f
        return 0.0 if distance(self.start, point) <= distance(self.end, point) else 1.0

    def nearest(self, point: Point) -> Point:
        """The point of the curve nearest to `point`."""
        f = self.nearest_fraction(point)
        return self.end if f == 1 else self.at(f)


Curve: TypeAlias = Line | Arc


def arc(center: Point, radius: float, start_angle: float, sweep: float) -> Arc:
    """An arc from its centre, radius and angles (radians)."""
    x, y = center

    def rim(angle: float) -> Point:
        return (x + radius * cos(angle), y + radius * sin(angle))

    start = rim(start_angle)
    end = start if abs(abs(sweep) - tau) < 1e-12 else rim(start_angle + sweep)
    return Arc(start, end, center, sweep)


def side_of(p: Point, point: Point, along: Point) -> float:
    """Distance of `p` to the left of the line through `point` in the unit direction `along`."""
    return along[0] * (p[1] - point[1]) - along[1] * (p[0] - point[0])


def distance(a: Point, b: Point) -> float:
    """Straight distance, mm."""
    return hypot(a[0] - b[0], a[1] - b[1])


def at_words(point: Iterable[float], places: int = 3) -> str:
    """Coordinates in brackets, as messages show them.

    >>> at_words((12, -0.0001))
    '(12.000, 0.000)'
    """
    return "(" + ", ".join(f"{round(float(c), places) + 0.0:.{places}f}" for c in point) + ")"
