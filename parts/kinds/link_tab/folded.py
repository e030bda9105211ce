"""A tab with a foot folded on it, which lies on a flat face and is welded or bolted to it."""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, degrees

import numpy as np

from parts.kinds.bench import NoTooling
from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.measured import FootConfig
from parts.kinds.link_tab.stands import FlatFace, Foot, NoTab
from parts.place import Place, Vector
from parts.sheet.allowance import Allowance, outside_setback
from parts.sheet.blank import Bend
from parts.sheet.curve import Curve, Line, Point, arc
from parts.tables import find
from parts.trade.bolts import Bolt, bolt, clearance_hole

ROUND = 5.0  # mm; round of the foot's corners
WASHER_MARGIN = 1.0  # mm of metal beyond a washer's rim, and of air round a socket
LEAST_TURN, MOST_TURN = 20.0, 135.0  # degrees that a foot may be folded by


@dataclass(frozen=True, eq=False)
class FoldedFoot:
    """The foot in the tab's flat: its bend, where it ends, its bolts' holes.

    `way` is 1 where it is folded toward the tab's z, else -1. `apex` is the height y at which the
    outside of tab and foot would meet; `length` is over the outside, from there.
    """

    bend: Bend
    allowance: Allowance
    way: int
    apex: float
    setback: float
    length: float
    fixing: FootConfig
    bolt: Bolt
    hole: float
    holes: tuple[Point, ...]
    from_apex: float  # of the bolts, along the foot

    @property
    def pitch(self) -> float:
        return abs(self.holes[1][0] - self.holes[0][0])


def fold_foot(
    given: Given, place: Place, left: float, right: float, rack_name: str
) -> tuple[tuple[Curve, ...], Foot, FoldedFoot]:
    """The edge of leg and foot from left to right, the root at the bend, and the foot; raises
    NoTab."""
    config, stand = given.config.foot, given.stand
    assert config is not None
    assert isinstance(stand, FlatFace)
    rack = given.bench.racks[rack_name]
    t = rack.stock.thickness
    _, rise, lean = (float(v) for v in place.inverse().direction(stand.out))
    behind = float((place.origin - stand.point) @ stand.out)
    joint_way = _away(place, given)
    way = joint_way if config.turn == "away" else -joint_way
    turn = degrees(acos(max(-1.0, min(1.0, way * lean))))
    if not LEAST_TURN <= turn <= MOST_TURN:
        raise NoTab(
            "foot", f"it would have to be folded by {turn:.0f} degrees",
            f"{LEAST_TURN:g} to {MOST_TURN:g} degrees",
            "turn the foot to the other side, or stand the tab squarer to the face",
        )  # fmt: skip
    try:
        radius = given.bench.inside_radius(rack).value
        allowance = given.bench.allowance(rack, turn)
    except NoTooling as no:
        raise NoTab(no.where, no.found, no.needed, no.remedy) from no
    apex = -(behind - lean * way * t / 2) / rise
    setback = outside_setback(radius, t, turn)
    start, flat = apex + setback, config.length - setback
    end = start - allowance.length_mm - flat
    if flat <= 2 * ROUND:
        raise NoTab(
            "foot.length", f"{config.length:g} mm, of which the fold takes {setback:.1f}",
            f"more than {setback + 2 * ROUND:.1f} mm", "make the foot longer",
        )  # fmt: skip
    neck = start + max(t, ROUND)
    bend = Bend(
        "foot", (right, start), (left, start), way * turn, radius, allowance.length_mm
    )
    fastener = bolt(config.bolt)
    hole, edge = _hole(fastener), _edge(fastener)
    # as near the fold as hole and spanner may be
    near = max(hole / 2 + 2 * t + radius, t + fastener.socket_outside / 2 + WASHER_MARGIN - setback)
    if config.fixing == "bolted" and near + edge > flat + 1e-9:
        raise NoTab(
            "foot.length", f"{config.length:g} mm, too short for its {fastener.name} bolts",
            f"{setback + near + edge:.1f} mm, so that they clear fold and edge",
            "make the foot longer, or take smaller bolts",
        )  # fmt: skip
    least = float(find("edge_distances", "pitch")["factor"]) * hole
    most = right - left - 2 * edge
    pitch = config.bolt_pitch or most
    if config.fixing == "bolted" and least > most:
        raise NoTab(
            "root", f"{right - left:.1f} mm, too narrow for two {fastener.name} bolts in its foot",
            f"{least + 2 * edge:.1f} mm or more", "make the root wider, or take smaller bolts",
        )  # fmt: skip
    if config.fixing == "bolted" and not least <= pitch <= most + 1e-9:
        raise NoTab(
            "foot.bolt_pitch", f"{pitch:.1f} mm on a foot {right - left:.1f} mm wide",
            f"{least:.1f} to {most:.1f} mm", "write a pitch in between, or make the root wider",
        )  # fmt: skip
    middle, row = (left + right) / 2, start - allowance.length_mm - near
    holes = tuple((middle + side * pitch / 2, row) for side in (-1, 1))
    foot = FoldedFoot(
        bend, allowance, way, apex, setback, config.length, config, fastener, hole,
        holes if config.fixing == "bolted" else (), setback + near,
    )  # fmt: skip
    root = Foot((Line((left, start), (right, start)),), (0.0, 0.0), (90.0, 90.0))
    return _edge_of_foot(left, right, neck, end), root, foot


def _away(place: Place, given: Given) -> int:
    """The way along z from the joint to the tab."""
    return 1 if (place.origin - given.at) @ place.turn[:, 2] > 0 else -1


def _edge_of_foot(left: float, right: float, neck: float, end: float) -> tuple[Curve, ...]:
    half = np.pi / 2
    return (
        Line((left, neck), (left, end + ROUND)),
        arc((left + ROUND, end + ROUND), ROUND, np.pi, half),
        Line((left + ROUND, end), (right - ROUND, end)),
        arc((right - ROUND, end + ROUND), ROUND, -half, half),
        Line((right, end + ROUND), (right, neck)),
    )


def _hole(fastener: Bolt) -> float:
    fit = "medium" if fastener.series.startswith("metric") else "normal"
    return clearance_hole(fastener, fit)[0]


def _edge(fastener: Bolt) -> float:
    """From a foot bolt's centre to the edge of the foot."""
    usual = float(find("edge_distances", "loaded bolt")["factor"]) * fastener.diameter
    return max(usual, fastener.washer_outside / 2 + WASHER_MARGIN)


def along_foot(foot: FoldedFoot, place: Place, out: Vector) -> Vector:
    """Unit direction on the vehicle from the fold to the foot's toe (3,)."""
    z = place.turn[:, 2]
    flat = z - (z @ out) * out
    return np.asarray(foot.way * flat / np.linalg.norm(flat))
