"""Where a strut is mounted: its length, its lever about the hinge and its angles as a lid opens.

Every point is seen from the hinge pivot with the lid shut: rearward, then up. The mount on the
lid turns with it; the one on the body stays.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, hypot, radians

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parts.trade.strut.given import Point, a_point, not_below_zero

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Mounts:
    """Ball centres on lid and body; `aside` is how far they differ along the hinge axis."""

    lid: Point
    body: Point
    aside: float = 0.0

    def __post_init__(self) -> None:
        a_point("mount on the lid", self.lid)
        a_point("mount on the body", self.body)
        not_below_zero("mounts", aside=self.aside)
        if not (hypot(*self.lid) > 0 and hypot(*self.body) > 0):
            raise ValueError("a mount lies on the hinge pivot; a strut there has no lever")
        if self.lid == self.body:
            raise ValueError("both mounts are at the same point; a strut has a length")


@dataclass(frozen=True, slots=True)
class Angles:
    """How a strut lies and turns, degrees.

    From vertical: 0 is upright. `at_body` and `at_lid`: how far it turns on each ball from shut
    to open. `lean`: out of the plane of the swing, at its most. `rod_at`: the lower end when
    shut, where the rod belongs.
    """

    shut_from_vertical_deg: float
    open_from_vertical_deg: float
    at_body_deg: float
    at_lid_deg: float
    lean_deg: float
    rod_at: str


def turned(points: ArrayLike, open_deg: ArrayLike) -> Floats:
    """Points (..., 2) of a lid at angles (n,) of opening: (..., n, 2).

    >>> turned((100, 0), [0, 90]).round(6).tolist()
    [[100.0, 0.0], [0.0, 100.0]]
    """
    at = np.asarray(points, dtype=float)[..., None, :]
    turn = np.radians(np.asarray(open_deg, dtype=float))
    cos, sin = np.cos(turn), np.sin(turn)
    along = at[..., 0] * cos - at[..., 1] * sin
    up = at[..., 0] * sin + at[..., 1] * cos
    return np.stack([along, up], axis=-1)


def lengths_and_levers(
    lid: ArrayLike, body: ArrayLike, open_deg: ArrayLike, aside: float = 0.0
) -> tuple[Floats, Floats]:
    """Length and lever of struts with mounts (..., 2), at angles (n,): both (..., n), mm.

    Force times lever is the moment about the hinge, + opens. A strut that leans aside pushes
    by its full length, but turns the lid by its share in the plane only.
    """
    end = turned(lid, open_deg)
    start = np.asarray(body, dtype=float)[..., None, :]
    length = np.sqrt(((end - start) ** 2).sum(axis=-1) + aside**2)
    return length, (start[..., 0] * end[..., 1] - start[..., 1] * end[..., 0]) / length


def length(mounts: Mounts, open_deg: ArrayLike) -> Floats:
    """Distance between the ball centres at each angle of opening, mm.

    >>> length(Mounts((300, 0), (0, -400)), [0]).tolist()
    [500.0]
    """
    return lengths_and_levers(mounts.lid, mounts.body, np.atleast_1d(open_deg), mounts.aside)[0]


def lever(mounts: Mounts, open_deg: ArrayLike) -> Floats:
    """Lever of the strut about the hinge at each angle, mm; + opens, nothing at over-centre.

    >>> lever(Mounts((300, 0), (0, -400)), [0]).tolist()   # 300 x 400 / 500
    [240.0]
    """
    return lengths_and_levers(mounts.lid, mounts.body, np.atleast_1d(open_deg), mounts.aside)[1]


def over_centre_deg(mounts: Mounts) -> tuple[float, float]:
    """Angles of opening at which the strut points at the pivot: longest, then shortest.

    Both within -180 to 180.

    >>> over_centre_deg(Mounts((200, 0), (0, -100)))
    (90.0, -90.0)
    """
    shortest = degrees(atan2(mounts.body[1], mounts.body[0]) - atan2(mounts.lid[1], mounts.lid[0]))
    return _half_turn(shortest + 180), _half_turn(shortest)


def length_range(mounts: Mounts, open_deg: float) -> tuple[float, float]:
    """Least and most length from shut to `open_deg`, exact."""
    dead = [a for a in over_centre_deg(mounts) if 0 < a < open_deg]
    found = length(mounts, [0.0, open_deg, *dead])
    return float(found.min()), float(found.max())


def angles(mounts: Mounts, open_deg: float) -> Angles:
    """How the strut lies shut and open, and how far it turns on its balls.

    >>> found = angles(Mounts((300, 0), (0, -300)), 90)
    >>> round(found.shut_from_vertical_deg, 6), found.rod_at
    (45.0, 'body')
    """
    steps = np.linspace(0, open_deg, max(2, round(abs(open_deg)) + 1))
    along = turned(mounts.lid, steps) - np.asarray(mounts.body, dtype=float)
    heading = np.degrees(np.unwrap(np.arctan2(along[:, 1], along[:, 0])))
    flat = np.hypot(along[:, 0], along[:, 1])
    upright = [
        degrees(atan2(hypot(float(d[0]), mounts.aside), abs(float(d[1])))) for d in along[[0, -1]]
    ]
    at_body = float(heading[-1] - heading[0])
    return Angles(
        shut_from_vertical_deg=upright[0],
        open_from_vertical_deg=upright[1],
        at_body_deg=abs(at_body),
        at_lid_deg=abs(open_deg - at_body),
        lean_deg=degrees(atan2(mounts.aside, float(flat.min()))),
        rod_at="body" if mounts.body[1] <= mounts.lid[1] else "lid",
    )


def _half_turn(angle_deg: float) -> float:
    turn = radians(angle_deg)
    return degrees(atan2(np.sin(turn), np.cos(turn)))
