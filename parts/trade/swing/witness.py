"""A second opinion on the least distance over a swing: a bound on the motion, and bisection.

Looks at the middle of a span of angles. Within the span no distance differs from that in the
middle by more than the moving points move, a point at radius r by no more than the chord
2 r sin(half / 2) for a span of twice `half`. The lid may stand still and all else turn, so the
smaller radius of the two counts. Two more bounds hold at any angle or over the span: rings about
the pivot that hold a curve each never come nearer than they are; and an arc turned about the
pivot is a longer arc moved by no more than its centre moves.
"""

from __future__ import annotations

import numpy as np

from parts.trade.swing.curves import Floats, Points, Rows, gaps, reach, reaches
from parts.trade.swing.flattened import Flattened

MOST_SPANS = 10_000_000
BATCH = 200  # pivots looked at together
ROUNDING = 1e-7


class NotProved(ArithmeticError):
    """Two ways of telling a clearance disagree, or one of them found no end."""


def proved_floors(flat: Flattened, pivots: Points, claimed: Floats, within: float) -> Floats:
    """For every pivot (n, 2) a distance (n,) that nothing comes nearer than over the whole
    swing: at least `claimed` (n,) less `within`, or 0 where 0 is claimed. Raises NotProved where
    something is nearer than claimed."""
    parts = [
        _floors(flat, pivots[i : i + BATCH], claimed[i : i + BATCH], within)
        for i in range(0, len(pivots), BATCH)
    ]
    return np.concatenate(parts) if parts else np.zeros(0)


def _floors(flat: Flattened, pivots: Points, claimed: Floats, within: float) -> Floats:
    told = flat.told[flat.moving.item[:, None], flat.fixed.item[None, :]]
    rings = _rings(flat, pivots)
    rings[:, ~told] = np.inf
    k, a, b = np.nonzero((rings < claimed[:, None, None]) & (claimed > 0)[:, None, None])
    floors = claimed.copy()
    half = flat.opening / 2
    middle = np.full(len(k), half)
    count = 0
    while len(k):
        count += len(k)
        if count > MOST_SPANS:
            raise NotProved(f"no proof within {within:g} mm after {MOST_SPANS} spans of angle")
        distance, bound = _bounds(flat, pivots[k], a, b, middle, half)
        short = claimed[k] - distance
        if float(short.max()) > ROUNDING:
            row = int(short.argmax())
            raise NotProved(
                f"{distance[row]:.6f} mm at {np.degrees(middle[row]):.3f}°, "
                f"but {claimed[k[row]]:.6f} mm was claimed as the least"
            )
        done = bound >= claimed[k] - within
        np.minimum.at(floors, k[done], bound[done])
        half /= 2
        open_rows = np.repeat(np.flatnonzero(~done), 2)
        k, a, b = k[open_rows], a[open_rows], b[open_rows]
        middle = middle[open_rows] + np.tile([-half, half], len(open_rows) // 2)
    return floors


def _rings(flat: Flattened, pivots: Points) -> Floats:
    """Distance (pivots, moving, fixed) between rings about the pivot that hold a curve each."""
    near_m, far_m = reaches(flat.moving.curves, pivots)
    near_f, far_f = reaches(flat.fixed.curves, pivots)
    return np.maximum(
        near_f[:, None, :] - far_m[:, :, None], near_m[:, :, None] - far_f[:, None, :]
    )


def _bounds(
    flat: Flattened, about: Points, a: Rows, b: Rows, middle: Floats, half: float
) -> tuple[Floats, Floats]:
    """Distances in the middle of each span, and what is never undercut within it."""
    moving, fixed = flat.moving.curves.take(a), flat.fixed.curves.take(b)
    turned = moving.turned(about, middle)
    distance, _, _ = gaps(turned, fixed)
    chord = 2 * np.sin(half / 2)
    bound = distance - chord * np.minimum(reach(moving, about)[1], reach(fixed, about)[1])
    for own, other in ((turned, fixed), (fixed, turned)):
        rows = np.flatnonzero(own.round)
        if len(rows):
            long = own.take(rows).longer(np.full(len(rows), half))
            apart, _, _ = gaps(long, other.take(rows))
            center = np.hypot(*(long.center - about[rows]).T)
            bound[rows] = np.maximum(bound[rows], apart - chord * center)
    return distance, bound
