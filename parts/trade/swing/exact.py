"""The least distance over a whole swing, solved without sampling.

At any angle two outlines are nearest at a corner of one, or square across an arc on both. A
corner runs through an arc about the pivot, so its least distance to a curve is that of two
curves that lie still; the same holds for a corner of what stays, seen from the lid. Square
across an arc, the distance is that of the arc's centre to a line or to another centre, less
radii: it is least where the centre passes square by, or at the ends of the swing. Two curves
that come to cross do so first at a corner, or touch square across an arc; then they cross at
one of these ends, there, or where a centre passes the line or the other arc.

So a few distances between curves that lie still hold the least of all. Those that a bound rules
out are left out: no point comes nearer to the pivot, or goes further from it, than it is.
"""

from __future__ import annotations

import numpy as np

from parts.trade.swing.curves import Floats, Points, Rows, gaps, paths, reaches
from parts.trade.swing.flattened import Flattened, Nearest, Side

BATCH = 200  # pivots looked at together
TURN = 2 * np.pi


class _Best:
    """The nearest so far of each pivot."""

    def __init__(self, flat: Flattened, count: int) -> None:
        distance, a, b, on_a, on_b = flat.shut
        self.flat = flat
        self.distance = np.full(count, distance)
        self.angle = np.zeros(count)
        self.mover = np.full(count, flat.moving.item[a])
        self.item = np.full(count, flat.fixed.item[b])
        self.on_mover = np.tile(on_a, (count, 1))
        self.on_item = np.tile(on_b, (count, 1))

    def offer(
        self, pivot: Rows, distance: Floats, angle: Floats, mover: Rows, item: Rows,
        on_mover: Points, on_item: Points,
    ) -> None:  # fmt: skip
        """Take what is nearer; each row is of one pivot, and a pivot may have many rows."""
        rows = np.flatnonzero(distance < self.distance[pivot])
        rows = rows[np.lexsort((distance[rows], pivot[rows]))]
        rows = rows[np.unique(pivot[rows], return_index=True)[1]]
        at = pivot[rows]
        self.distance[at], self.angle[at] = distance[rows], angle[rows]
        self.mover[at], self.item[at] = mover[rows], item[rows]
        self.on_mover[at], self.on_item[at] = on_mover[rows], on_item[rows]


def least_over_swing(flat: Flattened, pivots: Points) -> Nearest:
    """The least distance over the swing about each of the pivots (n, 2)."""
    parts = [_solved(flat, pivots[i : i + BATCH]) for i in range(0, len(pivots), BATCH)]
    return Nearest(
        np.concatenate([p.distance for p in parts]), np.concatenate([p.angle for p in parts]),
        np.concatenate([p.mover for p in parts]), np.concatenate([p.item for p in parts]),
        np.vstack([p.on_mover for p in parts]), np.vstack([p.on_item for p in parts]),
    )  # fmt: skip


def _solved(flat: Flattened, pivots: Points) -> _Best:
    """For one batch."""
    best = _Best(flat, len(pivots))
    if flat.shut[0] > 0:
        _corner_to_corner(best, pivots)
        _corner_to_curve(best, pivots, forward=True)
        _corner_to_curve(best, pivots, forward=False)
        _across_arcs(best, pivots)
    return best


def _polar(points: Points, pivots: Points) -> tuple[Floats, Floats]:
    """Distance and direction (pivots, points) of the points from each pivot."""
    away = points[None, :, :] - pivots[:, None, :]
    return np.hypot(away[..., 0], away[..., 1]), np.arctan2(away[..., 1], away[..., 0])


def _corner_to_corner(best: _Best, pivots: Points) -> None:
    """The quick part: it finds most of what matters and rules out most of the rest."""
    flat = best.flat
    r_m, a_m = _polar(flat.moving.corners, pivots)
    r_f, a_f = _polar(flat.fixed.corners, pivots)
    ahead = (a_f[:, None, :] - a_m[:, :, None]) % TURN
    angle = np.where(ahead < flat.opening, ahead, 0.0)
    late = (ahead >= flat.opening) & (ahead - flat.opening < TURN - ahead)
    angle = np.where(late, flat.opening, angle)
    apart = 4 * np.sin((ahead - angle) / 2) ** 2 * r_m[:, :, None] * r_f[:, None, :]
    square = (r_m[:, :, None] - r_f[:, None, :]) ** 2 + apart
    told = flat.told[flat.moving.corner_item[:, None], flat.fixed.corner_item[None, :]]
    square[:, ~told] = np.inf
    nearest = square.reshape(len(pivots), -1).argmin(axis=1)
    k = np.arange(len(pivots))
    m, f = np.divmod(nearest, len(flat.fixed.corners))
    best.offer(
        k, np.sqrt(square[k, m, f]), angle[k, m, f], flat.moving.corner_item[m],
        flat.fixed.corner_item[f], flat.moving.corners[m], flat.fixed.corners[f],
    )  # fmt: skip


def _corner_to_curve(best: _Best, pivots: Points, forward: bool) -> None:
    """Corners of what moves to curves that stay (`forward`), or the other way about."""
    flat = best.flat
    own, other = (flat.moving, flat.fixed) if forward else (flat.fixed, flat.moving)
    told = flat.told if forward else flat.told.T
    away = own.corners[None, :, :] - pivots[:, None, :]
    radius = np.hypot(away[..., 0], away[..., 1])
    least, most = reaches(other.curves, pivots)
    between = np.maximum(least[:, None, :] - radius[:, :, None], radius[:, :, None] - most[:, None])
    may = told[own.corner_item[:, None], other.item[None, :]][None]
    k, corner, curve = np.nonzero(may & (between < best.distance[:, None, None]))
    low = 0.0 if forward else -flat.opening
    ends = np.full(len(k), low), np.full(len(k), low + flat.opening)
    run = paths(own.corners[corner], pivots[k], *ends)
    distance, on_path, on_curve = gaps(run, other.curves.take(curve))
    at = on_path - pivots[k]
    start = own.corners[corner] - pivots[k]
    turned = np.arctan2(start[:, 0] * at[:, 1] - start[:, 1] * at[:, 0], (start * at).sum(axis=1))
    angle = np.clip(turned if forward else -turned, 0.0, flat.opening)
    found = (own.corner_item[corner], other.item[curve])
    if forward:
        best.offer(k, distance, angle, *found, own.corners[corner], on_curve)
    else:
        best.offer(k, distance, angle, *found[::-1], on_curve, own.corners[corner])


def _across_arcs(best: _Best, pivots: Points) -> None:
    """Pairs with an arc, at every angle where they may be nearest square across it."""
    flat = best.flat
    moving, fixed = flat.moving, flat.fixed
    arcs = moving.curves.round[:, None] | fixed.curves.round[None, :]
    arcs &= flat.told[moving.item[:, None], fixed.item[None, :]]
    if not arcs.any():
        return
    least_m, most_m = reaches(moving.curves, pivots)
    least_f, most_f = reaches(fixed.curves, pivots)
    between = np.maximum(
        least_f[:, None, :] - most_m[:, :, None], least_m[:, :, None] - most_f[:, None, :]
    )
    k, m, f = np.nonzero(arcs[None] & (between < best.distance[:, None, None]))
    angles = _square_across(moving, fixed, pivots[k], m, f) % TURN
    angles = np.column_stack([angles, np.full(len(k), flat.opening)])
    row, which = np.nonzero(angles <= flat.opening)  # not-a-number falls out here
    k, m, f, angle = k[row], m[row], f[row], angles[row, which]
    turned = moving.curves.take(m).turned(pivots[k], angle)
    distance, on_mover, on_item = gaps(turned, fixed.curves.take(f))
    c, s = np.cos(angle), np.sin(angle)
    away = on_mover - pivots[k]
    back = np.column_stack([c * away[:, 0] + s * away[:, 1], c * away[:, 1] - s * away[:, 0]])
    best.offer(k, distance, angle, moving.item[m], fixed.item[f], pivots[k] + back, on_item)


def _square_across(moving: Side, fixed: Side, pivots: Points, m: Rows, f: Rows) -> Floats:
    """Angles (n, 4) at which a pair's distance turns, or at which its centres pass; any whole
    turns off, not-a-number where there is none."""
    a, b = moving.curves.take(m), fixed.curves.take(f)
    to_a, to_b = a.center - pivots, b.center - pivots
    r_a, r_b = np.hypot(*to_a.T), np.hypot(*to_b.T)
    ahead = np.arctan2(to_b[:, 1], to_b[:, 0]) - np.arctan2(to_a[:, 1], to_a[:, 0])
    both = np.maximum(a.radius, b.radius)
    lean_arcs = _lean(r_a**2 + r_b**2 - both**2, 2 * r_a * r_b)
    square = np.where((a.round & b.round)[:, None], _four(ahead, lean_arcs), np.nan)
    for lines, arm, size, way in ((b, to_a, r_a, 1.0), (a, to_b, r_b, -1.0)):
        run = lines.end - lines.start
        length = np.maximum(np.hypot(run[:, 0], run[:, 1]), 1e-300)
        normal = np.stack([-run[:, 1], run[:, 0]], axis=-1) / length[:, None]
        height = ((lines.start - pivots) * normal).sum(axis=1)
        toward = np.arctan2(normal[:, 1], normal[:, 0]) - np.arctan2(arm[:, 1], arm[:, 0])
        four = _four(way * toward, _lean(height, size))
        square = np.where((~lines.round)[:, None], four, square)
    return square


def _lean(part: Floats, whole: Floats) -> Floats:
    """The angle whose cosine is part / whole, not-a-number where there is none."""
    ratio = part / np.where(whole > 0, whole, np.nan)
    return np.arccos(np.where(np.abs(ratio) <= 1, ratio, np.nan))


def _four(ahead: Floats, lean: Floats) -> Floats:
    return np.stack([ahead, ahead + np.pi, ahead + lean, ahead - lean], axis=-1)
