"""A link's joint: how far it tilts between the plates of its fork, and what must stay clear of
what.

A body of half width w that reaches r from the bolt, tilted by α between two plates, needs
w cos α + r sin α on either side of the middle. That holds for the joint's head (w half the
body's width, r its outer radius) and for the link itself (w its radius, r how far the plates
reach along it).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import acos, atan2, cos, degrees, hypot, radians, sin

from parts.tables import find
from parts.trade.reserve import Screen, at_least, at_most

NEVER = 90.0  # degrees; a body that the plates never stop may tilt as far as this


@dataclass(frozen=True, slots=True)
class Joint:
    """A rod end or bush: hole through the ball, width of the ball (or sleeve) that is clamped,
    width of the body round it, outside of the head, the tilt its maker allows, and the outside
    of the link's shank that comes out of the fork. None where not known.

    Raises ValueError for sizes that no joint has.
    """

    bore: float
    ball_width: float
    body_width: float
    head_diameter: float
    tilt_limit_deg: float | None = None
    shank: float | None = None

    def __post_init__(self) -> None:
        for name in ("bore", "ball_width", "body_width", "head_diameter", "shank"):
            size = getattr(self, name)
            if size is not None and not size > 0:
                raise ValueError(
                    f"the joint's {name.replace('_', ' ')} is {size:g}; write a number above 0"
                )
        if self.body_width > self.ball_width:
            raise ValueError(
                f"the joint's body is {self.body_width:g} wide and its ball {self.ball_width:g}; "
                "the ball must be the wider of the two: measure both along the bolt"
            )


@dataclass(frozen=True, slots=True)
class TiltLimit:
    """How far a joint may tilt in its fork, and what stops it there."""

    angle_deg: float
    by: str


def fork_limit_deg(half_width: float, reach: float, gap: float) -> float:
    """The largest tilt between plates, 0 to 90 where they never stop it.

    w cos α + r sin α = gap / 2. With w 3 and r 4 in 9.6: sin α 0.6 and cos α 0.8 give 4.8.

    >>> round(fork_limit_deg(3, 4, 9.6), 2)
    36.87

    Raises ValueError where it does not go in.
    """
    room = gap / 2
    if half_width > room:
        raise ValueError(
            f"{2 * half_width:g} wide does not go between plates {gap:g} apart; "
            "make the gap wider by spacers"
        )
    size = hypot(half_width, reach)
    if room >= size:
        return NEVER
    return degrees(atan2(reach, half_width) - acos(room / size))


def tilt_limit(joint: Joint, gap: float) -> TiltLimit:
    """The joint's own limit or that of its head between the plates, whichever comes first.

    A 21 ball with 8 spacers either side, body 15, head 42: 7.5 cos α + 21 sin α = 18.5

    >>> round(tilt_limit(Joint(16, 21, 15, 42), gap=37).angle_deg, 1)
    36.4
    >>> tilt_limit(Joint(16, 21, 15, 42, tilt_limit_deg=14), gap=37)
    TiltLimit(angle_deg=14, by="the joint's own limit")

    Raises ValueError where the ball does not go in, and where neither sets a limit.
    """
    if joint.ball_width > gap:
        raise ValueError(
            f"a ball {joint.ball_width:g} wide does not go between plates {gap:g} apart; "
            "make the gap the ball's width and its spacers"
        )
    head = fork_limit_deg(joint.body_width / 2, joint.head_diameter / 2, gap)
    own = joint.tilt_limit_deg
    if own is None and head == NEVER:
        raise ValueError("the plates never stop this joint; give the tilt that its maker allows")
    if own is not None and own <= head:
        return TiltLimit(own, "the joint's own limit")
    return TiltLimit(head, "its head against the plates")


def tilt_screen(tilt_deg: float, joint: Joint, gap: float) -> Screen:
    """The greatest tilt over the travel against what the joint has in its fork."""
    limit = tilt_limit(joint, gap)
    return at_most("joint tilt", tilt_deg, limit.angle_deg, "deg", "geometry of the fork", limit.by)


def lean_limit_deg(joint: Joint, gap: float, plate: float) -> float:
    """The largest lean of the link itself, whose shank meets the plates' edge; NEVER for a shank
    of which nothing is known.

    `plate` is how far the plates reach from the bolt's middle along the link. ValueError where
    the shank is wider than the gap.
    """
    if joint.shank is None:
        return NEVER
    return fork_limit_deg(joint.shank / 2, plate, gap)


def head_screens(
    height: float, joint: Joint, weld_leg: float, bolt_corner: float = 0.0
) -> Iterator[Screen]:
    """The joint's head, and bolt head or nut (`bolt_corner`: across corners), over what the tab
    stands on, `height` below the hole: each must clear the weld's leg and 5 mm.

    >>> [round(s.limit, 1) for s in head_screens(40, Joint(16, 21, 15, 42), 4, bolt_corner=26.8)]
    [30.0, 22.4]
    """
    row = find("fork_rules", "clear of the joint's head")
    room = float(row["least"])
    note = f"radius, weld leg {weld_leg:g} and {row['least']} mm"
    for name, across in (("joint's head", joint.head_diameter), ("bolt's head", bolt_corner)):
        if across:
            need = across / 2 + weld_leg + room
            yield at_least(f"room for the {name}", height, need, "mm", row["source"], note)


def shank_to_tube(hole_distance: float, tube_od: float, shank: float, angle_deg: float) -> float:
    """Gap between a link's shank and the round tube its tab stands on.

    `hole_distance` from the tube's axis to the hole, `angle_deg` between the link and the line
    from the hole to the tube's axis, both seen along the tube: 90 is square to the tab.

    >>> shank_to_tube(80, 76, 22, 90)   # 80 - 38 - 11
    31.0
    """
    angle = radians(abs(angle_deg))
    nearest = hole_distance if cos(angle) <= 0 else hole_distance * sin(angle)
    return nearest - tube_od / 2 - shank / 2
