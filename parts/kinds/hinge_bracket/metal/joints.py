"""Welds and bolts in a plane, loaded by a force in that plane: the worst of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

from parts.sheet.curve import Point, distance
from parts.sheet.stock import Material
from parts.trade.bolts import partial_factor


@dataclass(frozen=True, slots=True)
class Seam:
    """A weld as lines in a plane: its length, its middle, its polar moment of inertia about it
    (mm3, per mm of throat) and its furthest point's distance from it."""

    length: float
    middle: Point
    polar: float
    reach: float


def seam(lines: Sequence[tuple[Point, Point]]) -> Seam:
    """The figures of a weld along straight lines.

    Two lines of 60, 40 apart: 2 x 60^3 / 12 + 120 x 20^2:

    >>> seam([((0, 0), (60, 0)), ((0, 40), (60, 40))]).polar
    84000.0
    """
    lengths = [distance(a, b) for a, b in lines]
    whole = sum(lengths)
    if not whole > 0:
        raise ValueError("a weld needs a line of some length")
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in lines]
    x, y = (sum(n * p[k] for n, p in zip(lengths, middles, strict=True)) / whole for k in (0, 1))
    polar = sum(
        n**3 / 12 + n * distance(p, (x, y)) ** 2 for n, p in zip(lengths, middles, strict=True)
    )
    reach = max(distance(end, (x, y)) for line in lines for end in line)
    return Seam(whole, (x, y), polar, reach)


def seam_n_per_mm(weld: Seam, force_n: float, at: Point) -> float:
    """The most that one millimetre of a weld carries, whatever direction a force at `at` has.

    Share and turning added as if they ran one way: no weld carries more.
    """
    arm = distance(at, weld.middle)
    return force_n * (1 / weld.length + arm * weld.reach / weld.polar)


def fillet_n_per_mm(throat: float, material: Material) -> float | None:
    """What a millimetre of fillet weld carries, f_u a / (sqrt3 beta_w gamma_M2) (EN 1993-1-8
    4.5.3.3); None where the standard has no beta_w, as for aluminium.

    >>> from parts.sheet.stock import material
    >>> round(fillet_n_per_mm(1, material("S235")), 1), fillet_n_per_mm(3, material("5052"))
    (207.8, None)
    """
    if material.beta_w is None:
        return None
    return throat * material.ultimate_mpa / (sqrt(3) * material.beta_w * partial_factor("M2"))


def worst_bolt_n(bolts: Sequence[Point], force_n: float, at: Point) -> float:
    """The most that one bolt of a group carries in its plane, whatever the force's direction.

    Two bolts 40 apart, 100 N at 80 from their middle: 50 + 100 x 80 x 20 / 800:

    >>> worst_bolt_n([(-20, 0), (20, 0)], 100, (0, 80))
    250.0
    """
    count = len(bolts)
    middle = (sum(p[0] for p in bolts) / count, sum(p[1] for p in bolts) / count)
    radii = [hypot(p[0] - middle[0], p[1] - middle[1]) for p in bolts]
    arm = distance(at, middle)
    square = sum(r * r for r in radii)
    if square == 0:
        raise ValueError("one bolt alone does not hold against turning: take two")
    return force_n * (1 / count + arm * max(radii) / square)
