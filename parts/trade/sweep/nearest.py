"""Where straight edges and flat convex faces come nearest to wheels.

The signed distance from a convex solid is a convex function of the point, inside as well as
outside. Its least over a flat face is at the foot of the foremost point where the two are
apart; where the plane cuts the wheel it is on the plane's mirror line, under the wheel's axis;
and where that place is outside the face's outline it is on an edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parts.place import Vector
from parts.trade.sweep.wheel import Wheel

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]
FINE = 1e-9  # mm that a distance from an edge may be told too large
ROUNDS = 40  # of a search along an edge; each leaves less than half of what was left of it
EVENLY = np.linspace(0.1, 0.9, 9)  # of what is left of an edge, looked at in a round
BESIDE = np.array([-0.01, -0.0005, 0.0, 0.0005, 0.01])  # the same beside a guess


def to_edges(
    wheel: Wheel,
    centers: Vector,
    axes: Vector,
    rows: Rows,
    starts: Vector,
    runs: Vector,
    limit: Floats | None = None,
) -> tuple[Floats, Vector]:
    """Least signed distance (n,) from wheels to straight edges, and where (n, 3).

    Edges (m, 3) each belong to the wheel that `rows` (m,) says. Inf where a wheel has none; no
    search is made for what does not come under `limit` (n,).
    """
    most = np.full(len(centers), np.inf) if limit is None else limit.copy()
    found, places = _searched(_Lines.of(centers[rows], axes[rows], starts, runs), wheel, rows, most)
    gap, foot = np.full(len(centers), np.inf), np.zeros_like(centers)
    first = leading(found, rows)
    points = starts[first] + places[first, None] * runs[first]
    gap[rows[first]], foot[rows[first]] = found[first], points
    return gap, foot


def least_along(
    wheel: Wheel, centers: Vector, axes: Vector, starts: Vector, runs: Vector
) -> tuple[Floats, Vector]:
    """Least signed distance (n,) of each wheel to one edge each, and where (n, 3)."""
    rows = np.arange(len(centers))
    most = np.full(len(centers), np.inf)
    found, places = _searched(_Lines.of(centers, axes, starts, runs), wheel, rows, most)
    return found, starts + places[:, None] * runs


def crossed(one: Vector, other: Vector) -> Vector:
    """Cross products (..., 3), as `numpy.cross` but several times faster for few.

    >>> crossed(np.array([[1.0, 0, 0]]), np.array([[0.0, 1, 0]])).tolist()
    [[0.0, 0.0, 1.0]]
    """
    first, last = [1, 2, 0], [2, 0, 1]
    return np.asarray(one[..., first] * other[..., last] - one[..., last] * other[..., first])


def following(corners: Vector) -> Vector:
    """The next corner to each of rings (..., k, 3)."""
    return np.concatenate([corners[..., 1:, :], corners[..., :1, :]], axis=-2)


def leading(values: Floats, rows: Rows) -> Rows:
    """Which of the values (m,) is the least of its row, for every row that there is."""
    order = np.lexsort((values, rows))
    own = rows[order]
    return np.asarray(order[np.append(True, own[1:] != own[:-1])[: len(own)]])


@dataclass(frozen=True, eq=False)
class _Lines:
    """Edges as wheels see them, t from 0 to 1 along each: y + t rise along the axis, and the
    square of the radius a + 2 b t + c t t; each (m,)."""

    y: Floats
    rise: Floats
    a: Floats
    b: Floats
    c: Floats

    @classmethod
    def of(cls, centers: Vector, axes: Vector, starts: Vector, runs: Vector) -> _Lines:
        off = starts - centers
        y, rise = np.vecdot(off, axes), np.vecdot(runs, axes)
        square, drift = off - y[:, None] * axes, runs - rise[:, None] * axes
        return cls(
            y, rise, np.vecdot(square, square), np.vecdot(square, drift), np.vecdot(drift, drift)
        )

    def some(self, which: Rows) -> _Lines:
        return _Lines(*(v[which] for v in (self.y, self.rise, self.a, self.b, self.c)))

    def distance(self, wheel: Wheel, t: Floats) -> tuple[Floats, Floats]:
        """The signed distances (m, k) at t (m, k), and how fast they grow by t."""
        y, rise, a, b, c = (v[:, None] for v in (self.y, self.rise, self.a, self.b, self.c))
        radius = np.sqrt(np.maximum(a + t * (2 * b + t * c), 0.0))
        told = wheel.grown((y + t * rise).ravel(), radius.ravel())
        gap, by_y, by_r = (v.reshape(t.shape) for v in told)
        return gap, by_y * rise + by_r * (b + t * c) / np.maximum(radius, 1e-12)


def _searched(lines: _Lines, wheel: Wheel, rows: Rows, most: Floats) -> tuple[Floats, Floats]:
    """The least found along every edge (m,) and its t (m,); the true one where that is the least
    of its row and under `most` (n,), which is lowered.

    A convex function lies above its tangents: where those of both ends of what is left of an
    edge cross is a floor, and one place to look next; the others are beside where the cubic
    through both ends is least.
    """
    place = np.full((len(rows), 1), 0.5)
    best, slope = lines.distance(wheel, place)
    best, place, slope = best[:, 0], place[:, 0], slope[:, 0]
    np.minimum.at(most, rows, best)
    left = np.flatnonzero((best - np.abs(slope) / 2 < most[rows] - FINE) & (slope != 0))
    if not len(left):
        return best, place
    lines, mine = lines.some(left), rows[left]
    ahead = slope[left] < 0  # the least is further along
    end = np.where(ahead, 1.0, 0.0)
    at_end, end_slope = (v[:, 0] for v in lines.distance(wheel, end[:, None]))
    middle = np.array([place[left], best[left], slope[left]])
    _lower(best, place, most, left, mine, end, at_end)
    other = np.array([end, at_end, end_slope])
    low = np.where(ahead, middle, other)  # place, distance and slope, (3, m)
    high = np.where(ahead, other, middle)
    keep = (low[2] < 0) & (high[2] > 0)
    for _ in range(ROUNDS):
        (t, f, df), (u, g, dg) = low, high
        with np.errstate(invalid="ignore", divide="ignore"):
            cross = (g - f + df * t - dg * u) / (df - dg)
        keep &= f + df * (cross - t) < most[mine] - FINE
        if not keep.any():
            break
        lines, low, high = lines.some(keep), low[:, keep], high[:, keep]
        left, mine, cross = left[keep], mine[keep], cross[keep]
        trial = _beside(low, high, cross)
        at_trial, slope = lines.distance(wheel, trial)
        told = np.array([trial, at_trial, slope])
        told = np.concatenate([low[..., None], told, high[..., None]], axis=2)
        across, row = (told[2, :, 1:] >= 0).argmax(axis=1), np.arange(len(left))
        low, high = told[:, row, across], told[:, row, across + 1]
        nearer = np.where(low[1] < high[1], low, high)
        _lower(best, place, most, left, mine, nearer[0], nearer[1])
        keep = low[0] < high[0]
    return best, place


def _lower(
    best: Floats, place: Floats, most: Floats, which: Rows, rows: Rows, at: Floats, found: Floats
) -> None:
    better = found < best[which]
    best[which[better]], place[which[better]] = found[better], at[better]
    np.minimum.at(most, rows, found)


def _beside(low: Floats, high: Floats, cross: Floats) -> Floats:
    """Places (m, k) in order along what is left of edges: where the tangents cross, and beside
    the least of the cubic with the values and slopes of both ends."""
    (t, f, df), (u, g, dg) = low, high
    first = df + dg - 3 * (g - f) / (u - t)
    second = np.sqrt(np.maximum(first * first - df * dg, 0.0))
    guess = u - (u - t) * (dg + second - first) / (dg - df + 2 * second)
    wide, t, u = (u - t)[:, None], t[:, None], u[:, None]
    trial = [guess[:, None] + wide * BESIDE, t + wide * EVENLY, cross[:, None]]
    return np.sort(np.clip(np.concatenate(trial, axis=1), t, u), axis=1)


def over_plane(
    wheel: Wheel, centers: Vector, axes: Vector, points: Vector, normals: Vector
) -> tuple[Floats, Vector]:
    """Signed gap (n,) from wheels to endless planes (n, 3) each, and where on the plane (n, 3) it
    is; where they meet, how far the plane is past the foremost point."""
    height = np.vecdot(centers - points, normals)
    side = np.where(height >= 0, 1.0, -1.0)
    tip = wheel.foremost(centers, axes, -side[:, None] * normals)
    over = np.vecdot(tip - points, normals)
    return side * over, tip - over[:, None] * normals


def in_plane(
    wheel: Wheel, centers: Vector, axes: Vector, points: Vector, normals: Vector
) -> tuple[Floats, Vector]:
    """Least signed distance (n,) from wheels to endless planes that cut them, and where (n, 3)."""
    along = axes - np.vecdot(axes, normals)[:, None] * normals
    level = np.linalg.norm(along, axis=1)
    tied = level < 1e-9
    along[tied] = crossed(normals[tied], np.eye(3)[np.abs(normals[tied]).argmin(axis=1)])
    run = 2 * wheel.reach * along / np.linalg.norm(along, axis=1)[:, None]
    height = np.vecdot(centers - points, normals)
    return least_along(wheel, centers, axes, centers - height[:, None] * normals - run / 2, run)


def to_flats(
    wheel: Wheel, centers: Vector, axes: Vector, corners: Vector, normals: Vector
) -> tuple[Floats, Vector, NDArray[np.bool_]]:
    """Least signed distance (n,) to one flat convex face each, where (n, 3), and whether it is
    known.

    `corners` (n, k, 3) run anticlockwise seen against `normals` (n, 3). Not known, and inf,
    where the least is on an edge.
    """
    gap, foot = over_plane(wheel, centers, axes, corners[:, 0], normals)
    cut = np.flatnonzero(gap <= 0)
    if len(cut):
        gap[cut], foot[cut] = in_plane(
            wheel, centers[cut], axes[cut], corners[cut, 0], normals[cut]
        )
    inside = within(foot, corners, normals)
    return np.where(inside, gap, np.inf), foot, inside


def within(points: Vector, corners: Vector, normals: Vector) -> NDArray[np.bool_]:
    """Whether points (n, 3) are inside the outlines of faces (n, k, 3), seen along the normals."""
    run = following(corners) - corners
    inward = crossed(normals[:, None], run)
    inside = np.vecdot(points[:, None] - corners, inward)
    return np.asarray((inside >= -1e-9 * np.sqrt(np.vecdot(run, run))).all(axis=1))
