"""The section through a hinge: what swings with the lid, and what stays.

Lid axes: u back from the lid's front edge, v up, zero at the top of that edge. The lid lies shut
at 0 and opens to `opening_deg`, which lifts its back.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from math import hypot

from parts.sheet.curve import SAME_POINT, Arc, Curve, Line, Point, at_words, distance
from parts.sheet.loop import Loop, contains

WIDEST_DEG = 180.0


@dataclass(frozen=True, slots=True)
class Outline:
    """One thing in the section: curves end to end, closed where it encloses metal.

    `plus_minus` is how far each coordinate may be out (mm, 95 % half width). A fixed outline is
    told to the moving ones named in `against`; None tells it to all of them. Raises ValueError
    for no name, no curves, curves of no length, or curves that do not meet end to end.
    """

    name: str
    curves: tuple[Curve, ...]
    plus_minus: float = 0.0
    against: tuple[str, ...] | None = None

    def __post_init__(self) -> None:
        if not self.name:
            raise ValueError("an outline of the section has no name: give it one")
        if not self.curves:
            raise ValueError(f"{self.name}: no curves; give two points or more")
        if not self.plus_minus >= 0:
            raise ValueError(f"{self.name}: ± {self.plus_minus:g} mm must be 0 or more")
        for curve in self.curves:
            numbers = (*curve.start, *curve.end)
            if not all(abs(n) < 1e6 for n in numbers):
                raise ValueError(f"{self.name}: {numbers} is not a place in mm")
            if curve.length < SAME_POINT:
                raise ValueError(
                    f"{self.name}: twice the same point {at_words(curve.start)}; leave one out"
                )
        for before, after in zip(self.curves, self.curves[1:], strict=False):
            if distance(before.end, after.start) > 10 * SAME_POINT:
                raise ValueError(
                    f"{self.name}: a gap between {at_words(before.end)} and "
                    f"{at_words(after.start)}; curves must meet end to end"
                )

    @property
    def closed(self) -> bool:
        """Whether it encloses metal."""
        return distance(self.curves[0].start, self.curves[-1].end) < 10 * SAME_POINT


@dataclass(frozen=True, slots=True)
class Section:
    """What turns about the pivot, what stays, and how far the lid opens.

    Raises ValueError for two outlines of one name, an unknown name in `against`, nothing that
    moves or stays, or an opening angle outside 0 to 180 degrees.
    """

    moving: tuple[Outline, ...]
    fixed: tuple[Outline, ...]
    opening_deg: float

    def __post_init__(self) -> None:
        if not 0 < self.opening_deg <= WIDEST_DEG:
            raise ValueError(
                f"opening angle {self.opening_deg:g}°; needs more than 0 and at most "
                f"{WIDEST_DEG:g}°"
            )
        names = [item.name for item in (*self.moving, *self.fixed)]
        for name in names:
            if names.count(name) > 1:
                raise ValueError(f"two outlines are called {name}: each needs its own name")
        movers = [item.name for item in self.moving]
        for item in self.fixed:
            for name in item.against or ():
                if name not in movers:
                    close = get_close_matches(name, movers, 1)
                    hint = f"; did you mean {close[0]}?" if close else f"; there are {movers}"
                    raise ValueError(f"{item.name}: nothing that moves is called {name}{hint}")
        if not any(self.pairs()):
            raise ValueError("the section needs one outline that moves and one fixed to it")

    def pairs(self) -> Iterator[tuple[int, int]]:
        """Which moving outline is told to which fixed one, by their places in the lists."""
        for i, mover in enumerate(self.moving):
            for j, item in enumerate(self.fixed):
                if item.against is None or mover.name in item.against:
                    yield i, j

    def with_moving(self, *more: Outline) -> Section:
        """The same section with more that swings, as with an arm."""
        return Section((*self.moving, *more), self.fixed, self.opening_deg)


def polyline(
    name: str,
    points: tuple[Point, ...],
    closed: bool = False,
    plus_minus: float = 0.0,
    against: tuple[str, ...] | None = None,
) -> Outline:
    """Straight from point to point; `closed` goes back to the first."""
    ends = (*points[1:], points[0]) if closed else points[1:]
    if len(points) < (3 if closed else 2):
        raise ValueError(f"{name}: {len(points)} points; give {3 if closed else 2} or more")
    sides = tuple(Line(a, b) for a, b in zip(points, ends, strict=False))
    return Outline(name, sides, plus_minus, against)


def shut_inside(section: Section) -> tuple[str, str, Point] | None:
    """A moving and a fixed name where one lies wholly within the other when shut, and where."""
    for i, j in section.pairs():
        mover, item = section.moving[i], section.fixed[j]
        for inner, outer in ((mover, item), (item, mover)):
            start = inner.curves[0].start
            if outer.closed and contains([outer.curves], start):
                return mover.name, item.name, start
    return None


def furthest(curve: Curve, point: Point) -> tuple[float, Point]:
    """The point of a curve furthest from `point`, with its distance.

    >>> furthest(Line((0, 0), (3, 4)), (0, 0))
    (5.0, (3, 4))
    """
    ends = [(distance(p, point), p) for p in (curve.start, curve.end)]
    if isinstance(curve, Arc):
        dx, dy = curve.center[0] - point[0], curve.center[1] - point[1]
        size = hypot(dx, dy)
        if size > 0:
            r = curve.radius
            p = (curve.center[0] + dx / size * r, curve.center[1] + dy / size * r)
            if distance(curve.nearest(p), p) < SAME_POINT:
                ends.append((size + r, p))
    return max(ends)


def outside_room(outline: Outline, room: Loop) -> tuple[float, Point] | None:
    """How far an outline stands out of its room when shut and where, or None where it fits.

    Whether it fits is exact; how far it stands out is told at the room's crossings and at 32
    points of every curve.
    """
    out, at = 0.0, outline.curves[0].start
    for curve in outline.curves:
        for k in range(33):
            p = curve.at(k / 32)
            if not contains([room], p):
                away = min(distance(side.nearest(p), p) for side in room)
                out, at = max((out, at), (away, p))
    if out > 10 * SAME_POINT:
        return out, at
    if outline.closed:
        for side in room:
            if contains([outline.curves], side.start) and all(
                distance(curve.nearest(side.start), side.start) > 10 * SAME_POINT
                for curve in outline.curves
            ):
                return min(distance(c.nearest(side.start), side.start) for c in outline.curves), (
                    side.start
                )
    return None
