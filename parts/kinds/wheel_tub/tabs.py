"""A disc with tabs round its arc, to be folded up and lapped over the outside of the band."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, cos, pi, radians, sin, sqrt

from parts.kinds.wheel_tub.path import BandPath
from parts.sheet.allowance import outside_setback
from parts.sheet.blank import Bend
from parts.sheet.corner import fillet_all
from parts.sheet.curve import Curve, Line, Point
from parts.sheet.loop import Loop, contains, joined

PITCH = 45.0  # of the tabs round the arc; common practice: 25 to 50
SHARE = 0.7  # of the pitch that a tab is wide
CLEAR = 0.2  # between tab and band
TAB_ROUND = 3.0
LOOK = 4.0  # mm between places of a tab that are held against the rail


def standoff(fold_radius: float) -> float:
    """How far the band's edge must stay off the disc's face so that it does not ride up the
    inside round of the tabs' folds; to the next tenth of a millimetre.

    >>> standoff(1.3)
    0.7
    """
    beside = max(fold_radius - CLEAR, 0.0)
    rise = fold_radius - sqrt(fold_radius**2 - beside**2)
    return ceil(10 * rise + 0.5) / 10


@dataclass(frozen=True, slots=True)
class _Tab:
    """A tab's own axes: out from the band's centre, and along the arc."""

    center: Point
    angle: float

    def at(self, out: float, along: float) -> Point:
        c, s = cos(self.angle), sin(self.angle)
        return (self.center[0] + out * c - along * s, self.center[1] + out * s + along * c)

    def meets(self, loop: Loop, low: float, high: float, half: float) -> bool:
        """Whether the strip from `low` to `high` out, `half` wide each way, reaches into it."""
        rows, columns = ceil((high - low) / LOOK) + 1, ceil(2 * half / LOOK) + 1
        return any(
            contains([loop], self.at(low + (high - low) * i / rows, half * (2 * j / columns - 1)))
            for i in range(rows + 1)
            for j in range(columns + 1)
        )


def tabbed_disc(
    path: BandPath,
    foot: tuple[Point, Point],
    fold_radius: float,
    tab: float,
    allowance: float,
    blocked: Loop | None = None,
    flange: float = 0.0,
) -> tuple[Loop, tuple[Bend, ...]]:
    """The disc's outline and its tab folds, in (p, q), drawn face outboard.

    `foot` are the two ends of its foot on the floor, last end first; `allowance` that of a
    square fold. A tab is left out where it, or the `flange` of disc that a folder needs inside
    of its fold, would reach into `blocked`. Raises ValueError for tabs no longer than their own
    bend.
    """
    t = path.thickness
    flat = tab - outside_setback(fold_radius, t, 90.0)
    if flat <= 0:
        raise ValueError(f"tabs of {tab:.1f} mm are no longer than their own bend")
    start = path.radius + t + CLEAR - fold_radius  # where a tab begins to bend
    root = start - (fold_radius + t)  # the disc between tabs stops short of the bends
    tip = start + allowance + flat
    low, high = radians(path.last.rise_deg), pi - radians(path.first.rise_deg)
    count = max(3, ceil((high - low) * start / PITCH))
    half = SHARE * (high - low) * start / count / 2
    corners: list[Point] = [foot[1], foot[0]]
    tips: set[Point] = set()
    bends = []
    for i in range(count):
        one = _Tab(path.center, low + (i + 0.5) * (high - low) / count)
        corners.append(one.at(root, -half))
        if blocked is None or not one.meets(blocked, start - flange, tip, half):
            outer = (one.at(tip, -half), one.at(tip, half))
            corners += outer
            tips.update(outer)
            # the tab swings on the left of its line: outward
            bends.append(
                Bend(f"tab {i + 1}", one.at(start, half), one.at(start, -half), 90.0, fold_radius,
                     allowance)
            )  # fmt: skip
        corners.append(one.at(root, half))
    ends = [*corners[1:], corners[0]]
    sides: tuple[Curve, ...] = tuple(Line(a, b) for a, b in zip(corners, ends, strict=True))
    others = tuple(c for c in corners if c not in tips)
    outline = fillet_all(joined(sides, "the tabbed disc"), TAB_ROUND, "convex", others, True)
    return outline, tuple(bends)
