"""A bumper bracket worked out on its own: planes, folds and angles in plain vector arithmetic.

Nothing here comes from the project. A fold is undone as one would with a strip of card: the leg
beyond the bend is pulled back by the bend allowance and turned about the bend's axis (Rodrigues).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, degrees, radians, sin, tan

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Fold:
    """One bend between two measured faces.

    `before` (n,) and `after` (m,) are the distances of rail holes and bar holes from where the
    metal starts and stops bending; `along` holds their places along the fold line.
    """

    turn_deg: float
    line: Array
    apex: Array
    same_skin: bool
    before: Array
    after: Array
    along: tuple[Array, Array]

    def flat_distance(self, rail_hole: int, bar_hole: int, allowance: float) -> float:
        """Between two holes on the blank, over the bend, mm."""
        across = self.before[rail_hole] + allowance + self.after[bar_hole]
        return float(np.hypot(across, self.along[1][bar_hole] - self.along[0][rail_hole]))


def single_fold(
    rail: tuple[ArrayLike, ArrayLike],
    bar: tuple[ArrayLike, ArrayLike],
    rail_holes: ArrayLike,
    bar_holes: ArrayLike,
    thickness: float,
    radius: float,
) -> Fold:
    """The one bend that joins two faces, each given as (point, unit normal into the metal)."""
    p, n = (np.asarray(v, dtype=float) for v in rail)
    q, m = (np.asarray(v, dtype=float) for v in bar)
    near, far = np.asarray(rail_holes, dtype=float), np.asarray(bar_holes, dtype=float)
    line = np.cross(n, m)
    line /= np.linalg.norm(line)
    ahead = np.cross(n, line)
    onward = np.cross(m, line)
    apex = _meeting(p, n, q, m)
    if ((apex - near.mean(axis=0)) @ ahead) < 0:
        ahead = -ahead
    if ((far.mean(axis=0) - apex) @ onward) < 0:
        onward = -onward
    turn = np.arccos(np.clip(ahead @ onward, -1, 1))
    axis = np.cross(ahead, onward)
    carried = rotated(n, np.zeros(3), axis, degrees(turn))
    same = bool(carried @ m > 0)
    if not same:  # the skin on the rail comes out a thickness away from the bar's face
        apex = _meeting(p, n, q + thickness * m, m)
    outside = bool(n @ onward > 0)
    setback = (radius + thickness if outside else radius) * tan(turn / 2)
    return Fold(
        degrees(turn),
        line,
        apex,
        same,
        (apex - near) @ ahead - setback,
        (far - apex) @ onward - setback,
        ((near - apex) @ line, (far - apex) @ line),
    )


def _meeting(p: Array, n: Array, q: Array, m: Array) -> Array:
    """A point of the line where two planes meet, by normal equations."""
    c = n @ m
    a, b = n @ p, m @ q
    return np.asarray(((a - b * c) * n + (b - a * c) * m) / (1 - c * c))


def rotated(points: ArrayLike, on_axis: ArrayLike, axis: ArrayLike, angle_deg: float) -> Array:
    """Points (3,) or (n, 3) turned about a line, right-handed (Rodrigues)."""
    k = np.asarray(axis, dtype=float)
    k = k / np.linalg.norm(k)
    v = np.asarray(points, dtype=float) - np.asarray(on_axis, dtype=float)
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    dot = (v @ k)[..., None] * k if v.ndim > 1 else (v @ k) * k
    return np.asarray(v * c + np.cross(k, v) * s + dot * (1 - c) + np.asarray(on_axis))


@dataclass(frozen=True)
class Crease:
    """A bend as drawn on the blank: its start line, signed turn, inside radius, allowance."""

    start: tuple[float, float]
    end: tuple[float, float]
    turn_deg: float
    radius: float
    allowance: float


def folded_back(flat: ArrayLike, creases: Sequence[Crease], thickness: float) -> Array:
    """Points (n, 3) of the flat blank, all beyond every crease, folded: x, y and depth to space.

    `creases` in the order from the leg that stays put.
    """
    points = np.asarray(flat, dtype=float)
    for crease in reversed(creases):
        start, end = np.array([*crease.start, 0.0]), np.array([*crease.end, 0.0])
        along = (end - start) / np.linalg.norm(end - start)
        across = np.array([-along[1], along[0], 0.0])
        height = thickness + crease.radius if crease.turn_deg > 0 else -crease.radius
        on_axis = start + np.array([0.0, 0.0, height])
        points = rotated(points - crease.allowance * across, on_axis, along, crease.turn_deg)
    return points


def rail_normal(toe_deg: float, lean_deg: float, out: float) -> Array:
    """Outboard normal of a rail face: toe + outboard toward the rear, lean + top outboard.

    `out` is +1 on the right, -1 on the left.
    """
    rearward = np.array([1.0, out * tan(radians(toe_deg)), 0.0])
    upward = np.array([0.0, out * tan(radians(lean_deg)), 1.0])
    n = np.cross(rearward, upward)
    return np.asarray(n / np.linalg.norm(n) * (1 if n[1] * out > 0 else -1))


def bar_normal(sweep_deg: float, lean_deg: float, out: float, away: float) -> Array:
    """Normal of a bar's back toward the vehicle: sweep + outer end to the middle, lean + top away.

    `away` is +1 for a rear bumper, -1 for a front one.
    """
    outward = np.array([-away * tan(radians(sweep_deg)), out, 0.0])
    upward = np.array([away * tan(radians(lean_deg)), 0.0, 1.0])
    n = np.cross(outward, upward)
    return np.asarray(n / np.linalg.norm(n) * (1 if n[0] * away < 0 else -1))
