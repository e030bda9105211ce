"""Random bumper mounts that a fabricator could have measured, with faces in any position."""

from __future__ import annotations

import random
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Any

import numpy as np
from mount_by_hand import Array, rotated

WORDS = {
    "rear": (1, 0, 0), "front": (-1, 0, 0), "outboard": (0, 1, 0), "inboard": (0, -1, 0),
    "above": (0, 0, 1), "below": (0, 0, -1),
}  # fmt: skip
SLOTS = {"fore-aft": (1, 0, 0), "sideways": (0, 1, 0), "vertical": (0, 0, 1)}


@dataclass(frozen=True)
class Case:
    """A right-hand bracket: the points, the part's keys, and the metal's way out of the rail."""

    points: dict[str, tuple[float, float, float]]
    keys: dict[str, Any]
    metal: Array
    thickness: float
    radius: float


def one_bend_case(seed: int) -> Case:
    """Faces 25 to 140 degrees apart, holes far enough from the fold to be bolted."""
    r = random.Random(seed)
    turn, t, radius, inside = r.uniform(25, 140), *_plate(r), r.random() < 0.7
    way = 1.0 if inside else -1.0  # the bar leg rises on the metal's side of the rail, or not
    room = 45.0 + (t + radius) * np.tan(radians(turn / 2)) + radius
    onward = np.array([0.0, cos(radians(turn)), way * sin(radians(turn))])
    x = np.array([1.0, 0.0, 0.0])
    rail_at = [-(room + r.uniform(0, 40)) * np.array([0, 1.0, 0])]
    rail_at.append(rail_at[0] + _apart(r, x, np.array([0.0, -1.0, 0.0])))
    bar_at = [(room + r.uniform(0, 40)) * onward + r.uniform(-25, 25) * x]
    bar_at.append(bar_at[0] + _apart(r, x, onward))
    return _case(r, rail_at, bar_at, x, onward, np.array([0, 0, 1.0]), t, radius)


def two_bend_case(seed: int) -> Case:
    """Faces within 12 degrees of parallel, one some way over the other: a step."""
    r = random.Random(seed)
    t, radius = _plate(r)
    height, run = r.uniform(25, 110), r.uniform(90, 180)
    if r.random() < 0.3:
        height = -height
    across = rotated((1, 0, 0), (0, 0, 0), (0, 0, 1), r.uniform(-10, 10))
    onward = rotated(
        np.cross((0, 0, 1.0), across), (0, 0, 0), across, r.uniform(-12, 12)
    )
    x = np.array([1.0, 0.0, 0.0])
    rail_at = [np.array([0.0, -r.uniform(0, 20), 0])]
    rail_at.append(rail_at[0] + _apart(r, x, np.array([0.0, -1.0, 0.0])))
    bar_at = [np.array([r.uniform(-25, 25), run, height])]
    bar_at.append(bar_at[0] + _apart(r, across, onward))
    return _case(r, rail_at, bar_at, across, onward, np.array([0, 0, 1.0]), t, radius)


def _plate(r: random.Random) -> tuple[float, float]:
    return r.choice([(3.0, 3.3), (4.0, 4.0), (5.0, 5.0), (6.0, 6.5), (8.0, 8.0), (5.0, 12.0)])


def _apart(r: random.Random, x: Array, ahead: Array) -> Array:
    """From one hole to the next, never nearer to the bend."""
    angle = radians(r.uniform(0, 180))
    return np.asarray(r.uniform(45, 80) * (cos(angle) * x + sin(angle) * ahead))


def _case(
    r: random.Random,
    rail_at: list[Array],
    bar_at: list[Array],
    across: Array,
    onward: Array,
    metal: Array,
    t: float,
    radius: float,
) -> Case:
    """The bracket turned and carried to anywhere, its faces given by three points each."""
    axis = np.array([r.gauss(0, 1) for _ in range(3)])
    angle, shift = r.uniform(0, 360), np.array([r.uniform(-2000, 2000) for _ in range(3)])
    shift[1] = 900 + abs(shift[1]) / 4  # a right hand's points lie on the right
    named = {
        "A1": rail_at[0], "A2": rail_at[1], "S1": bar_at[0], "S2": bar_at[1],
        "F1": np.array([0.0, -20, 0]), "F2": np.array([70.0, -30, 0]),
        "F3": np.array([9.0, -95, 0]),
        "B1": bar_at[0] + 30 * across, "B2": bar_at[0] - 35 * across + 5 * onward,
        "B3": bar_at[0] + 60 * onward,
    }  # fmt: skip
    points = {
        name: tuple(float(v) for v in rotated(p, (0, 0, 0), axis, angle) + shift)
        for name, p in named.items()
    }
    m = rotated(metal, (0, 0, 0), axis, angle)
    bar_normal = rotated(np.cross(across, onward), (0, 0, 0), axis, angle)
    word = max(WORDS, key=lambda w: float(np.dot(WORDS[w], m)))
    keys = {
        "kind": "bumper_mount", "stock": "plate", "hand": "right", "rail_slots": _slots(r, m),
        "bar_slots": _slots(r, bar_normal), "reach": 400,
        "right": {
            "rail_holes": ["A1", "A2"], "bar_studs": ["S1", "S2"],
            "rail_face": {"points": ["F1", "F2", "F3"], "metal": word},
            "bar_face": {"points": ["B1", "B2", "B3"]},
        },
    }  # fmt: skip
    return Case(points, keys, m, t, radius)  # type: ignore[arg-type]


def _slots(r: random.Random, normal: Array) -> str:
    """A slot direction that lies in the face well enough, or none."""
    fit = [w for w, d in SLOTS.items() if abs(float(np.dot(d, normal))) < 0.9]
    return r.choice([*fit, "none"])
