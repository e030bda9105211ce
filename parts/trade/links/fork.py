"""How far a joint may tilt in its fork, and what must stay clear of what.

A joint of half width w that reaches r from the bolt, tilted by α between two cheeks, needs
w cos α + r sin α on either side of the middle. That holds for the joint's head (w half the
body's width, r its outer radius) and for the link itself (w its radius, r how far the cheek
reaches along it).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, atan2, cos, degrees, hypot, inf, radians, sin

from parts.trade.links.car import rule
from parts.trade.screening import Screen


@dataclass(frozen=True, slots=True)
class Joint:
    """A rod end or bush: widths along the bolt, the head round the ball, the shank of the link.

    `ball_width` is what the bolt clamps; `body_width` the housing's, `head` its outside
    diameter, `shank` the outside diameter of what comes out of the fork. `tilt_limit_deg` is
    the maker's, where the ball's own collar stops it; None where not known.
    """

    ball_width: float
    body_width: float
    head: float
    shank: float
    tilt_limit_deg: float | None = None

    def __post_init__(self) -> None:
        for name in ("ball_width", "body_width", "head", "shank"):
            if not getattr(self, name) > 0:
                raise ValueError(f"the joint's {name.replace('_', ' ')} is "
                                 f"{getattr(self, name):g}; write a number above 0")  # fmt: skip
        if self.body_width > self.ball_width:
            raise ValueError(
                f"the joint's body is {self.body_width:g} wide and its ball {self.ball_width:g}; "
                "the ball must be the wider of the two: measure both along the bolt"
            )


def fork_limit_deg(half_width: float, reach: float, gap: float) -> float:
    """The largest tilt in a gap between cheeks, 0 to 90; ValueError where it does not go in.

    w cos α + r sin α = gap / 2. With w 3 and r 4 in 9.6: sin α 0.6 and cos α 0.8 give 4.8.

    >>> round(fork_limit_deg(3, 4, 9.6), 2)
    36.87
    """
    room = gap / 2
    if half_width > room:
        raise ValueError(
            f"{2 * half_width:g} wide does not go between cheeks {gap:g} apart; "
            "make the gap wider by spacers"
        )
    size = hypot(half_width, reach)
    if room >= size:
        return 90.0
    return degrees(atan2(reach, half_width) - acos(room / size))


@dataclass(frozen=True, slots=True)
class TiltLimit:
    """How far a joint may tilt in its fork, and what stops it there."""

    angle_deg: float
    by: str


def tilt_limit(joint: Joint, gap: float) -> TiltLimit:
    """The joint's own limit or the head's in the fork, whichever comes first; ValueError.

    A 21 ball with 8 spacers either side, body 15, head 42: 7.5 cos α + 21 sin α = 18.5

    >>> round(tilt_limit(Joint(21, 15, 42, 22), gap=37).angle_deg, 1)
    36.4
    >>> tilt_limit(Joint(21, 15, 42, 22, tilt_limit_deg=14), gap=37)
    TiltLimit(angle_deg=14, by="the joint's own limit")
    """
    if joint.ball_width > gap:
        raise ValueError(
            f"a ball {joint.ball_width:g} wide does not go between cheeks {gap:g} apart; "
            "make the gap the ball's width and its spacers"
        )
    head = fork_limit_deg(joint.body_width / 2, joint.head / 2, gap)
    own = joint.tilt_limit_deg
    if own is not None and own <= head:
        return TiltLimit(own, "the joint's own limit")
    return TiltLimit(head, "its head against the cheeks")


def lean_limit_deg(joint: Joint, gap: float, cheek: float) -> float:
    """The largest lean of the link itself, whose shank meets the cheeks' edge.

    `cheek` is how far the cheeks reach from the bolt's middle along the link. ValueError where
    the shank is wider than the gap.
    """
    return fork_limit_deg(joint.shank / 2, cheek, gap)


def head_room(
    hole_height: float, joint: Joint, weld_leg: float = 0.0, bolt_corner: float = 0.0
) -> tuple[Screen, ...]:
    """Joint's head, and bolt head or nut (`bolt_corner`: across corners), over what the tab
    stands on, `hole_height` below the hole: each must clear the weld and some room.

    >>> [round(s.limit, 1) for s in head_room(40, Joint(21, 15, 42, 22), 4, bolt_corner=26.8)]
    [30.0, 22.4]
    """
    room = rule("room round the head")
    note = f"radius, weld {weld_leg:g} and {room:g} of room"
    out = [_clear("joint head over the tube", hole_height, joint.head / 2 + weld_leg + room, note)]
    if bolt_corner:
        least = bolt_corner / 2 + weld_leg + room
        out.append(_clear("bolt head over the tube", hole_height, least, note))
    return tuple(out)


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


def _clear(name: str, found: float, least: float, note: str) -> Screen:
    reserve = found / least if least else inf
    return Screen(name, found, least, "mm", reserve, "common practice", note)
