"""A tub's blanks folded onto the vehicle, and the rail beside them, for the kernel to measure."""

from __future__ import annotations

from math import radians, tan
from typing import Any

import cadquery as cq
import numpy as np
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from tubs import Array, leaning

from parts.kinds.wheel_tub.blanks import Cut
from parts.kinds.wheel_tub.layout import Tub
from parts.sheet.fold import Folded, fold
from parts.solid import cadquery_solid

FLOORS = {"below": (400, 380), "level": (426, 426), "above": (500, 540), "mixed": (400, 500)}
SURROUNDS: dict[str, dict[str, Any]] = {
    "upright": {},
    "leaning": {"body_side": leaning(6, 0)},
    "leaning and toed": {"body_side": leaning(5, 3)},
    "leaning out and toed in": {"body_side": leaning(-4, -2.5)},
}


def cut(of: Tub, name: str) -> Cut:
    (found,) = [c for c in of.cuts if c.name == name]
    return found


def placed(of: Cut) -> Any:
    """The folded metal as a kernel solid where it goes on the vehicle."""
    return cadquery_solid(fold(of.blank), of.place).wrapped


def in_space(of: Cut, folded: Folded, flat: Array) -> Array:
    """Points (n, 3) of the blank, folded and put on the vehicle."""
    return np.array(
        [
            of.place.apply(folded.space(folded.region_at((float(u), float(v))), (u, v), w))
            for u, v, w in flat
        ]
    )


def rail_solid(a: dict[str, Any], b: dict[str, Any], hand: str) -> Any:
    """The rail between two stations: straight edges, faces ruled between them, 60 deep."""
    out = 1.0 if hand == "right" else -1.0

    def section(s: dict[str, Any]) -> cq.Wire:
        low = s["outer"] - tan(radians(s.get("lean", 0))) * (s["top"] - s["bottom"])
        ring = [
            (s["x"], out * s["outer"], s["top"]), (s["x"], out * low, s["bottom"]),
            (s["x"], out * (low - 60), s["bottom"]), (s["x"], out * (s["outer"] - 60), s["top"]),
        ]  # fmt: skip
        return cq.Wire.makePolygon([cq.Vector(*p) for p in ring], close=True)

    return cq.Solid.makeLoft([section(a), section(b)], ruled=True).wrapped


def kernel_gap(one: Any, other: Any) -> float:
    found = BRepExtrema_DistShapeShape(one, other)
    return 0.0 if found.InnerSolution() else float(found.Value())
