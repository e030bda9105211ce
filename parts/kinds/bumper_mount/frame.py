"""How much a bent strip gives: the chain of legs from the rail bolt to the furthest stud."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from parts.kinds.bumper_mount.bracket import Chain
from parts.kinds.bumper_mount.outline import Return, Root
from parts.kinds.bumper_mount.sections import plate_width
from parts.place import Place, Vector, unit
from parts.sheet.bent import rolled
from parts.sheet.blank import Blank
from parts.sheet.curve import Point

STATIONS = 12  # pieces of a leg, each with its own width of plate
CHORDS = 8  # pieces of a bend


@dataclass(frozen=True, eq=False)
class Strip:
    """A straight piece of the strip: its middle line from `start` to `end` (3,), its normal."""

    start: Vector
    end: Vector
    normal: Vector
    width: float


def flexibility(strips: tuple[Strip, ...], thickness: float, e_mpa: float) -> NDArray[np.float64]:
    """Movement of the strip's end for a force there (3, 3), mm/N; its start is held fast.

    Castigliano: every piece bends across its thickness, E w t^3 / 12, about any direction in its
    own plane; bending in its plane is left out. A strip twists less easily than it bends, so
    that twist is counted a little high: safe where the folds are skew. A cantilever of 100,
    60 wide and 5 thick, moves 10^6 / (3 x 200000 x 625) under 1 N:

    >>> ahead, up = np.array([100.0, 0, 0]), np.array([0, 0, 1.0])
    >>> strip = Strip(np.zeros(3), ahead, up, 60)
    >>> float(flexibility((strip,), 5, 200000)[2, 2].round(9))
    0.002666667
    """
    tip = strips[-1].end
    total = np.zeros((3, 3))
    for strip in strips:
        length = float(np.linalg.norm(strip.end - strip.start))
        stiffness = e_mpa * strip.width * thickness**3 / 12
        ends = (strip.start, (strip.start + strip.end) / 2, strip.end)
        for weight, at in zip((1, 4, 1), ends, strict=True):  # Simpson: exact for squares
            moment = _moment_in_plane(tip - at, strip.normal)
            total += weight / 6 * length / stiffness * moment.T @ moment
    return total


def most_give(strips: tuple[Strip, ...], force_n: float, thickness: float, e_mpa: float) -> float:
    """Movement of the end under a force in whatever direction moves it most, mm."""
    return force_n * float(np.linalg.eigvalsh(flexibility(strips, thickness, e_mpa))[-1])


def _moment_in_plane(arm: Vector, normal: Vector) -> NDArray[np.float64]:
    """The part, in a strip's own plane, of the moment of a force at the end of an arm (3, 3)."""
    cross = np.array([[0, -arm[2], arm[1]], [arm[2], 0, -arm[0]], [-arm[1], arm[0], 0]])
    return np.asarray((np.eye(3) - np.outer(normal, normal)) @ cross)


def middle_strip(
    blank: Blank, flange: Return | None, chain: Chain, roots: tuple[Root, ...]
) -> tuple[Strip, ...]:
    """The bracket as a strip through the middles of its bends, with the plate's true widths.

    From abreast of the rail bolt nearest the bend to abreast of the furthest stud.
    """
    places = [chain.base, *(reach.place for reach in chain.reaches)]
    t = blank.thickness
    strips: list[Strip] = []
    here = _on(roots[0], -float(chain.near.min()))
    for place, crossing in zip(places, roots, strict=False):
        strips += _leg(blank, flange, place, here, _on(crossing, 0.0), crossing.bend.along)
        strips += _bend(place, crossing, t)
        here = _on(crossing, crossing.bend.allowance)
    last = roots[-1]
    end = _on(last, last.bend.allowance + float(chain.far.max()))
    strips += _leg(blank, flange, places[-1], here, end, last.bend.along)
    return tuple(strips)


def _on(crossing: Root, ahead: float) -> Point:
    """The point of the blank abreast of the bend's middle, so far beyond its start."""
    (x, y), d, n = crossing.bend.start, crossing.bend.along, crossing.bend.across
    v = (crossing.low + crossing.high) / 2
    return (x + v * d[0] + ahead * n[0], y + v * d[1] + ahead * n[1])


def _leg(
    blank: Blank, flange: Return | None, place: Place, start: Point, end: Point, along: Point
) -> Iterator[Strip]:
    """A flat leg from `start` to `end` on the blank, cut across along the fold."""
    t = blank.thickness
    steps = np.linspace(start, end, STATIONS + 1)
    for a, b in pairwise(steps):
        middle = (a + b) / 2
        width = plate_width(blank, (float(middle[0]), float(middle[1])), along, flange)
        yield Strip(
            place.apply([*a, t / 2]), place.apply([*b, t / 2]), place.turn[:, 2], width
        )


def _bend(place: Place, crossing: Root, thickness: float) -> Iterator[Strip]:
    """The bend itself, its middle layer in chords."""
    bend = crossing.bend
    steps = np.linspace(0.0, bend.allowance, CHORDS + 1)
    layer = [
        place.apply(rolled(bend, thickness, _on(crossing, float(u)), thickness / 2)) for u in steps
    ]
    line = place.direction([*bend.along, 0.0])
    for a, b in pairwise(layer):
        yield Strip(a, b, unit(np.cross(b - a, line)), crossing.width)
