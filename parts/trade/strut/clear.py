"""Whether a strut keeps within its room and off what stands beside it."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, radians

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parts.trade.strut.given import Point, a_point
from parts.trade.strut.hung import looked_at
from parts.trade.strut.mounts import Mounts, turned

Floats = NDArray[np.float64]
FINE_DEG = 0.05
COARSE_DEG = 1.0
BATCH = 512


@dataclass(frozen=True, slots=True)
class Room:
    """Where a strut may be, seen from the pivot, lid shut.

    `outline`: corners of the space it lies in with the lid shut, in order; none for no limit.
    `keep_clear`: points of the body it must miss at every angle: lip of the gutter, a bracket.
    """

    outline: tuple[Point, ...] = ()
    keep_clear: tuple[Point, ...] = ()

    def __post_init__(self) -> None:
        for point in (*self.outline, *self.keep_clear):
            a_point("point of the strut's room", point)
        if self.outline and len(self.outline) < 3:
            raise ValueError(
                f"outline of the strut's room has {len(self.outline)} corners; needs 3 or more"
            )


def clearance(room: Room, mounts: Mounts, open_deg: float) -> float:
    """Least distance from the strut's axis, less what could hide between angles looked at.

    Inside the outline when shut, to each point over the whole swing; negative outside the
    outline. At most 0.1 mm too low for a mount on the lid 200 mm from the pivot.

    >>> round(clearance(Room(keep_clear=((150, -300),)), Mounts((100, 0), (100, -400)), 1), 1)
    50.0
    """
    return float(clearances(room, [mounts.lid], [mounts.body], open_deg, FINE_DEG)[0])


def clearances(
    room: Room, lid: ArrayLike, body: ArrayLike, open_deg: float, step_deg: float = COARSE_DEG
) -> Floats:
    """The same for many pairs of mounts (n, 2), with a coarser step and so a lower bound."""
    lids, bodies = np.asarray(lid, dtype=float), np.asarray(body, dtype=float)
    found = np.full(len(lids), inf)
    if room.outline:
        found = np.minimum(found, _inside(np.asarray(room.outline, dtype=float), lids, bodies))
    if room.keep_clear:
        at = looked_at(open_deg, step_deg)
        hidden = np.hypot(lids[:, 0], lids[:, 1]) * radians(float(at[1] - at[0])) / 2
        points = np.asarray(room.keep_clear, dtype=float)
        for start in range(0, len(lids), BATCH):
            part = slice(start, start + BATCH)
            ends = turned(lids[part], at)[:, :, None, :]
            off = _off_segment(points, bodies[part][:, None, None, :], ends)
            found[part] = np.minimum(found[part], off.min(axis=(1, 2)) - hidden[part])
    return found


def _off_segment(points: Floats, start: Floats, end: Floats) -> Floats:
    """Distances of points from segments; arrays (..., 2) that broadcast."""
    along = end - start
    square = np.maximum((along**2).sum(axis=-1), 1e-12)
    share = np.clip(((points - start) * along).sum(axis=-1) / square, 0, 1)
    off = points - start - share[..., None] * along
    found: Floats = np.hypot(off[..., 0], off[..., 1])
    return found


def _inside(outline: Floats, lids: Floats, bodies: Floats) -> Floats:
    """Distance of segments (n) from a closed outline (k, 2); negative where not within it."""
    a, b = outline[None, :, :], np.roll(outline, -1, axis=0)[None, :, :]
    p, q = bodies[:, None, :], lids[:, None, :]
    off = np.minimum(
        np.minimum(_off_segment(p, a, b), _off_segment(q, a, b)),
        np.minimum(_off_segment(a, p, q), _off_segment(b, p, q)),
    ).min(axis=1)
    crosses = ((_side(a, b, p) * _side(a, b, q) < 0) & (_side(p, q, a) * _side(p, q, b) < 0)).any(
        axis=1
    )
    above = (a[..., 1] > p[..., 1]) != (b[..., 1] > p[..., 1])
    rise = np.where(b[..., 1] == a[..., 1], 1.0, b[..., 1] - a[..., 1])
    meets = a[..., 0] + (p[..., 1] - a[..., 1]) / rise * (b[..., 0] - a[..., 0])
    within = (above & (p[..., 0] < meets)).sum(axis=1) % 2 == 1
    found: Floats = np.where(within & ~crosses, off, -np.maximum(off, 1e-9))
    return found


def _side(start: Floats, end: Floats, point: Floats) -> Floats:
    found: Floats = (end[..., 0] - start[..., 0]) * (point[..., 1] - start[..., 1]) - (
        end[..., 1] - start[..., 1]
    ) * (point[..., 0] - start[..., 0])
    return found
