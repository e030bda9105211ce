"""Cuts across an arm, and the stress in each: a bar, straight or curved, bent by its pivot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot, inf, isinf, log, sqrt

from parts.sheet.curve import Arc, Curve, Line, Point, distance
from parts.sheet.fold import stretches
from parts.sheet.loop import Loop

STATIONS = 9  # cuts along every curve of the outline
NEAR = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class Cross:
    """A cut across an arm, from a point of its edge.

    `at` is its middle, `along` the unit direction of the bar there, `across` that of the cut,
    from the edge inward; `depth` is its length, `inside` the radius of the edge where that is
    hollow, inf where it is straight.
    """

    at: Point
    along: Point
    across: Point
    depth: float
    inside: float


def curved_bar(inside: float, depth: float, thickness: float) -> tuple[float, float]:
    """Stress of a rectangular bar per unit of a moment that opens it, inner and outer fibre, MPa
    per N mm.

    Winkler's curved bar (Timoshenko, Strength of Materials; Roark's table for curved beams):
    r_n = h / ln(r_o / r_i), e = r_c - r_n, stress M (r_n - r) / (A e r). A straight bar is one of
    radius inf:

    >>> curved_bar(inf, 30, 5)   # 6 / (t h^2)
    (0.0013333333333333333, -0.0013333333333333333)
    """
    if isinf(inside):
        straight = 6 / (thickness * depth**2)
        return straight, -straight
    outside = inside + depth
    neutral = depth / log(outside / inside)
    e = inside + depth / 2 - neutral
    size = thickness * depth * e
    return (neutral - inside) / (size * inside), (neutral - outside) / (size * outside)


def fibres_mpa(cross: Cross, pivot: Point, force_n: float, thickness: float) -> float:
    """Greatest stress of either fibre under a force on the pivot in whatever direction is worst.

    A force f at d from the cut's middle pulls f.a / A along the bar and bends by d x f: both are
    linear in f, so the worst is the length of one vector.
    """
    inner, outer = curved_bar(cross.inside, cross.depth, thickness)
    area, (ax, ay) = cross.depth * thickness, cross.along
    dx, dy = pivot[0] - cross.at[0], pivot[1] - cross.at[1]
    return force_n * max(hypot(ax / area - dy * k, ay / area + dx * k) for k in (inner, outer))


@dataclass(frozen=True, slots=True)
class Plates:
    """The plates that a cut goes through: the arm's thickness, and a doubler's with its depth
    as a share of the arm's; 0 where there is none."""

    thickness: float
    doubler: float = 0.0
    share: float = 0.0

    @property
    def in_plane(self) -> float:
        """Thickness of one plate as strong in its plane: a doubler counts by its inertia."""
        return self.thickness + self.doubler * self.share**3

    @property
    def bending(self) -> float:
        """t^2 of one plate as strong across its plane: each bends by itself, as its weld may
        give."""
        thick = max(self.thickness, self.doubler)
        return (self.thickness**3 + self.share * self.doubler**3) / thick


def aside_mpa(cross: Cross, pivot: Point, force_n: float, plates: Plates) -> tuple[float, float]:
    """Stress of a force on the pivot along its axis: bent across the plate, and twisted, MPa.

    Rectangle in torsion: T (3 + 1.8 t / h) / (h t^2), as in Roark's; up to 4.1 % under the values
    of Timoshenko's table, most at h = 2 t, and equal to them for a square and for a thin strip.
    """
    dx, dy = pivot[0] - cross.at[0], pivot[1] - cross.at[1]
    bent = abs(dx * cross.along[0] + dy * cross.along[1])
    twisted = abs(dx * cross.across[0] + dy * cross.across[1])
    t, h = sorted((max(plates.thickness, plates.doubler), cross.depth))
    strong = cross.depth * plates.bending
    return 6 * force_n * bent / strong, force_n * twisted * (3 + 1.8 * t / h) / strong


def equal_mpa(normal: float, shear: float) -> float:
    """Stress in one direction that yields as soon as both together (von Mises).

    >>> equal_mpa(3, 0), round(equal_mpa(0, 1), 3)
    (3.0, 1.732)
    """
    return sqrt(normal**2 + 3 * shear**2)


def crosses(outline: Loop, pad: tuple[Point, Point]) -> Iterator[tuple[Curve, Cross]]:
    """Cuts across an arm (outline anticlockwise) from every straight or hollow edge, with that
    edge, square to it. Those that end at the lid are left out: there the pad carries."""
    lid = Line(*pad)
    for curve in outline:
        hollow = isinstance(curve, Arc) and curve.sweep < 0
        if isinstance(curve, Arc) and not hollow:
            continue
        if all(distance(lid.nearest(p), p) < NEAR for p in (curve.start, curve.end)):
            continue
        inside = curve.radius if isinstance(curve, Arc) else inf
        for k in range(STATIONS):
            f = (k + 0.5) / STATIONS
            (x, y), (ax, ay) = curve.at(f), curve.tangent(f)
            across = (-ay, ax)
            runs = stretches(outline, (x, y), across)
            depth = min((high for low, high in runs if low < NEAR < high), default=0.0)
            end = (x + depth * across[0], y + depth * across[1])
            if depth < NEAR or distance(lid.nearest(end), end) < NEAR:
                continue
            half = depth / 2
            yield curve, Cross(
                (x + half * across[0], y + half * across[1]), (ax, ay), across, depth, inside
            )
