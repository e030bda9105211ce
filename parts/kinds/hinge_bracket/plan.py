"""The lid as a whole plate: the room at its sides and front where it lies askew to its axis."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, degrees, radians, tan

import numpy as np

from parts.kinds.hinge_bracket.axes import lid_place, middle_edge
from parts.kinds.hinge_bracket.config import HingeBracket
from parts.place import Place, Vector
from parts.sheet.curve import Point
from parts.trade.swing import PlateSwing, SideEdge, plate_swing

LEFT, RIGHT, FRONT = "left side", "right side", "panel ahead"


@dataclass(frozen=True, slots=True)
class Sides:
    """How far the lid lies askew to its axis in plan, and its least clearance over the swing to
    what stands beside it and ahead."""

    skew_deg: float
    by_side: tuple[PlateSwing, ...]


def skew_deg(config: HingeBracket) -> float:
    """The lid's front edge against the hinge axis in plan, + with its right end further rearward.

    As given, else from the edges measured at both hinges, else 0.
    """
    if config.plan is not None and config.plan.skew is not None:
        return config.plan.skew
    if config.right is None or config.left is None:
        return 0.0
    apart = config.right.y + config.left.y
    return degrees(atan((config.right.edge[0] - config.left.edge[0]) / apart))


def sides_of(config: HingeBracket, pivot: Point) -> Sides | None:
    """The lid against the body's edges beside it; None where it was not measured in plan."""
    if config.plan is None:
        return None
    askew = skew_deg(config)
    x, z = middle_edge(config)
    place = lid_place(config.lid, x, 0.0, z)
    lid, plan = config.lid, config.plan
    half = lid.width / 2
    way = 1.0 if lid.runs == "rearward" else -1.0
    slant = way * tan(radians(askew))  # back per mm to the right, in lid axes

    def at(back: float, right: float) -> Vector:
        """A place of the lid's top: so far behind its front edge, and to the vehicle's right."""
        run = np.hypot(1.0, slant)
        return place.apply([(back + slant * right) / run, way * (right - slant * back) / run, 0.0])

    corners = np.array([at(0, -half), at(lid.depth, -half), at(lid.depth, half), at(0, half)])
    sides = {"left": config.left or config.right, "right": config.right or config.left}
    ahead = {
        hand: ((side.gap if side else None) or config.panel.gap).value
        for hand, side in sides.items()
    }
    level = place.direction([0.0, 0.0, config.panel.level])
    deep = lid.fold.value if plan.side_fold is None else plan.side_fold
    (lf, lr), (rf, rr) = plan.left_gap, plan.right_gap
    beside = (
        (_edge(LEFT, at(0, -half - lf), at(lid.depth, -half - lr)), deep),
        (_edge(RIGHT, at(0, half + rf), at(lid.depth, half + rr)), deep),
        (_edge(FRONT, at(-ahead["left"], -half) + level, at(-ahead["right"], half) + level),
         lid.fold.value),
    )  # fmt: skip
    axis, up = _axis(place, pivot), place.direction([0.0, 0.0, 1.0])
    return Sides(
        askew,
        tuple(
            plate_swing(axis, corners, fold, config.opening, [edge], up) for edge, fold in beside
        ),
    )


def _axis(place: Place, pivot: Point) -> tuple[Vector, Vector]:
    """Two points of the hinge axis, which lies square to the vehicle."""
    return place.apply([pivot[0], 0.0, pivot[1]]), place.apply([pivot[0], 1.0, pivot[1]])


def _edge(name: str, start: Vector, end: Vector) -> SideEdge:
    ends = ((float(p[0]), float(p[1]), float(p[2])) for p in (start, end))
    return SideEdge(name, *ends)
