"""From the lid's axes to the vehicle, and to the plumb axes in which struts are reckoned.

Lid axes: back from the lid's front edge, and up from its top. Plumb axes have their origin at
the pivot: away from the hinge, level, and straight up.
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np

from parts.kinds.hinge_bracket.config import Hand, HingeBracket, HingeSide
from parts.kinds.hinge_bracket.measured import LidConfig
from parts.place import Place
from parts.sheet.curve import Point


def plumb(point: Point, pivot: Point, slope_deg: float) -> Point:
    """A point of lid axes as seen from the pivot, level and up, with the lid shut.

    A lid that falls away by 90 degrees hangs its back straight down:

    >>> tuple(round(c, 9) for c in plumb((90, 0), (-10, 0), 90))
    (0.0, -100.0)
    """
    c, s = cos(radians(slope_deg)), sin(radians(slope_deg))
    back, up = point[0] - pivot[0], point[1] - pivot[1]
    return (c * back + s * up, c * up - s * back)


def from_plumb(point: Point, pivot: Point, slope_deg: float) -> Point:
    """The way back from `plumb`, to lid axes.

    >>> tuple(round(c, 9) for c in from_plumb((20, -100), (-10, 0), 90))
    (90.0, 20.0)
    """
    away, up = plumb(point, (0.0, 0.0), -slope_deg)
    return (away + pivot[0], up + pivot[1])


def lid_place(lid: LidConfig, x: float, y: float, z: float) -> Place:
    """Carries (back, aside, up) of the lid to vehicle axes; its edge's top lies at (x, y, z).

    Aside is to the vehicle's right for a lid that runs rearward, to its left for one that runs
    forward.
    """
    way = 1.0 if lid.runs == "rearward" else -1.0
    c, s = cos(radians(lid.slope)), sin(radians(lid.slope))
    back, up = (way * c, 0.0, -s), (way * s, 0.0, c)
    turn = np.column_stack([back, (0.0, way, 0.0), up])
    return Place(turn, np.array([x, y, z], dtype=float))


def side_place(config: HingeBracket, side: HingeSide, hand: Hand) -> Place:
    """The same for a hinge plane of one hand."""
    y = side.y if hand == "right" else -side.y
    return lid_place(config.lid, side.edge[0], y, side.edge[1])


def middle_edge(config: HingeBracket) -> tuple[float, float]:
    """(X, Z) of the lid's edge half way between the hinges: where the pivot is told from."""
    sides = [side for side in (config.right, config.left) if side is not None]
    count = len(sides)
    return (sum(s.edge[0] for s in sides) / count, sum(s.edge[1] for s in sides) / count)


def pivot_at(config: HingeBracket, side: HingeSide, pivot: Point) -> Point:
    """The pivot as it lies from the lid's edge at one hinge.

    `pivot` is told from the edge half way between the hinges; the axis through both pivots is
    straight and square to the vehicle, so an edge that lies further back on one side has the
    pivot further ahead of it there.
    """
    x, z = middle_edge(config)
    way = 1.0 if config.lid.runs == "rearward" else -1.0
    off = plumb((way * (x - side.edge[0]), z - side.edge[1]), (0.0, 0.0), -config.lid.slope)
    return (pivot[0] + off[0], pivot[1] + off[1])
