"""How far each joint tilts and swings over all the travel there is.

A link's lean at one end is the angle between its line and the plane square to that end's bolt.
As the axle rolls, its bolts turn about the links too: the twist between the two ends, which the
link shares out by turning about its own line, half to each end. Lean and twist together tilt the
joint's head on its bolt: cos tilt = cos lean · cos (twist / 2). Heads are taken as set square to
their bolts at ride.

The axle is solved at Chebyshev points of the two travels; between them its place is a polynomial
whose error is measured at poses where it is largest, and the tilt is read off a fine grid of it.
The bound stated adds both to the largest value read.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import numpy as np
from numpy.polynomial import chebyshev

from parts.place import Vector, unit
from parts.trade.axle import Link, LiveAxle, Stops
from parts.trade.axle.pose import Floats, Point

NODES = 9  # poses along each travel
FINE = 41  # grid points along each travel
ENDS = ("chassis", "axle")


@dataclass(frozen=True, slots=True)
class Bolts:
    """Directions of a link's two bolts as they lie at ride."""

    chassis: Point
    axle: Point


def level_bolts(link: Link) -> Bolts:
    """Bolts that lie level and square to the link at ride, which suit most tabs; ValueError for
    an upright link.

    >>> level_bolts(Link("lower", (-600, 400, 300), (0, 400, 280))).axle
    (0.0, 1.0, 0.0)
    """
    x, y, _ = (a - c for a, c in zip(link.axle, link.chassis, strict=True))
    size = hypot(x, y)
    if size < 1e-6 * link.length:
        raise ValueError(f"{link.name} stands upright; give the direction of its bolts")
    bolt = (-y / size + 0.0, x / size, 0.0)
    return Bolts(bolt, bolt)


@dataclass(frozen=True, slots=True)
class Tilt:
    """The most one joint tilts, and at which travels.

    `most_deg` is no less than the tilt at any travel: the largest found plus `bound_deg`, what
    it can be more between the poses looked at. `lean_deg` is the most of the link out of its
    bolt's plane, bound and all, `twist_deg` that of one end's bolt against the other's about the
    link. `swing_deg` (least, most) is how the link turns in that plane from ride, about the
    bolt's direction, seen from what that end is bolted to.
    """

    link: str
    end: str
    most_deg: float
    bound_deg: float
    left: float
    right: float
    lean_deg: float
    twist_deg: float
    swing_deg: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Sweep:
    """Places of an axle on a grid of travels: turns (n, n, 3, 3), shifts (n, n, 3) from ride,
    travels (n,) of each side; `stray` is how far off they may be: of a turn, of a shift (mm)."""

    left: Floats
    right: Floats
    turn: Floats
    shift: Floats
    stray: tuple[float, float]


def swept(axle: LiveAxle, stops: Stops) -> Sweep:
    """The axle over all its travel, solved once for all its links. Raises CannotFollow."""
    low, high = -stops.droop, stops.bump
    nodes = _nodes(NODES)
    between = np.cos(np.pi * np.linspace(0.0, 1.0, 4))  # where the first term left out is largest
    asked = np.concatenate([_travels(x, low, high) for x in (nodes, between)])
    solved = [pose.carried[0] for pose in axle.poses(asked)]
    exact = np.array([[*place.turn.ravel(), *place.origin] for place in solved])
    at_nodes = exact[: NODES**2].reshape(NODES, NODES, 12)
    series = np.linalg.inv(chebyshev.chebvander(nodes, NODES - 1))
    terms = np.einsum("ip,jq,pqk->ijk", series, series, at_nodes)
    off = _read(terms, between).reshape(-1, 12) - exact[NODES**2 :]
    near = np.abs(off).max(axis=0)
    fine = np.linspace(-1.0, 1.0, FINE)
    values = _read(terms, fine)
    mm = low + (fine + 1) / 2 * (high - low)
    return Sweep(
        mm, mm, values[..., :9].reshape(FINE, FINE, 3, 3), values[..., 9:],
        (3 * float(near[:9].max()), 3 * float(near[9:].max())),
    )  # fmt: skip


def _nodes(count: int) -> Floats:
    return np.asarray(np.cos(np.pi * (np.arange(count) + 0.5) / count))


def _travels(x: Floats, low: float, high: float) -> Floats:
    """All pairs (n², 2) of travels at x (n,) from −1 to 1."""
    mm = low + (x + 1) / 2 * (high - low)
    return np.array([[left, right] for left in mm for right in mm])


def _read(terms: Floats, x: Floats) -> Floats:
    """The polynomials (n, n, 12) at x by x."""
    at = chebyshev.chebvander(x, NODES - 1)
    return np.asarray(np.einsum("xi,yj,ijk->xyk", at, at, terms))


def joint_tilts(sweep: Sweep, link: Link, bolts: Bolts) -> tuple[Tilt, Tilt]:
    """The most the chassis end and the axle end of a link tilt over a sweep.

    Raises ValueError for a bolt that lies along its link at ride.
    """
    chassis, axle_end = np.array(link.chassis, dtype=float), np.array(link.axle, dtype=float)
    ride = unit(axle_end - chassis)
    ends = _bolts(link, bolts, ride)
    moved = np.einsum("xyij,j->xyi", sweep.turn, axle_end) + sweep.shift - chassis
    length = np.linalg.norm(moved, axis=-1, keepdims=True)
    way = moved / length
    turned = np.einsum("xyij,j->xyi", sweep.turn, ends[1])
    turned /= np.linalg.norm(turned, axis=-1, keepdims=True)
    pins = (np.broadcast_to(ends[0], way.shape), turned)
    twist = _clock(way, *pins) - _clock(ride, *ends)
    error = float(np.degrees(3 * sweep.stray[0] + sweep.stray[1] / link.length))
    seen = (way, np.einsum("xyji,xyj->xyi", sweep.turn, way))
    out = []
    for end in (0, 1):
        lean = np.arcsin(np.clip(np.einsum("xyi,xyi->xy", way, pins[end]), -1.0, 1.0))
        upright = np.cos(lean) * np.cos(twist / 2)
        i, j = np.unravel_index(int(upright.argmin()), upright.shape)
        found = _acos_deg(upright[i, j])
        most = _acos_deg(upright[i, j] - _gap(upright)) + error
        swing = _swing(seen[end], ends[end], ride)
        out.append(
            Tilt(
                link=link.name,
                end=ENDS[end],
                most_deg=most,
                bound_deg=most - found,
                left=float(sweep.left[i]),
                right=float(sweep.right[j]),
                lean_deg=float(np.degrees(np.abs(lean).max() + _gap(lean))) + error,
                twist_deg=float(np.degrees(np.abs(twist).max() + _gap(twist))) + error,
                swing_deg=(float(swing.min()), float(swing.max())),
            )
        )
    return out[0], out[1]


def _bolts(link: Link, bolts: Bolts, ride: Vector) -> tuple[Vector, Vector]:
    """Both bolts as unit vectors, the axle's turned end for end if it points the other way."""
    ends = [unit(bolts.chassis), unit(bolts.axle)]
    for name, bolt in zip(ENDS, ends, strict=True):
        if abs(bolt @ ride) > 0.95:
            raise ValueError(
                f"{link.name}: the bolt at the {name} lies along the link; give the direction of "
                "the bolt itself, such as 0, 1, 0 for one across the car"
            )
    across = [bolt - (bolt @ ride) * ride for bolt in ends]
    return ends[0], ends[1] if across[0] @ across[1] >= 0 else -ends[1]


def _clock(way: Vector, first: Vector, second: Vector) -> Floats:
    """Angle (rad) from the first bolt to the second about the link's line."""
    side = np.cross(way, first)
    level = first - (way * first).sum(axis=-1, keepdims=True) * way
    return np.asarray(np.arctan2((second * side).sum(axis=-1), (second * level).sum(axis=-1)))


def _swing(way: Floats, bolt: Vector, ride: Vector) -> Floats:
    """Angle (deg) in the bolt's plane from the link at ride to the link now."""
    start = unit(ride - (ride @ bolt) * bolt)
    return np.asarray(np.degrees(np.arctan2(way @ np.cross(bolt, start), way @ start)))


def _acos_deg(cosine: float) -> float:
    return float(np.degrees(np.arccos(min(max(cosine, -1.0), 1.0))))


def _gap(values: Floats) -> float:
    """What a smooth function can be above a grid's values: a quarter of its second differences,
    twice what the parabola through three neighbours says, along both travels."""
    return float(sum(np.abs(np.diff(values, 2, axis=axis)).max() for axis in (0, 1)) / 4)
