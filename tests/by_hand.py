"""What a folded blank comes to, worked out from its drawn loops and bends alone.

Metal between two lines across a bend is a difference of two half-plane areas, each a contour
integral (Green's theorem); bent by `turn`, a strip of flat area S becomes S / rn wide by `turn` and
fills S / rn * t * (R + t / 2), with rn = allowance / turn the radius of the fibre that keeps its
length (Pappus). Points are folded bend after bend by Rodrigues' formula.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import asin, atan2, cos, hypot, pi, radians, sin, tau

import numpy as np

from parts.sheet.blank import Bend, Blank
from parts.sheet.curve import Arc, Curve, Line
from parts.sheet.loop import Loop


def half_plane_area(loops: list[Loop], b: Bend, ahead: float) -> float:
    """Area of metal further than `ahead` beyond a bend's start line: - integral (u - ahead) dv."""
    return sum(_beyond(curve, b, ahead) for loop in loops for curve in loop)


def _beyond(curve: Curve, b: Bend, ahead: float) -> float:
    size = hypot(b.end[0] - b.start[0], b.end[1] - b.start[1])
    dx, dy = (b.end[0] - b.start[0]) / size, (b.end[1] - b.start[1]) / size

    def uv(p: tuple[float, float]) -> tuple[float, float]:
        x, y = p[0] - b.start[0], p[1] - b.start[1]
        return dx * y - dy * x - ahead, dx * x + dy * y

    if isinstance(curve, Line):
        (u0, v0), (u1, v1) = uv(curve.start), uv(curve.end)
        if u0 <= 0 and u1 <= 0:
            return 0.0
        if u0 < 0:
            u0, v0 = 0.0, v0 + (v1 - v0) * u0 / (u0 - u1)
        if u1 < 0:
            u1, v1 = 0.0, v1 + (v0 - v1) * u1 / (u1 - u0)
        return -(u0 + u1) / 2 * (v1 - v0)
    u, _ = uv(curve.center)
    r = hypot(curve.start[0] - curve.center[0], curve.start[1] - curve.center[1])
    first = atan2(curve.start[1] - curve.center[1], curve.start[0] - curve.center[0])
    first -= atan2(dy, dx)
    stops = [first, first + curve.sweep]
    if abs(u) < r:  # u + r sin(angle) = 0
        for zero in (asin(-u / r), pi - asin(-u / r)):
            turns = range(-3, 4)
            low, high = min(stops[:2]), max(stops[:2])
            stops += [zero + n * tau for n in turns if low < zero + n * tau < high]
    stops.sort(reverse=curve.sweep < 0)

    def integral(a: float) -> float:
        return -u * r * cos(a) + r * r * (a / 2 - sin(2 * a) / 4)

    return sum(
        integral(q) - integral(p) for p, q in pairwise(stops) if u + r * sin(p + 0.37 * (q - p)) > 0
    )


def volume_by_hand(blank: Blank) -> float:
    """Exact volume of the folded blank; every bend's strip must hold its own metal only."""
    t, loops = blank.thickness, [blank.outline, *(c.loop for c in blank.cutouts)]
    anywhere = (
        replace(blank.bends[0], start=(0, -1e4), end=(1, -1e4))
        if blank.bends
        else Bend("none", (0, -1e4), (1, -1e4), 90, 1, 1)
    )
    total = t * half_plane_area(loops, anywhere, 0.0)
    for b in blank.bends:
        strip = half_plane_area(loops, b, 0.0) - half_plane_area(loops, b, b.allowance)
        neutral = b.allowance / radians(abs(b.turn_deg))
        total += strip * t * ((b.radius + t / 2) / neutral - 1)
    return total


def rotated(p: np.ndarray, about: np.ndarray, axis: np.ndarray, angle: float) -> np.ndarray:
    """Rodrigues: v cos + (axis x v) sin + axis (axis . v)(1 - cos)."""
    v = p - about
    turned = v * cos(angle) + np.cross(axis, v) * sin(angle) + axis * (axis @ v) * (1 - cos(angle))
    return about + turned


def folded_by_rotations(blank: Blank, point: tuple[float, float], w: float) -> np.ndarray:
    """A flat point beyond some of the bends, folded from the outermost bend inward."""
    crossed = []
    for b in blank.bends:
        d = np.array([b.end[0] - b.start[0], b.end[1] - b.start[1], 0.0])
        d /= np.linalg.norm(d)
        n = np.array([-d[1], d[0], 0.0])
        start = np.array([*b.start, 0.0])
        ahead = float(n @ (np.array([*point, 0.0]) - start))
        if ahead > b.allowance:
            height = blank.thickness + b.radius if b.turn_deg > 0 else -b.radius
            crossed.append((ahead, b, start + np.array([0, 0, height]), d, n))
    p = np.array([*point, w])
    for _, b, about, d, n in sorted(crossed, key=lambda item: item[0]):
        p = rotated(p - b.allowance * n, about, d, radians(b.turn_deg))
    return p


def clear_of_bends(hole: Arc, blank: Blank) -> bool:
    r = hypot(hole.start[0] - hole.center[0], hole.start[1] - hole.center[1]) + 0.01
    aheads = [(b, b.ahead(hole.center)) for b in blank.bends]
    return all(ahead < -r or ahead > b.allowance + r for b, ahead in aheads)


def holes_landed(
    blank: Blank, walls: list[tuple[np.ndarray, np.ndarray, float]]
) -> int:
    """Count of the holes in flat metal whose axes, folded here, are those of round walls.

    `walls` lists point, axis and radius of every cylinder of the solid; one that is off fails.
    """
    matched = 0
    for cutout in blank.cutouts:
        hole = cutout.round_hole
        if hole is None or not clear_of_bends(hole, blank):
            continue
        ends = [folded_by_rotations(blank, hole.center, w) for w in (0.0, blank.thickness)]
        gaps = [
            max(float(np.linalg.norm(np.cross(end - point, axis))) for end in ends)
            for point, axis, radius in walls
            if abs(radius - hole.radius) < 1e-9
        ]
        assert min(gaps) < 1e-6, cutout.name
        matched += 1
    return matched
