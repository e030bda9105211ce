"""The bracket in the flat: its folds, its holes and the outline round them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import degrees, radians

import numpy as np

from parts.place import Place, Vector, cross, unit
from parts.sheet.blank import Bend, Cutout
from parts.sheet.curve import Point
from parts.sheet.loop import circle, slot
from parts.sheet.reach import ContactFace, OutOfReach, Reach, bend_onto, laid_on

LEAST_TURN_DEG = 20.0  # faces nearer to parallel than this are joined by a step
MOST_TURN_DEG = 150.0
CLEARLY_APART_DEG = 5.0  # nearer to parallel, where two faces meet hangs on their measuring errors


@dataclass(frozen=True, eq=False)
class Sheet:
    """The metal as the bends see it."""

    thickness: float
    radius: float
    allowance: Callable[[float], float]  # bend allowance, mm, for a turn in degrees


@dataclass(frozen=True, eq=False)
class BoltHole:
    """A hole or slot to lay out: where its bolt is, and how it may move.

    `at` (3,) lies in the contact face, `along` (3,) is the slot's direction; `length` equals
    `width` for a round hole. `boss` is the radius of metal kept round each end, `clear` the
    least distance from the centre to where a bend starts.
    """

    name: str
    at: Vector
    along: Vector
    length: float
    width: float
    boss: float
    clear: float


@dataclass(frozen=True, eq=False)
class FlatHole:
    """A hole where it lies on the blank."""

    hole: BoltHole
    center: Point
    angle_deg: float

    @property
    def ends(self) -> tuple[Point, Point]:
        """Centres of the two round ends; the same point twice for a round hole."""
        reach = (self.hole.length - self.hole.width) / 2
        c, s = np.cos(radians(self.angle_deg)), np.sin(radians(self.angle_deg))
        x, y = self.center
        return (
            (x - reach * float(c), y - reach * float(s)),
            (x + reach * float(c), y + reach * float(s)),
        )

    def cutout(self) -> Cutout:
        hole = self.hole
        if hole.length <= hole.width:
            return Cutout(hole.name, circle(self.center, hole.width))
        return Cutout(hole.name, slot(self.center, hole.length, hole.width, self.angle_deg))


@dataclass(frozen=True, eq=False)
class Chain:
    """The folds from rail to bar. `legs` are the places of rail leg and bar leg.

    `near` and `far` are the distances of the holes to the start of their own leg's bend.
    """

    base: Place
    reaches: tuple[Reach, ...]
    near: Vector
    far: Vector

    @property
    def end(self) -> Place:
        return self.reaches[-1].place

    @property
    def bends(self) -> tuple[Bend, ...]:
        return tuple(reach.bend for reach in self.reaches)


def one_bend(
    sheet: Sheet, rail: ContactFace, bar: ContactFace, rail_at: Vector, bar_at: Vector
) -> Chain:
    """The single fold where both faces meet; raises OutOfReach."""

    def folded(base: Place) -> Reach:
        return bend_onto(
            base, sheet.thickness, sheet.radius, sheet.allowance, bar, rail_at, bar_at, "fold"
        )

    base = laid_on(rail, _across_to(rail, rail_at, bar_at))
    base = laid_on(rail, base.direction([*folded(base).bend.across, 0.0]))
    reach = folded(base)
    return Chain(base, (reach,), reach.before, reach.after)


def two_bends(
    sheet: Sheet,
    rail: ContactFace,
    bar: ContactFace,
    rail_at: Vector,
    bar_at: Vector,
    clear: tuple[float, float],
) -> Chain:
    """A step: a web from just beyond the rail holes to just short of the bar's.

    `clear` are the distances to keep from the outermost holes to the start of each bend. The
    folds are parallel where the faces' own line of meeting allows it. Raises OutOfReach.
    """
    ahead, back = _across_to(rail, rail_at, bar_at), _across_to(bar, bar_at, rail_at)
    setbacks = np.array([sheet.radius + sheet.thickness] * 2)
    for _ in range(30):
        start = _beyond(rail, rail_at, ahead, clear[0] + setbacks[0])
        finish = _beyond(bar, bar_at, back, clear[1] + setbacks[1])
        web = ContactFace(start, _web_normal(rail, bar, finish - start))
        chain = _stepped(sheet, rail, bar, web, rail_at, bar_at, finish - start)
        wrong = np.array(
            [clear[0] - chain.near.min(), clear[1] - chain.far.min()]
        )
        setbacks = setbacks + wrong
        if np.abs(wrong).max() < 1e-9:
            return chain
    raise OutOfReach("the web between the ends finds no place")


def _stepped(
    sheet: Sheet,
    rail: ContactFace,
    bar: ContactFace,
    web: ContactFace,
    rail_at: Vector,
    bar_at: Vector,
    run: Vector,
) -> Chain:
    t, r = sheet.thickness, sheet.radius
    middle = (web.point + 0.5 * run)[None, :]

    def onto_web(base: Place) -> Reach:
        return bend_onto(base, t, r, sheet.allowance, web, rail_at, middle, "rail fold")

    base = laid_on(rail, _across_to(rail, rail_at, bar_at))
    base = laid_on(rail, base.direction([*onto_web(base).bend.across, 0.0]))
    first = onto_web(base)
    second = bend_onto(first.place, t, r, sheet.allowance, bar, middle, bar_at, "bar fold")
    return Chain(base, (first, second), first.before, second.after)


def _web_normal(rail: ContactFace, bar: ContactFace, run: Vector) -> Vector:
    """Normal of the web along `run`: it holds the faces' line of meeting where that runs across."""
    meeting = cross(rail.metal, bar.metal)
    mean = rail.metal + (bar.metal if rail.metal @ bar.metal > 0 else -bar.metal)
    across = unit(cross(mean, run))
    clear = np.linalg.norm(meeting) > np.sin(radians(CLEARLY_APART_DEG))
    if clear and abs(unit(meeting) @ across) > np.cos(radians(15)):
        across = unit(meeting)
    return unit(cross(run, across))


def _across_to(face: ContactFace, own: Vector, other: Vector) -> Vector:
    """Direction in a face from its own points to the other end's (3,)."""
    gap = other.mean(axis=0) - own.mean(axis=0)
    gap = gap - (gap @ face.metal) * face.metal
    if np.linalg.norm(gap) < 1.0:
        raise OutOfReach("one end lies straight over the other")
    return unit(gap)


def _beyond(face: ContactFace, points: Vector, ahead: Vector, by: float) -> Vector:
    """The point of a face `by` beyond the foremost of its points (3,)."""
    middle = points.mean(axis=0)
    return np.asarray(face.foot(middle + ahead * (float(((points - middle) @ ahead).max()) + by)))


def flat_holes(place: Place, holes: tuple[BoltHole, ...]) -> tuple[FlatHole, ...]:
    """Where measured holes fall on the blank: the leg's own map, backwards."""
    found = []
    back = place.inverse()
    for hole in holes:
        x, y, _ = back.apply(hole.at)
        dx, dy, _ = back.direction(hole.along)
        found.append(FlatHole(hole, (float(x), float(y)), degrees(np.arctan2(dy, dx)) % 180.0))
    return tuple(found)

