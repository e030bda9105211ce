"""The goose-neck: an arm that leaves the pivot, passes under the gutter and comes up to the lid.

Seen about the pivot, with angles anticlockwise from straight back. The neck runs in a ring whose
inside radius, the throat, clears all that stays within it. When the lid is open the leg from the
pivot to the ring has turned up towards the gutter, so it must leave the pivot well below it: the
neck is a hook.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import acos, asin, atan2, cos, degrees, hypot, pi, radians, sin, tau

import numpy as np

from parts.sheet.curve import Arc, Curve, Line, Point, arc, at_words, distance
from parts.sheet.loop import Loop, area, box, joined
from parts.trade.swing.curves import Floats, Points, gathered, reaches
from parts.trade.swing.pivot_map import Slack
from parts.trade.swing.section import Outline, Section, furthest
from parts.trade.swing.swing import Swing, check_pivot, swing

ARM = "arm"
TURNS = 40  # times the leg is turned further from what it struck
CLOSE = 1e-4  # mm; a margin short by less than this is met


@dataclass(frozen=True, slots=True)
class NeckSizes:
    """What is chosen for an arm: `hub`, the diameter round the pivot's hole; `width` of the ring
    at the throat, where the arm bends hardest; `fillet` between leg and ring, inside; `pad`, the
    two ends of the edge that meets the lid, front first, as the lid lies shut."""

    hub: float
    width: float
    fillet: float
    pad: tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class Throat:
    """The least throat of a neck: its inside `radius` and the fixed point that rules it."""

    radius: float
    item: str
    at: Point


@dataclass(frozen=True, slots=True)
class Neck:
    """An arm that clears: its outline as the lid lies shut, and what it takes.

    `leg_deg` is the direction in which it leaves the pivot, `hook_deg` how far round the ring
    goes from there to where it leaves for the lid. `depth` is how far it hangs below the pivot,
    `depth_below_lid` below the lid's edge. `clears` is its own swing, proved.
    """

    outline: Outline
    throat: Throat
    leg_deg: float
    hook_deg: float
    depth: float
    depth_below_lid: float
    clears: Swing


def throat(fixed: Sequence[Outline], pivot: Point, margin: float) -> Throat:
    """The least throat about a pivot that clears the outlines by a margin at every angle.

    >>> from parts.trade.swing.section import polyline
    >>> gutter = polyline("gutter", ((24, -17), (24, -38), (2, -38)))
    >>> round(throat([gutter], (-72, -18), 8).radius, 2)
    106.06
    """
    if not fixed:
        raise ValueError("a throat needs something to pass round: name the gutter or the seal")
    if not margin >= 0:
        raise ValueError(f"margin {margin:g} mm at the throat; needs 0 or more")
    check_pivot(pivot)
    (reached, at), name = max(
        (furthest(curve, pivot), item.name) for item in fixed for curve in item.curves
    )
    return Throat(reached + margin, name, at)


def neck_spare(fixed: Sequence[Outline], margin: float, width: float, lowest: float) -> Slack:
    """For a map of pivots: how far above `lowest` (v) the bottom of the neck stays."""
    curves = gathered([curve for item in fixed for curve in item.curves])

    def spare(pivots: Points) -> Floats:
        radius = reaches(curves, pivots)[1].max(axis=1) + margin
        return np.asarray(pivots[:, 1] - radius - width - lowest)

    return spare


def leg_angle_deg(
    fixed: Sequence[Outline], pivot: Point, opening_deg: float, clear: float
) -> float:
    """The highest direction in which a leg may leave the pivot, so that its middle line, turned
    up by the opening, stays `clear` mm below all of the outlines.

    The middle line of a leg that needs none leaves at the angle of the lowest corner less the
    opening:

    >>> from parts.trade.swing.section import polyline
    >>> gutter = polyline("gutter", ((24, -17), (24, -38), (2, -38)))
    >>> round(leg_angle_deg([gutter], (-72, -18), 82, 0), 2)
    -97.12
    """
    lowest = pi
    for item in fixed:
        for curve in item.curves:
            discs = [(curve.start, 0.0), (curve.end, 0.0)]
            if isinstance(curve, Arc):  # a whole disc in place of the arc errs to the safe side
                discs.append((curve.center, curve.radius))
            for (u, v), radius in discs:
                away = hypot(u - pivot[0], v - pivot[1])
                if away <= clear + radius:
                    raise ValueError(
                        f"{item.name} at {at_words((u, v), 1)} lies {away - radius:.1f} mm from "
                        f"the pivot; a leg needs {clear:.1f} mm: move the pivot"
                    )
                angle = atan2(v - pivot[1], u - pivot[0])
                lowest = min(lowest, angle - asin((clear + radius) / away))
    return degrees(lowest) - opening_deg


def neck(
    section: Section, pivot: Point, sizes: NeckSizes, around: Sequence[str], margin: float,
    wish: float,
) -> Neck:  # fmt: skip
    """An arm that passes round the fixed outlines named in `around` and clears them by `margin`,
    and all else that is told to an arm by `wish`, at every angle, proved.

    The formulas place it; where the sweep still finds it nearer, its leg is turned down further.
    Raises ValueError where no such arm is found, saying what is in the way.
    """
    known = {item.name: item for item in section.fixed}
    missing = [name for name in around if name not in known]
    if missing:
        raise ValueError(f"nothing fixed is called {missing[0]}; there are {list(known)}")
    told = [i for i in section.fixed if i.against is None or ARM in i.against]
    needs = ((around, margin), ([i.name for i in told if i.name not in around], wish))
    hole = throat([known[name] for name in around], pivot, margin)
    leg_deg = leg_angle_deg(
        [known[name] for name in around], pivot, section.opening_deg, sizes.hub / 2 + margin
    )
    found: list[Swing] = []
    for _ in range(TURNS):
        loop, hook_deg = neck_outline(pivot, hole.radius, leg_deg, sizes)
        arm = Outline(ARM, loop)
        found, short = [], 0.0
        for names, need in needs:
            if fixed := tuple(replace(known[name], against=None) for name in names):
                found.append(swing(Section((arm,), fixed, section.opening_deg), pivot))
                short = max(short, need - found[-1].clearance)
        nearest = min(found, key=lambda one: one.clearance)
        if short <= CLOSE:
            low = box(loop)[1]
            return Neck(arm, hole, leg_deg, hook_deg, pivot[1] - low, -low, nearest)
        if all(distance(one.on_lid, pivot) < sizes.hub / 2 + CLOSE for one in found):
            break  # the hub is in the way, and turns on the spot
        leg_deg -= degrees(asin(min(0.5, 1.05 * max(short, 0.05) / hole.radius)))
    raise ValueError(
        f"no arm clears what it passes round by {margin:g} mm and all else by {wish:g}: "
        f"{'; '.join(map(str, found))}; move the pivot, or make the hub or the margin smaller"
    )


def neck_outline(
    pivot: Point, radius: float, leg_deg: float, sizes: NeckSizes
) -> tuple[Loop, float]:
    """The outline of an arm as the lid lies shut, anticlockwise, and how many degrees of ring it
    has inside.

    From the hub a tangent down to the ring's outside, round it, up to the pad's back end, along
    the pad, down to the throat, back round it, and through the fillet up the leg. Raises
    ValueError where the pad lies within the ring or no ring is left.
    """
    hub, width, rho = sizes.hub / 2, sizes.width, sizes.fillet
    if not hub > 0 or not width > 0 or not rho > 0:
        raise ValueError("an arm's hub, width and fillet need more than 0 mm")
    if not radius - rho > hub + rho:
        raise ValueError(
            f"a throat of {radius:.1f} mm has no room for a hub of {sizes.hub:g} and a fillet of "
            f"{rho:g}: make them smaller"
        )
    leg = radians(leg_deg)
    front, back = (_polar(p, pivot) for p in sizes.pad)
    for what, (away, _), need in (("front", front, radius), ("back", back, radius + width)):
        if away <= need:
            raise ValueError(
                f"the pad's {what} end lies {away:.1f} mm from the pivot; the neck needs more "
                f"than {need:.1f}: move the pad back, or choose a narrower neck"
            )

    def at(away: float, angle: float) -> Point:
        return (pivot[0] + away * cos(angle), pivot[1] + away * sin(angle))

    off = leg + asin((hub + rho) / (radius - rho))  # where the fillet meets the throat
    inner = _unwound(front[1] - acos(radius / front[0]), off)
    outer = _unwound(back[1] - acos((radius + width) / back[0]), leg)
    if inner - off > pi * 1.5 or outer - leg > pi * 1.5:
        raise ValueError("the leg leaves the pivot beyond the pad: nothing is left of the ring")
    start = radius + width / 2
    side, turned = leg + pi / 2, leg - acos((hub - width / 2) / start)
    first = arc(pivot, hub, side, (turned - side) % tau)
    cap = arc(at(start, leg), width / 2, turned, (leg - turned) % tau)
    ring = arc(pivot, radius + width, leg, outer - leg)
    inside = arc(pivot, radius, inner, off - inner)
    bow = arc(at(radius - rho, off), rho, off, leg - pi / 2 - off)
    curves: list[Curve] = [
        first, Line(first.end, cap.start), cap, ring, Line(ring.end, sizes.pad[1]),
        Line(sizes.pad[1], sizes.pad[0]), Line(sizes.pad[0], inside.start), inside, bow,
        Line(bow.end, first.start),
    ]  # fmt: skip
    loop = joined(tuple(curves), "arm")
    if area(loop) <= 0:
        raise ValueError("the arm crosses itself: move the pad back or choose a narrower neck")
    return loop, degrees(inner - off)


def _polar(point: Point, pivot: Point) -> tuple[float, float]:
    du, dv = point[0] - pivot[0], point[1] - pivot[1]
    return hypot(du, dv), atan2(dv, du)


def _unwound(angle: float, start: float) -> float:
    """The angle as a turn on from `start`, anticlockwise."""
    return start + (angle - start) % tau
