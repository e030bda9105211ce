"""Wheel tubs to test with: an invented axle, its surround, and the tub that is laid out for it."""

from __future__ import annotations

import copy
from functools import cache
from typing import Any

import numpy as np

from parts.kinds.bench import Bench, Rack, Spots
from parts.kinds.wheel_tub import lay_out
from parts.kinds.wheel_tub.config import WheelTub
from parts.kinds.wheel_tub.layout import Tub, lay_out_tub
from parts.part import Part, Piece
from parts.sheet.allowance import BendBook, BookRow
from parts.sheet.shop import Shop
from parts.sheet.stock import Stock, material
from parts.trade.axle import Axle, Independent, Link, LiveAxle, Stops, StraightUp, Wheel
from parts.trade.axle.standard import standard_poses
from parts.trade.gear import Gear
from parts.trade.lengths import Measured
from parts.trade.tyre import tyre_size
from parts.trade.tyre.section import measured_section

T, FOLD_RADIUS, K = 1.2, 1.3, 0.42
OUTLINE = (
    (133.6, 246), (139, 268), (140, 290.5), (138, 310), (132, 332), (122, 349), (80, 351.8),
    (0, 352.35),
)  # fmt: skip
RAIL = [
    {"x": -900, "top": 380, "bottom": 280, "outer": 580},
    {"x": -640, "top": 380, "bottom": 280, "outer": 580},
    {"x": -340, "top": 580, "bottom": 480, "outer": 580},
    {"x": 330, "top": 580, "bottom": 480, "outer": 580},
    {"x": 600, "top": 500, "bottom": 400, "outer": 580},
    {"x": 1010, "top": 500, "bottom": 400, "outer": 580},
]
SIDE: dict[str, Any] = {
    "front_floor": 400, "rear_floor": 500,
    "body_side": {"y": 944, "height": 426, "lean": "0 deg", "toe": "0 deg"},
    "rail": RAIL,
}  # fmt: skip
KEYS: dict[str, Any] = {
    "kind": "wheel_tub", "stock": "tub", "axle": "rear", "hand": "right", "disc_face": 568,
    "band_radius": 392, "band_center": [-3, 426], "side_clearance": 10, "crown_clearance": 20,
    "skin_clearance": 3, "rail_clearance": 5,
}  # fmt: skip
LINKS = {
    "lower left": ((-628, -450, 300), (-68, -450, 290)),
    "lower right": ((-628, 450, 300), (-68, 450, 290)),
    "upper left": ((-612, -430, 480), (-52, -430, 470)),
    "upper right": ((-612, 430, 480), (-52, 430, 470)),
    "lateral bar": ((120, -390, 331), (120, 330, 331)),
}
SPREAD = {"across": 1.8, "fore-aft": 1.0, "height": 2.8, "width": 1.0, "diameter": 1.0}


def axle_of(kind: str) -> Axle:
    """Two wheels 1520 apart on four links and a lateral bar, or straight up and down."""
    left, right = Wheel((0, -760, 331)), Wheel((0, 760, 331))
    if kind == "straight":
        return Independent(left, right, StraightUp(), StraightUp())
    return LiveAxle(tuple(Link(name, a, b) for name, (a, b) in LINKS.items()), left, right)


@cache
def gear(kind: str = "links", bump: float = 95, droop: float = 85) -> Gear:
    size = tyre_size(
        "275/45R18", 9.5, measured_width=Measured(280, 1), measured_diameter=Measured(704.7, 1)
    )
    section = measured_section(
        OUTLINE, size.rim_diameter, 1, width=280, diameter=704.7, rim_width_in=9.5
    )
    stops = Stops(bump, droop)
    return Gear(
        "rear", axle_of(kind), stops, standard_poses(stops), size, section, 9.5, 20, SPREAD
    )


def bench(
    of: Gear | None = None,
    points: dict[str, tuple[float, float, float]] | None = None,
    sheet: tuple[float, float] | None = (2500, 1250),
    shop: Shop | None = None,
) -> Bench:
    rack = Rack(Stock("tub", material("DC01"), T), 8, FOLD_RADIUS, sheet)
    book = BendBook((BookRow("DC01", T, FOLD_RADIUS, k=K),))
    return Bench(
        "job", {"tub": rack}, Spots.exact(points or {}), book, shop or Shop(),
        gears={"rear": of or gear()},
    )  # fmt: skip


def config(side: Any = None, **keys: Any) -> WheelTub:
    """The tub asked for; `side` changes what was measured on the right, or the hands given."""
    asked = copy.deepcopy({**KEYS, **keys})
    if not {"left", "right"} & set(asked):
        asked["right"] = {**copy.deepcopy(SIDE), **(side or {})}
    return WheelTub.model_validate({k: v for k, v in asked.items() if v is not None})


def tub(side: Any = None, of: Any = None, **keys: Any) -> Tub:
    """One hand's tub laid out, without its sweeps."""
    asked = config(side, **keys)
    (hand,) = asked.hands
    measured = asked.side(hand)
    assert measured is not None
    return lay_out_tub(asked, measured, bench(of), hand)


def made(side: Any = None, on: Any = None, **keys: Any) -> Part:
    """The whole part, figures and findings included."""
    return lay_out("tub", config(side, **keys), on or bench())


def piece(part: Part, name: str, hand: str = "right") -> Piece:
    (found,) = [p for p in part.pieces if (p.name, p.hand) == (name, hand)]
    return found


def figure(part: Part, name: str, hand: str = "right") -> float:
    (found,) = [f.value for f in part.figures if f.name == f"{hand}: {name}"]
    return found


def leaning(lean_deg: float, toe_deg: float, y: float = 944) -> dict[str, Any]:
    return {"y": y, "height": 426, "lean": f"{lean_deg} deg", "toe": f"{toe_deg} deg"}


def tapered(lean_deg: float, by: float) -> list[dict[str, Any]]:
    """The rail with its face leaning, and `by` further out at every station rearward."""
    return [
        {**station, "lean": lean_deg, "outer": 572 + by * number}
        for number, station in enumerate(RAIL)
    ]


Array = np.ndarray[Any, np.dtype[np.float64]]
