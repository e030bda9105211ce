"""The stop at full opening, which must touch before a strut is all the way out."""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, atan2, cos, degrees, hypot, pi, radians, sin, sqrt, tau

from parts.sheet.curve import Point


@dataclass(frozen=True, slots=True)
class StrutLength:
    """A strut as the stop sees it: where it is held on the lid (as it lies shut) and on the body,
    and its length all the way out."""

    on_lid: Point
    on_body: Point
    extended: float


@dataclass(frozen=True, slots=True)
class Stop:
    """Where the leg of the arm meets its stop, and what is left of the strut there.

    `at` is the point of the body where the leg's upper side touches; `deg_per_mm` is the error
    of the opening for 1 mm there. `strut_longest` is the strut's greatest length from shut to
    the stop, `spare` what is left to its full length, `strut_ends_deg` the angle at which it
    would be all the way out, None where it never is.
    """

    opening_deg: float
    at: Point
    deg_per_mm: float
    strut_longest: float
    spare: float
    strut_ends_deg: float | None

    def touches_first(self, reserve: float) -> bool:
        """Whether the stop touches with `reserve` mm of the strut to spare."""
        return self.spare >= reserve


def stop(
    pivot: Point, opening_deg: float, leg_deg: float, hub: float, radius: float, strut: StrutLength
) -> Stop:
    """The stop for an arm whose leg leaves the pivot at `leg_deg` when shut, as wide as its `hub`;
    `radius` is the distance of the stop from the pivot.

    Raises ValueError where the stop lies within the hub or a strut end lies on the pivot. A leg
    that hangs straight down and opens by a quarter turn, 20 wide, stop 26 from the pivot:

    >>> held = StrutLength(on_lid=(100, 0), on_body=(0, -200), extended=320)
    >>> found = stop((0, 0), 90, -90, hub=20, radius=26, strut=held)
    >>> tuple(round(c, 6) for c in found.at), round(found.strut_longest, 6)
    ((24.0, 10.0), 300.0)
    """
    if not 0 < opening_deg <= 180:
        raise ValueError(f"opening angle {opening_deg:g}°; needs more than 0 and at most 180°")
    half = hub / 2
    if not radius > half > 0:
        raise ValueError(
            f"stop {radius:g} mm from the pivot; needs more than the hub's radius, {half:g}"
        )
    along = sqrt(radius * radius - half * half)
    way = radians(leg_deg + opening_deg)
    at = (
        pivot[0] + along * cos(way) - half * sin(way), pivot[1] + along * sin(way) + half * cos(way)
    )  # fmt: skip
    opening = radians(opening_deg)
    lid, body, ahead = _arms(pivot, strut)

    def length(angle: float) -> float:
        return sqrt(max(0.0, lid**2 + body**2 - 2 * lid * body * cos(ahead - angle)))

    straight = (ahead - pi) % tau  # lid end, pivot and body end in line, the pivot between
    longest = max(length(angle) for angle in (0.0, min(straight, opening), opening))
    ends = None
    if length(0.0) >= strut.extended:
        ends = 0.0
    elif strut.extended <= lid + body:
        lean = acos(max(-1.0, (lid**2 + body**2 - strut.extended**2) / (2 * lid * body)))
        ends = degrees(min((ahead - lean) % tau, (ahead + lean) % tau))
    return Stop(opening_deg, at, degrees(1 / along), longest, strut.extended - longest, ends)


def _arms(pivot: Point, strut: StrutLength) -> tuple[float, float, float]:
    """Distances of the strut's ends from the pivot, and the angle from lid end to body end."""
    if not strut.extended > 0:
        raise ValueError(f"strut {strut.extended:g} mm long; needs more than 0")
    (lu, lv), (bu, bv) = ((p[0] - pivot[0], p[1] - pivot[1]) for p in (strut.on_lid, strut.on_body))
    lid, body = hypot(lu, lv), hypot(bu, bv)
    if min(lid, body) < 1e-6:
        raise ValueError("a strut held on the pivot itself turns nothing: move that end")
    return lid, body, atan2(bv, bu) - atan2(lv, lu)
