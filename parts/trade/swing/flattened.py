"""A section as arrays: every curve, every corner, and which is told to which."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians

import numpy as np
from numpy.typing import NDArray

from parts.sheet.curve import Curve
from parts.trade.swing.curves import Curves, Floats, Points, Rows, gaps, gathered
from parts.trade.swing.section import Outline, Section, shut_inside

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """All curves and corners of what moves, or of what stays, and the outline each is of."""

    curves: Curves
    item: Rows
    corners: Points
    corner_item: Rows


@dataclass(frozen=True, slots=True, eq=False)
class Flattened:
    """A section as arrays.

    `told` (moving, fixed) says which outlines are told to each other; `shut` is the distance of
    all told curves at 0, the same for every pivot, with its moving curve, its fixed curve and
    its points (2,) on either.
    """

    moving: Side
    fixed: Side
    told: Mask
    opening: float  # radians
    shut: tuple[float, int, int, Points, Points]


def flattened(section: Section) -> Flattened:
    """The arrays of a section."""
    moving, fixed = _side(section.moving), _side(section.fixed)
    told = np.zeros((len(section.moving), len(section.fixed)), dtype=bool)
    for i, j in section.pairs():
        told[i, j] = True
    a, b = np.nonzero(told[moving.item[:, None], fixed.item[None, :]])
    distance, at_a, at_b = gaps(moving.curves.take(a), fixed.curves.take(b))
    best = int(distance.argmin())
    shut = (float(distance[best]), int(a[best]), int(b[best]), at_a[best], at_b[best])
    if (inside := shut_inside(section)) is not None:
        mover = [item.name for item in section.moving].index(inside[0])
        item = [item.name for item in section.fixed].index(inside[1])
        point = np.array(inside[2])
        first = int(np.flatnonzero(moving.item == mover)[0])
        shut = (0.0, first, int(np.flatnonzero(fixed.item == item)[0]), point, point)
    return Flattened(moving, fixed, told, radians(section.opening_deg), shut)


def _side(outlines: tuple[Outline, ...]) -> Side:
    curves: list[Curve] = []
    item: list[int] = []
    corners: list[tuple[float, float]] = []
    corner_item: list[int] = []
    for number, outline in enumerate(outlines):
        curves += outline.curves
        item += [number] * len(outline.curves)
        points = [curve.start for curve in outline.curves]
        if not outline.closed:
            points.append(outline.curves[-1].end)
        corners += points
        corner_item += [number] * len(points)
    return Side(
        gathered(curves), np.array(item, dtype=np.intp),
        np.array(corners, dtype=float), np.array(corner_item, dtype=np.intp),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Nearest:
    """For each of n pivots: the least distance over the swing, the angle (radians), the outlines
    and the points (n, 2): on what moves as it lies shut, and on what stays."""

    distance: Floats
    angle: Floats
    mover: Rows
    item: Rows
    on_mover: Points
    on_item: Points
