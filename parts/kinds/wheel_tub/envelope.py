"""How large a tub the tyre's travel asks for: the band's circle and the disc's face."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import floor, pi

import numpy as np
from numpy.typing import NDArray

from parts.kinds.wheel_tub.local import Local
from parts.kinds.wheel_tub.path import BandPath, NoBand
from parts.kinds.wheel_tub.room import Room
from parts.place import Vector
from parts.sheet.curve import Point
from parts.trade.sweep import Motion, Surface, TooSlow, Wheel, clearances, least

SHORT = 0.05  # mm by which a wish may be missed and still counts as kept
WORST = 4  # poses of the grid that are looked at again for every other size
TRIES = 12  # whole millimetres a size is moved by at most, once it was set from its clearance

Shape = Callable[[Point, float], BandPath]  # the band for a centre (p, q) and an inside radius


def looked_at(motion: Motion, count: int = 7) -> NDArray[np.float64]:
    """Travels (n, d) spread over all there are, for sizing only."""
    spans = [
        np.linspace(low, high, count if high > low else 1)
        for low, high in zip(motion.low, motion.high, strict=True)
    ]
    return np.stack(np.meshgrid(*spans), axis=-1).reshape(-1, len(spans))


def inboard_reach(local: Local, wheel: Wheel, motion: Motion, height: float) -> float:
    """Least distance of the tyre from the centre plane, above a height, in the poses of a grid;
    infinite where it never comes so high."""
    centers, axes = motion.at(looked_at(motion))
    y, r = wheel.outline.T
    angle = np.linspace(0.0, 2 * pi, 181)
    up, out = np.array([0.0, 0.0, 1.0]), local.way(0, 0, 1)
    z = up - (axes @ up)[:, None] * axes
    z /= np.linalg.norm(z, axis=1)[:, None]
    x = np.cross(axes, z)

    def along(way: Vector) -> NDArray[np.float64]:
        """Of every pose, angle and point of the outline (n, 181, k)."""
        middle = (centers @ way)[:, None] + (axes @ way)[:, None] * y
        round_ = np.outer(x @ way, np.cos(angle)) + np.outer(z @ way, np.sin(angle))
        return np.asarray(middle[:, None] + round_[..., None] * r)

    return float(along(out)[along(up) >= height].min(initial=np.inf))


def band_circle(
    local: Local, wheel: Wheel, motion: Motion, center: tuple[float, float] | None
) -> tuple[float, float, float]:
    """Centre (p, q) and about the radius that the tread sweeps about it.

    Without a given centre: q that of the wheel in the highest pose, and p where the radius is
    least, by golden sections. Only what lies above the centre counts.
    """
    centers, axes = motion.at(looked_at(motion))
    p = centers @ local.way(1, 0, 0)
    q = centers[:, 2]
    reach = float(wheel.rings[:, 1].max())
    tilt = np.sqrt(np.maximum(0.0, 1 - (axes @ local.way(0, 0, 1)) ** 2))
    half = float(np.abs(wheel.rings[:, 0]).max())
    grown = reach + half * tilt  # a leaning tyre shows its shoulder from the side

    def radius(at_p: float, at_q: float) -> float:
        return float((np.hypot(p - at_p, np.maximum(q - at_q, 0.0)) + grown).max())

    if center is not None:
        return center[0], center[1], radius(*center)
    top = float(q.max())
    low, high = float(p.min()), float(p.max())
    golden = 0.6180339887498949
    for _ in range(60):
        a, b = high - golden * (high - low), low + golden * (high - low)
        low, high = (low, b) if radius(a, top) < radius(b, top) else (a, high)
    at_p = (low + high) / 2
    return at_p, top, radius(at_p, top)


def least_radius(
    room: Room, shape: Shape, wheel: Wheel, motion: Motion, crown: float, floor_wish: float
) -> float | None:
    """The least inside radius of the band, by whole millimetres from the room's own, with which
    the tyre keeps both wishes over all travel: to the band, and to the floors that end where it
    stands. None where none near it keeps that to the band."""
    path, bare = room.path, _bare(room)

    def told(name: str) -> Callable[[float], tuple[Surface, ...]]:
        def surfaces(by: float) -> tuple[Surface, ...]:
            shaped = bare.shaped(shape(path.center, path.radius + by), bare.disc_face)
            return shaped.surfaces[name]

        return surfaces

    by = _least_change(told("band"), wheel, motion, crown)
    if by is None:
        return None
    back = _least_change(told("floor"), wheel, motion, floor_wish)
    return path.radius + max(by, by if back is None else back)


def greatest_disc(room: Room, wheel: Wheel, motion: Motion, wish: float) -> float | None:
    """The greatest distance of the disc's face from the centre plane, by whole millimetres from
    the room's own, with which the tyre keeps the wish over all travel; None where none does."""
    bare = _bare(room)

    def surfaces(by: float) -> tuple[Surface, ...]:
        return bare.shaped(bare.path, bare.disc_face - by).surfaces["disc"]

    by = _least_change(surfaces, wheel, motion, wish)
    return None if by is None else room.disc_face - by


def _bare(room: Room) -> Room:
    """Nothing but band, disc and what they are cut to."""
    return replace(room, rim=0.0, rail=None, arch=None, others={})


def _least_change(
    surfaces: Callable[[float], tuple[Surface, ...]], wheel: Wheel, motion: Motion, wish: float
) -> float | None:
    """The least whole number of millimetres of more room that keeps the wish, or None.

    From the worst poses of a grid first; then by sweeps, one more or one less at a time.
    """
    poses = looked_at(motion)
    gaps, _ = clearances(wheel, motion, surfaces(0.0), poses)
    seeds = poses[gaps.argsort()[:WORST]]

    def slack(by: float) -> float:
        try:
            return float(clearances(wheel, motion, surfaces(by), seeds)[0].min()) - wish
        except NoBand:
            return -1.0

    def keeps(by: float) -> bool:
        enough = wish - SHORT
        try:
            found = least(wheel, motion, surfaces(by), seeds=seeds, enough=enough)
        except (NoBand, TooSlow):
            return False
        return found.clearance - found.may_miss >= enough

    by = 0.0
    for _ in range(3):
        by -= floor(slack(by))
    if keeps(by):
        for _ in range(TRIES):
            if not keeps(by - 1):
                return by
            by -= 1
        return by
    for _ in range(TRIES):
        by += 1
        if keeps(by):
            return by
    return None
