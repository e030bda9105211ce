"""How much a clearance changes when the pivot, or what was measured, is a little out."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, radians, sin

import numpy as np

from parts.sheet.curve import Point
from parts.trade.swing.exact import least_over_swing
from parts.trade.swing.flattened import flattened
from parts.trade.swing.section import Section
from parts.trade.swing.swing import Swing


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What becomes of a clearance: the change (mm) when the pivot sits 1 mm off towards each
    side, and `plus_minus` (mm, 95 % half width) from the ± of the points and of the pivot."""

    forward: float
    back: float
    down: float
    up: float
    plus_minus: float

    @property
    def worst(self) -> float:
        """The largest loss of the four, 0 or below."""
        return min(self.forward, self.back, self.down, self.up, 0.0)


def sensitivity(section: Section, found: Swing, pivot_plus_minus: float = 0.0) -> Sensitivity:
    """The sensitivity of a swing that was found about its pivot.

    Each change is the difference of two solved swings. The ± takes the two outlines nearest each
    other as measured apart from one another, and from the pivot.
    """
    if not pivot_plus_minus >= 0:
        raise ValueError(f"pivot ± {pivot_plus_minus:g} mm; needs 0 or more")
    u, v = found.pivot
    around = np.array([(u, v), (u - 1, v), (u + 1, v), (u, v - 1), (u, v + 1)])
    here, *there = least_over_swing(flattened(section), around).distance.tolist()
    spreads = [
        item.plus_minus
        for item in (*section.moving, *section.fixed)
        if item.name in (found.mover, found.item)
    ]
    spreads.append(pivot_plus_minus * hypot(*pull(found)))
    forward, back, down, up = (value - here for value in there)
    return Sensitivity(forward, back, down, up, hypot(*spreads))


def pull(found: Swing) -> Point:
    """Change of the clearance per mm the pivot sits back, and per mm up: n - n turned back by
    the angle, n the unit direction from the fixed point to the moving one.

    (0, 0) where it strikes, for want of a direction.
    """
    nu, nv = (a - b for a, b in zip(found.from_point, found.to_point, strict=True))
    size = hypot(nu, nv)
    if size == 0:
        return (0.0, 0.0)
    nu, nv = nu / size, nv / size
    c, s = cos(radians(found.angle_deg)), sin(radians(found.angle_deg))
    return (nu - (c * nu + s * nv), nv - (c * nv - s * nu))
