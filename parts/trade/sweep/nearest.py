"""Where a straight edge or a flat convex face comes nearest to a wheel.

The signed distance from a convex solid is a convex function of the point, inside as well as
outside. Its least over a flat face is at the foot of the foremost point where the two are
apart; where the plane cuts the wheel it is on the plane's mirror line, under the wheel's axis;
and where that place is outside the face's outline it is on an edge.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
GOLDEN = 0.6180339887498949
SEARCHES = 28  # golden sections: an edge of a metre is searched to 0.0004 mm
SAMPLES = 9  # along an edge, to tell which edges matter; between two of them is the least


def to_edges(
    wheel: Wheel,
    centers: Vector,
    axes: Vector,
    starts: Vector,
    runs: Vector,
    limit: Floats | None = None,
) -> tuple[Floats, Vector]:
    """Least signed distance (n,) from wheels to straight edges, and where (n, 3).

    `starts` and `runs` are (k, 3), the same for every wheel, or (n, k, 3). Edges whose middle
    is too far to matter, or to come under `limit` (n,), are left out; inf where none is left.
    """
    starts = np.broadcast_to(starts, (len(centers), *starts.shape[-2:]))
    runs = np.broadcast_to(runs, starts.shape)
    at_middle = wheel.distance(centers[:, None], axes[:, None], starts + runs / 2)
    half = np.linalg.norm(runs, axis=-1) / 2
    most = at_middle.min(axis=1)
    if limit is not None:
        most = np.minimum(most, limit)
    rows, edges = np.nonzero(at_middle - half <= most[:, None])
    c, a, p, d = centers[rows], axes[rows], starts[rows, edges], runs[rows, edges]
    f = np.linspace(0.0, 1.0, SAMPLES)
    sampled = wheel.distance(c[:, None], a[:, None], p[:, None] + f[:, None] * d[:, None])
    lead = sampled.argmin(axis=1)
    lowest = sampled[np.arange(len(rows)), lead]
    np.minimum.at(most, rows, lowest)
    keep = lowest - half[rows, edges] / (SAMPLES - 1) <= most[rows]
    rows, lead, p, d = rows[keep], lead[keep], p[keep], d[keep]
    low, high = f[np.maximum(lead - 1, 0)], f[np.minimum(lead + 1, SAMPLES - 1)]
    gap, foot = np.full(len(centers), np.inf), np.zeros_like(centers)
    found, points = least_along(
        wheel, c[keep], a[keep], p + low[:, None] * d, (high - low)[:, None] * d
    )
    order = np.lexsort((found, rows))
    first = order[np.unique(rows[order], return_index=True)[1]]
    gap[rows[first]], foot[rows[first]] = found[first], points[first]
    return gap, foot


def least_along(
    wheel: Wheel, centers: Vector, axes: Vector, starts: Vector, runs: Vector
) -> tuple[Floats, Vector]:
    """Least signed distance (n,) of each wheel to one edge each, and where (n, 3)."""
    off = starts - centers
    y, rise = (off * axes).sum(axis=1), (runs * axes).sum(axis=1)
    square, drift = off - y[:, None] * axes, runs - rise[:, None] * axes
    a, b, c = ((v * w).sum(axis=1) for v, w in ((square, square), (square, drift), (drift, drift)))

    def distance(t: Floats) -> Floats:
        return wheel.off_outline(y + t * rise, np.sqrt(np.maximum(a + t * (2 * b + t * c), 0.0)))

    low, high = np.zeros(len(runs)), np.ones(len(runs))
    left, right = high - GOLDEN, low + GOLDEN
    at_left, at_right = distance(left), distance(right)
    for _ in range(SEARCHES):
        keep_left = at_left <= at_right
        low, high = np.where(keep_left, low, left), np.where(keep_left, right, high)
        trial = np.where(keep_left, high - GOLDEN * (high - low), low + GOLDEN * (high - low))
        at_trial = distance(trial)
        left, right = np.where(keep_left, trial, right), np.where(keep_left, left, trial)
        at_left, at_right = (
            np.where(keep_left, at_trial, at_right),
            np.where(keep_left, at_left, at_trial),
        )
    points = starts + ((low + high) / 2)[:, None] * runs
    return wheel.distance(centers, axes, points), points


def over_plane(
    wheel: Wheel, centers: Vector, axes: Vector, points: Vector, normals: Vector
) -> tuple[Floats, Vector]:
    """Least signed distance (n,) from wheels to endless planes (n, 3) each, and where (n, 3)."""
    height = ((centers - points) * normals).sum(axis=1)
    side = np.where(height >= 0, 1.0, -1.0)
    tip = wheel.foremost(centers, axes, -side[:, None] * normals)
    over = ((tip - points) * normals).sum(axis=1)
    gap, foot = side * over, tip - over[:, None] * normals
    cut = gap <= 0
    if cut.any():
        c, a, n = centers[cut], axes[cut], normals[cut]
        along = a - (a * n).sum(axis=1)[:, None] * n
        level = np.linalg.norm(along, axis=1)
        tied = level < 1e-9
        along[tied] = np.cross(n[tied], np.eye(3)[np.abs(n[tied]).argmin(axis=1)])
        run = 2 * wheel.reach * along / np.linalg.norm(along, axis=1)[:, None]
        start = c - height[cut][:, None] * n - run / 2
        gap[cut], foot[cut] = least_along(wheel, c, a, start, run)
    return gap, foot


def to_flats(
    wheel: Wheel, centers: Vector, axes: Vector, corners: Vector, normals: Vector
) -> tuple[Floats, Vector, NDArray[np.bool_]]:
    """Least signed distance (n,) to flat convex faces, where (n, 3), and whether it is known.

    `corners` (k, 3) or (n, k, 3) run anticlockwise seen against `normals` (3,) or (n, 3). Not
    known, and inf, where the least is on an edge.
    """
    corners = np.broadcast_to(corners, (len(centers), *corners.shape[-2:]))
    normals = np.broadcast_to(normals, centers.shape)
    gap, foot = over_plane(wheel, centers, axes, corners[:, 0], normals)
    run = np.roll(corners, -1, axis=1) - corners
    inward = np.cross(normals[:, None], run)
    within = ((foot[:, None] - corners) * inward).sum(axis=-1)
    inside = (within >= -1e-9 * np.linalg.norm(run, axis=-1)).all(axis=1)
    return np.where(inside, gap, np.inf), foot, inside
