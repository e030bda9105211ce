"""The stiffening return along one edge of the longer leg."""

from __future__ import annotations

import numpy as np

from parts.kinds.bench import Bench
from parts.kinds.bumper_mount.bracket import Chain
from parts.kinds.bumper_mount.config import BumperMount
from parts.kinds.bumper_mount.faces import NoLayout
from parts.kinds.bumper_mount.outline import Disc, Return, Root
from parts.sheet.allowance import outside_setback
from parts.sheet.blank import Bend
from parts.sheet.shop import Rack

EDGE_STEP = 0.5  # a return's edge stands this much outside the bosses, to be one straight line


def return_flange(
    config: BumperMount,
    bench: Bench,
    rack: Rack,
    chain: Chain,
    legs: list[tuple[Disc, ...]],
    roots: tuple[Root, ...],
) -> Return:
    """A stiffening return on the upper edge of the longer leg, turned away from its face.

    It hangs outside the bosses by the inside radius plus the thickness, so that its bend ends
    at free edges, and stops short of the main bend.
    """
    t, r = rack.stock.thickness, bench.inside_radius(rack).value
    first = bool(chain.near.max() >= chain.far.max())
    near_root = roots[0] if first else roots[-1]
    discs = legs[0] if first else legs[-1]
    place = chain.base if first else chain.end
    bend = near_root.bend
    d, n = np.array(bend.along), np.array(bend.across)
    raised = float(place.direction([*d, 0.0])[2])
    way = 1.0 if raised > 0 else -1.0  # along the bend line toward the upper edge
    reach = [way * bend.beside(c) + radius for c, radius in discs]
    v = way * (max(*reach, way * near_root.low, way * near_root.high) + EDGE_STEP)
    tips = [bend.ahead(c) + sign * radius for c, radius in discs for sign in (-1, 1)]
    if first:
        u_far, u_near = min(tips), -(near_root.neck + 2 * t)
    else:
        u_far, u_near = max(tips), bend.allowance + near_root.neck + 2 * t
    if abs(u_far - u_near) < 4 * t:
        raise NoLayout(
            "return_flange", "the leg is too short to carry it", f"{4 * t:.0f} mm of edge",
            "leave it out",
        )  # fmt: skip
    origin = np.array(bend.start)
    ends = [origin + v * d + u * n for u in (u_far, u_near)]
    outward = way * d
    heading = np.array([-outward[1], outward[0]])  # anticlockwise round the leg
    if (ends[1] - ends[0]) @ heading < 0:
        ends.reverse()
    edge = ((float(ends[0][0]), float(ends[0][1])), (float(ends[1][0]), float(ends[1][1])))
    drawn_touches = (not first) and chain.reaches[-1].drawn_touches
    turn = -90.0 if drawn_touches else 90.0
    stand = r + t
    start, end = ends[1] + stand * outward, ends[0] + stand * outward
    setback = outside_setback(r, t, 90.0)
    if config.return_flange <= setback:
        raise NoLayout(
            "return_flange", f"{config.return_flange:.1f} mm is no more than its own bend",
            f"over {setback:.1f} mm", "make it higher, or leave it out",
        )  # fmt: skip
    hung = Bend(
        "return",
        (float(start[0]), float(start[1])),
        (float(end[0]), float(end[1])),
        turn,
        r,
        bench.allowance(rack, 90.0).length_mm,
    )
    return Return(0 if first else -1, edge, hung, config.return_flange - setback)
