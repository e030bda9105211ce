"""Strips seen along their bends, with shapely: what a press brake sees of them during a stroke.

Everything is drawn here anew, in the complex plane: origin at the inner face in the middle of the
bend that is made, x across, y up. Nothing of the search for an order is used.
"""

from __future__ import annotations

from cmath import exp
from dataclasses import dataclass
from functools import cache
from math import cos, pi, radians, sin, tan

import numpy as np
import shapely
from shapely import Polygon
from shapely.affinity import scale

K = 0.42  # neutral fibre from the inside, of the thickness: that of the test blanks
PARTS = 24  # chords of an arc


@dataclass(frozen=True)
class Strip:
    """Flats one after the other with a bend between each two; + turns toward the drawn face."""

    flats: tuple[float, ...]
    turns_deg: tuple[float, ...]
    t: float
    radius: float
    die_v: float

    def allowance(self, bend: int) -> float:
        return radians(abs(self.turns_deg[bend])) * (self.radius + K * self.t)

    def side(self, bend: int, made: frozenset[int], way: int, half_rad: float) -> list[Metal]:
        """The metal on one side (`way` +1 or -1) at half a turn, as if that side were the right."""
        span = self.allowance(bend)
        inner = span / (2 * half_rad) - K * self.t if half_rad > 1e-9 else 0.0
        here, heading = complex(span / 2, -self.t / 2), exp(1j * half_rad)
        if half_rad > 1e-9:
            here = 1j * inner + (inner + self.t / 2) * exp(1j * (half_rad - pi / 2))
        found: list[Metal] = []
        level, other = True, bend
        sense = 1 if self.turns_deg[bend] > 0 else -1
        while 0 <= other < len(self.turns_deg):
            flat = self.flats[other + 1] if way > 0 else self.flats[other]
            found.append(Metal(self._bar(here, heading, flat), level))
            here += heading * flat
            other += way
            if not 0 <= other < len(self.turns_deg):
                break
            if other not in made:
                found.append(Metal(self._bar(here, heading, self.allowance(other)), level))
                here += heading * self.allowance(other)
                continue
            level = False
            turn = radians(self.turns_deg[other]) * sense
            bow, here = self._bow(here, heading, turn)
            found.append(Metal(bow, level))
            heading *= exp(1j * turn)
        return found

    def own(self, bend: int, half_rad: float) -> Polygon:
        """The bend itself."""
        inner = self.allowance(bend) / (2 * half_rad) - K * self.t
        low = exp(1j * (-pi / 2 - half_rad)) * 1j  # heading at its left end
        start = 1j * inner + (inner + self.t / 2) * exp(1j * (-pi / 2 - half_rad))
        return self._bow(start, low, 2 * half_rad, inner)[0]

    def first_turn(self, bend: int, made: frozenset[int], way: int) -> float | None:
        """Turn of the nearest bend that is made on a side, + for one that turns the same way."""
        near = [n for n in made if (n - bend) * way > 0]
        if not near:
            return None
        nearest = min(near, key=lambda n: abs(n - bend))
        return self.turns_deg[nearest] * (1 if self.turns_deg[bend] > 0 else -1)

    def _bar(self, here: complex, heading: complex, size: float) -> Polygon:
        left = 1j * heading * self.t / 2
        corners = (here - left, here + heading * size - left, here + heading * size + left,
                   here + left)  # fmt: skip
        return Polygon([(p.real, p.imag) for p in corners])

    def _bow(
        self, here: complex, heading: complex, turn: float, inner: float | None = None
    ) -> tuple[Polygon, complex]:
        radius = self.radius if inner is None else inner
        to_center = 1j * heading * (1 if turn > 0 else -1)
        center = here + to_center * (radius + self.t / 2)
        turned = [exp(1j * turn * k / PARTS) for k in range(PARTS + 1)]
        inside = [center - to_center * radius * e for e in turned]
        outside = [center - to_center * (radius + self.t) * e for e in turned]
        end = center - to_center * (radius + self.t / 2) * turned[-1]
        return Polygon([(p.real, p.imag) for p in inside + outside[::-1]]), end


@dataclass(frozen=True)
class Metal:
    outline: Polygon
    level: bool  # in the plane of the flat beside the bend


@dataclass(frozen=True)
class Punch:
    """`throat` 0: straight, `thick` across. Else the side that a goose-neck leaves open."""

    thick: float
    high: float
    throat: int = 0


# what brake_limits.csv calls the furthest that tools go
FURTHEST = (Punch(12, 300, 1), Punch(12, 300, -1), Punch(12, 300))
ROOM, BEAM, TABLE, DIE_HIGH, LAND = 1.5, 80.0, 90.0, 200.0, 12.0


def punch_outline(punch: Punch, strip: Strip, bend: int, first_deg: float | None) -> Polygon:
    """Punch and beam."""
    turn = radians(abs(strip.turns_deg[bend]))
    tip = min(radians(44), pi / 2 - turn / 2 - radians(1))
    beam = shapely.box(-BEAM / 2, punch.high, BEAM / 2, 5000)
    if not punch.throat:
        body = shapely.box(-punch.thick / 2, -1, punch.thick / 2, punch.high)
        wedge = Polygon([(0, 0), (punch.high * tan(tip), punch.high),
                         (-punch.high * tan(tip), punch.high)])  # fmt: skip
        return body.intersection(wedge).union(beam)
    lean = pi / 2 - turn / 2
    first = radians(first_deg if first_deg is not None and first_deg > 0 else 90)
    slope = 0.0
    if first > lean + radians(1):
        # the leg of a channel of width 1, as deep as the room, at the end of the stroke
        base = exp(1j * (pi / 2 - lean))
        deep = ROOM * sin(lean) / sin(first - lean)
        end = base + deep * base * exp(1j * first)
        slope = -end.real / end.imag
    slope = min(slope, 0.9 * tan(tip))
    under = strip.radius * (1 / cos(turn / 2) - 1)  # the legs would meet so far under the bend
    top = punch.high + under
    band = Polygon([(0, -under), (-slope * top, punch.high),
                    (-slope * top - punch.thick, punch.high), (-punch.thick, -under)])  # fmt: skip
    wedge = Polygon([(0, 0), (5 * punch.high, 0), (5 * punch.high, punch.high),
                     (-punch.high * tan(tip), punch.high)])  # fmt: skip
    neck = band.intersection(wedge)
    return scale(neck, punch.throat, 1, origin=(0, 0)).union(beam)


def die_outline(strip: Strip, land: float, high: float) -> Polygon:
    """Die and table, the top of the die at 0."""
    half = strip.die_v / 2 + land
    table = shapely.box(-TABLE / 2, -5000, TABLE / 2, -high)
    return shapely.box(-half, -high, half, 0).union(table)


def narrow_die(strip: Strip) -> Polygon:
    """The die ground for Z bends: bevelled from its V, an eighth of it wider, 200 high."""
    half, land = strip.die_v / 2, strip.die_v / 8
    bevelled = Polygon([(-half, 0), (half, 0), (half + land, -land), (-half - land, -land)])
    table = shapely.box(-TABLE / 2, -5000, TABLE / 2, -DIE_HIGH)
    return shapely.union_all(
        [bevelled, shapely.box(-half - land, -DIE_HIGH, half + land, -land), table]
    )


@cache
def die_top(strip: Strip, bend: int, half_rad: float) -> float:
    """How high the metal lies on the edges of the die: where the underside is at V/2."""
    if half_rad < 1e-9:
        return -strip.t
    leg = strip.side(bend, frozenset(), 1, half_rad)
    upright = shapely.LineString([(strip.die_v / 2, -2000), (strip.die_v / 2, 2000)])
    found = shapely.union_all([strip.own(bend, half_rad), *(m.outline for m in leg)])
    return float(upright.intersection(found).bounds[1])


def halves(strip: Strip, bend: int, samples: int) -> np.ndarray:
    return np.linspace(0, radians(abs(strip.turns_deg[bend])) / 2, samples)
