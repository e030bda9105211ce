"""The band seen from the side: flange, leg, roll, leg, flange, as lengths of its blank.

            roll, inside radius R
          .-----------.
        .'      o      '.        o  centre, q of the wheel at bump
       /                 \\
       | leg              \\ leg, as long as a folder needs
 ______|                   `----  end flange, on the floor
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, sqrt, tan

from parts.sheet.blank import Bend
from parts.sheet.curve import Point


class NoBand(ValueError):
    """Floors and radius between which no band can be drawn; the message says why."""


@dataclass(frozen=True, slots=True)
class End:
    """One end of the band.

    `rise_deg` is how far above level the roll stops; `leg` the flat length from there to the
    fold; `turn_deg` the turn of the fold onto the floor; `flat` the flange beyond the fold.
    """

    rise_deg: float
    leg: float
    turn_deg: float
    fold: float  # bend allowance
    flat: float


@dataclass(frozen=True, slots=True)
class BandPath:
    """The band's side view. `center` (p, q) and inside `radius` of the roll, sheet thickness,
    inside radius of the folds, both ends, and the blank length that the roll takes."""

    center: Point
    radius: float
    thickness: float
    fold_radius: float
    first: End
    last: End
    roll: float

    @property
    def roll_deg(self) -> float:
        """Turn of the roll."""
        return 180.0 - self.first.rise_deg - self.last.rise_deg

    @property
    def marks(self) -> tuple[float, ...]:
        """Where along the blank each zone ends: flange, fold, leg, roll, leg, fold, flange."""
        lengths = (
            self.first.flat, self.first.fold, self.first.leg, self.roll,
            self.last.leg, self.last.fold, self.last.flat,
        )  # fmt: skip
        marks, total = [], 0.0
        for length in lengths:
            total += length
            marks.append(total)
        return tuple(marks)

    @property
    def length(self) -> float:
        return self.marks[-1]

    def bends(self, low: float, high: float, ends: tuple[str, str]) -> tuple[Bend, ...]:
        """The three bends as lines across a blank from v = low to v = high; `ends` name the
        first and the last end."""
        m, first, last = self.marks, self.first, self.last

        def across(name: str, u: float, turn: float, radius: float, allowance: float) -> Bend:
            return Bend(name, (u, high), (u, low), turn, radius, allowance)

        return (
            across(f"{ends[0]} fold", m[0], -first.turn_deg, self.fold_radius, first.fold),
            across("roll", m[2], self.roll_deg, self.radius, self.roll),
            across(f"{ends[1]} fold", m[4], -last.turn_deg, self.fold_radius, last.fold),
        )

    def at(self, u: float, w: float) -> Point:
        """Where (p, q) a point of the blank lies, u along it and w deep (thickness: tyre side)."""
        return self._walk(u, w)[0]

    def way(self, u: float, w: float) -> Point:
        """How (p, q) move there for a step of u."""
        return self._walk(u, w)[1]

    def _walk(self, u: float, w: float) -> tuple[Point, Point]:
        """From the start of the roll outward either way, zone by zone."""
        m, t = self.marks, self.thickness
        if u < m[2]:
            return self._down(self.first, m[2] - u, w, -1.0)
        if u <= m[3]:
            radius = self.radius + t - w
            angle = radians(180.0 - self.first.rise_deg) - (u - m[2]) / self.roll * radians(
                self.roll_deg
            )
            rate = radius * radians(self.roll_deg) / self.roll
            spot = (self.center[0] + radius * cos(angle), self.center[1] + radius * sin(angle))
            return spot, (rate * sin(angle), -rate * cos(angle))
        return self._down(self.last, u - m[3], w, 1.0)

    def _down(self, end: End, run: float, w: float, side: float) -> tuple[Point, Point]:
        """A point `run` beyond the end of the roll; side -1 the first end, +1 the last."""
        t, rise = self.thickness, radians(end.rise_deg)
        radius = self.radius + t - w
        p, q = radius * cos(rise), radius * sin(rise)
        dp, dq = sin(rise), -cos(rise)  # down the leg, p outward
        if run <= end.leg:
            spot, way = (p + run * dp, q + run * dq), (dp, dq)
        else:
            p, q = p + end.leg * dp, q + end.leg * dq
            fold_radius = self.fold_radius + w  # the fold's own centre is outside the tub
            nx, nq = cos(rise), sin(rise)  # outward from the leg
            turn = radians(end.turn_deg)
            part = min(run - end.leg, end.fold)
            angle = part / end.fold * turn
            p += fold_radius * (sin(angle) * dp + (1 - cos(angle)) * nx)
            q += fold_radius * (sin(angle) * dq + (1 - cos(angle)) * nq)
            hp = cos(angle) * dp + sin(angle) * nx
            hq = cos(angle) * dq + sin(angle) * nq
            rest = run - end.leg - part
            rate = 1.0 if rest > 0 else fold_radius * turn / end.fold
            spot, way = (p + rest * hp, q + rest * hq), (rate * hp, rate * hq)
        return (
            (self.center[0] + side * spot[0], self.center[1] + spot[1]),
            (way[0], side * way[1]),
        )


def end_on_floor(
    height: float,
    radius: float,
    thickness: float,
    fold_radius: float,
    flange: float,
    least_leg: float,
) -> tuple[float, float, float]:
    """Rise of the roll's end (degrees), leg and flange flats for a floor `height` above the
    roll's centre (below: negative), the tyre side of the flange on the floor.

    `flange` is its length over the outside. Raises NoBand where the floor is too high.
    """
    outer = fold_radius + thickness

    def apex(rise_deg: float, leg: float) -> float:
        rise = radians(rise_deg)
        setback = outer * tan(radians(90 - rise_deg) / 2)
        return radius * sin(rise) - (leg + setback) * cos(rise)

    leg = -height - outer  # straight down from level, turned square
    rise_deg = 0.0
    if leg < least_leg:
        leg, low, high = least_leg, 0.0, 75.0
        if apex(high, leg) < height:
            raise NoBand(f"the floor is {height:.0f} mm above the band's centre: no arch is left")
        for _ in range(80):
            rise_deg = (low + high) / 2
            low, high = (rise_deg, high) if apex(rise_deg, leg) < height else (low, rise_deg)
    flat = flange - outer * tan(radians(90 - rise_deg) / 2)
    if flat <= 0:
        raise NoBand(f"an end flange of {flange:.1f} mm is no longer than its own bend")
    return rise_deg, leg, flat


def rise_over_chord(radius: float, chord: float) -> float:
    """Height of an arc over a chord of it: what a straight edge shows on the roller.

    >>> round(rise_over_chord(392, 300), 2)
    29.83
    """
    return radius - sqrt(radius**2 - (chord / 2) ** 2)
