"""Sections to swing, each told twice: as the package takes it, and as shapely does."""

from __future__ import annotations

import random
from dataclasses import dataclass
from math import cos, hypot, pi, radians, sin

import numpy as np
import shapely
from numpy.typing import NDArray

from parts.sheet.curve import Arc, Curve, Line, Point
from parts.trade.swing import Outline, Section, lid_edge, panel_ahead, polyline

Floats = NDArray[np.float64]
CHORDS = 40  # to an arc, for shapely

GUTTER = ((24.0, -17.0), (24.0, -38.0), (2.0, -38.0))  # invented
PIVOT = (-72.0, -18.0)


def demo(radius: float = 0.0, skin: float = 1.0) -> Section:
    """An invented lid: fold 10, gap 5, a panel that rises to the glass, a gutter."""
    fixed = (panel_ahead(5, 100, 30, 200), polyline("gutter", GUTTER))
    return Section(lid_edge(10, radius, skin, 760), fixed, 82)


def edge_and_panel(gap: float, fold: float) -> Section:
    """Nothing but a sharp edge and a flat panel."""
    edge = polyline("edge", ((60, 0), (0, 0), (0, -fold)))
    return Section((edge,), (polyline("panel", ((-gap, 0), (-gap - 300, 0))),), 80)


@dataclass(frozen=True)
class Told:
    """An outline and its points along arcs as fine chords (n, 2)."""

    outline: Outline
    points: Floats
    stray: float  # the furthest an arc lies from its chords


def random_chain(r: random.Random, name: str, at: Point, size: float) -> Told:
    """Lines and arcs end to end within about `size` of a place; arcs bow either way."""
    here = (at[0] + r.uniform(-size, size), at[1] + r.uniform(-size, size))
    curves: list[Curve] = []
    points, stray = [here], 0.0
    straight = r.random() < 0.5
    for _ in range(r.randint(1, 4)):
        if straight or r.random() < 0.3:
            there = (at[0] + r.uniform(-size, size), at[1] + r.uniform(-size, size))
            curves.append(Line(here, there))
            points.append(there)
        else:
            radius, first = r.uniform(0.2, 1) * size, r.uniform(0, 2 * pi)
            sweep = r.choice((-1, 1)) * r.uniform(0.3, 3.5)
            center = (here[0] - radius * cos(first), here[1] - radius * sin(first))
            run = [
                (center[0] + radius * cos(first + f * sweep),
                 center[1] + radius * sin(first + f * sweep))
                for f in np.linspace(0, 1, CHORDS + 1)
            ]  # fmt: skip
            there = run[-1]
            curves.append(Arc(here, there, center, sweep))
            points += run[1:]
            stray = max(stray, radius * (1 - cos(sweep / CHORDS / 2)))
        here = there
    return Told(Outline(name, tuple(curves)), np.array(points), stray)


def random_swing(seed: int) -> tuple[Section, Point, Told, Told]:
    """A thing that swings past another, sometimes into it."""
    r = random.Random(seed)
    size, away, toward = r.choice((4.0, 8.0)), r.uniform(30, 90), r.uniform(-pi, pi)
    opening = r.uniform(20, 130)
    mover = random_chain(r, "lid", (away * cos(toward), away * sin(toward)), size)
    beside = away + r.choice((-1, 1)) * size * r.uniform(0.5, 3.5)
    later = toward + radians(r.uniform(-0.1, 1.1) * opening)
    item = random_chain(r, "post", (beside * cos(later), beside * sin(later)), size)
    pivot = (r.uniform(-3, 3), r.uniform(-3, 3))
    return Section((mover.outline,), (item.outline,), opening), pivot, mover, item


def turned(points: Floats, pivot: Point, angles_deg: Floats) -> Floats:
    """Points (n, 2) turned about the pivot by each angle: (angles, n, 2)."""
    z = (points[:, 0] - pivot[0]) + 1j * (points[:, 1] - pivot[1])
    z = z[None, :] * np.exp(1j * np.radians(angles_deg))[:, None] + complex(*pivot)
    return np.stack([z.real, z.imag], axis=-1)


def dense(mover: Told, item: Told, pivot: Point, angles_deg: Floats) -> Floats:
    """Distance at every angle, by shapely."""
    lines = shapely.linestrings(turned(mover.points, pivot, angles_deg))
    fixed = shapely.linestrings(item.points)
    shapely.prepare(fixed)
    return np.asarray(shapely.distance(fixed, lines))


def lever(points: Floats, pivot: Point) -> float:
    """Distance of the furthest point from the pivot."""
    return max(hypot(u - pivot[0], v - pivot[1]) for u, v in points)


def dense_near_the_least(mover: Told, item: Told, pivot: Point, angles_deg: Floats) -> Floats:
    """Distance at every angle that may be the least, by shapely; at the others a floor above it.

    Between two angles nothing comes nearer than the furthest point turns (its lever times the
    angle), so every sixteenth angle tells which of the others can be left out.
    """
    apart = 16
    coarse = np.arange(0, len(angles_deg), apart)
    seen = dense(mover, item, pivot, angles_deg[coarse])
    nearest = np.minimum((np.arange(len(angles_deg)) + apart // 2) // apart, len(coarse) - 1)
    turn = np.radians(np.abs(angles_deg - angles_deg[coarse][nearest]))
    found = seen[nearest] - lever(mover.points, pivot) * turn * (1 + 1e-9)
    close = found <= seen.min()
    found[close] = dense(mover, item, pivot, angles_deg[close])
    return found


def fine(curves: tuple[Curve, ...], chords: int = 400) -> Floats:
    """Points along curves, those of arcs laid out from the centre."""
    points: list[Point] = []
    for curve in curves:
        if isinstance(curve, Line):
            points.append(curve.start)
            continue
        (u, v), (cu, cv) = curve.start, curve.center
        for f in np.linspace(0, 1, chords, endpoint=False):
            c, s = cos(f * curve.sweep), sin(f * curve.sweep)
            points.append((cu + c * (u - cu) - s * (v - cv), cv + s * (u - cu) + c * (v - cv)))
    return np.array([*points, curves[-1].end])
