"""A strap that closes a pair along one edge: flat, or with flanges that lap on the tabs.

It lies between the tabs, its outside flush with their edge, from what they stand on up to where
the joint's head needs its room. What it adds to their strength is not counted.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parts.kinds.bench import NoTooling
from parts.kinds.link_tab.given import Given
from parts.kinds.link_tab.stands import NoTab
from parts.kinds.link_tab.tab import Tab, rearward
from parts.place import Place
from parts.sheet.allowance import Allowance, outside_setback
from parts.sheet.blank import Bend, Blank
from parts.sheet.curve import Curve, Line, Point, distance
from parts.sheet.loop import polygon
from parts.sheet.shop import Rack
from parts.trade.links.car import rule

LEAST = 20.0  # mm; a shorter strap closes nothing
SAME = 0.5  # mm that the edges of the two tabs may lie apart
ACROSS = 1e-6  # a link that runs less along the root than this has neither edge behind it
FINE = 400  # places along the edge at which room is looked for


@dataclass(frozen=True, eq=False)
class Strap:
    """A strap: `place` carries its blank to the vehicle; `length` runs along the tabs' edge from
    `start` mm beyond the root."""

    rack: Rack
    blank: Blank
    place: Place
    allowances: tuple[Allowance, ...]
    start: float
    length: float
    width: float


def lay_out_strap(given: Given, tabs: tuple[Tab, ...]) -> Strap | None:
    """The strap of a pair, None where none is asked for; raises NoTab."""
    config = given.config.strap
    if config is None or len(tabs) != 2:
        return None
    rack = given.bench.racks[config.stock or given.config.stock]
    edges = [_edge(given, tab) for tab in tabs]
    if any(distance(a, b) > SAME for a, b in zip(*(_ends(e) for e in edges), strict=True)):
        raise NoTab(
            "strap", "the edges of the two tabs do not lie side by side",
            "tabs alike, square across the tube", "leave the strap out, or bend one by hand",
        )  # fmt: skip
    edge = edges[0]
    t = rack.stock.thickness
    depth = max(t, config.flange)
    start, length = _room(given, tabs, edge, depth)
    width = given.gap - 2 * rule("strap beside a tab")
    blank, allowances = _blank(given, rack, length, width, config.flange)
    (ux, uy), (nx, ny) = edge.tangent(0.0), _outward(edge, tabs[0])
    turn = tabs[0].place.turn
    along = turn @ np.array([ux, uy, 0.0])
    out = turn @ np.array([nx, ny, 0.0])
    x, y = edge.start
    foot = np.array([x + (start + length / 2) * ux, y + (start + length / 2) * uy, 0.0])
    # the middle of the pair lies half a gap and half a tab from the first tab's own middle
    beside = np.array([0.0, 0.0, -tabs[0].way * (given.gap + tabs[0].thickness) / 2])
    origin = tabs[0].place.apply(foot + beside) - t * out
    place = Place(np.column_stack([along, np.cross(out, along), out]), origin)
    return Strap(rack, blank, place, allowances, start, length, width)


def _edge(given: Given, tab: Tab) -> Line:
    """The straight edge that the strap closes, from the root up."""
    side = _side(given, tab)
    rest = tab.outline.outer[len(tab.outline.foot) :]
    curve: Curve = rest[0] if side > 0 else rest[-1].reversed()
    if not isinstance(curve, Line):
        raise NoTab("strap", "the tabs have no straight edge there", "a straight edge to close",
                    "make the root wider, or leave the strap out")  # fmt: skip
    return curve


def _side(given: Given, tab: Tab) -> int:
    """1 for the edge toward the tab's x, -1 for the other."""
    back = rearward(tab.place)
    if given.link_way is not None:
        along = float(given.link_way @ tab.place.turn[:, 0])
        if abs(along) > ACROSS:
            back = -1 if along > 0 else 1
    assert given.config.strap is not None
    return back if given.config.strap.side == "back" else -back


def _ends(edge: Line) -> tuple[Point, Point]:
    return edge.start, edge.end


def _outward(edge: Line, tab: Tab) -> Point:
    """Unit normal of the edge, away from the tab's metal."""
    dx, dy = edge.tangent(0.0)
    x, y = edge.at(0.5)
    to_hole = (tab.outline.holes[0][0] - x, tab.outline.holes[0][1] - y)
    normal = (dy, -dx)
    inward = normal[0] * to_hole[0] + normal[1] * to_hole[1] > 0
    return (-normal[0], -normal[1]) if inward else normal


def _room(
    given: Given, tabs: tuple[Tab, ...], edge: Line, depth: float
) -> tuple[float, float]:
    """Where along the edge the strap starts, and how long it can be."""
    tab, config = tabs[0], given.config.strap
    assert config is not None
    (nx, ny) = _outward(edge, tab)
    need = given.joint.head_diameter / 2 + config.clearance
    clear_of_stand: list[bool] = []
    clear_of_head: list[bool] = []
    steps = [k / FINE for k in range(FINE + 1)]
    for fraction in steps:
        x, y = edge.at(fraction)
        inner = (x - depth * nx, y - depth * ny)
        corners = [
            one.place.apply([px, py, z])
            for one in tabs
            for px, py in ((x, y), inner)
            for z in (-one.thickness / 2, one.thickness / 2)
        ]
        heights = [given.stand.height(corner) for corner in corners]
        clear_of_stand.append(min(heights) >= given.config.fit_gap - 1e-9)
        clear_of_head.append(
            all(distance(inner, hole) >= need for hole in tab.outline.holes)
        )
    first = next((k for k, clear in enumerate(clear_of_stand) if clear), FINE)
    last = next((k for k in range(first, FINE + 1) if not clear_of_head[k]), FINE + 1) - 1
    length = (last - first) / FINE * edge.length
    if length < LEAST:
        raise NoTab(
            "strap", f"{max(length, 0.0):.0f} mm of room along the edge, clear of the joint's head",
            f"{LEAST:g} mm or more", "give the tabs more edge, or leave the strap out",
        )  # fmt: skip
    return first / FINE * edge.length, length


def _blank(
    given: Given, rack: Rack, length: float, width: float, flange: float
) -> tuple[Blank, tuple[Allowance, ...]]:
    """x along the tabs' edge, y across the pair, the drawn face outside."""
    t, half = rack.stock.thickness, width / 2
    if flange == 0:
        sides = [(-length / 2, -half), (length / 2, -half), (length / 2, half), (-length / 2, half)]
        return Blank(t, polygon(sides), (), (), (0.0, 0.0)), ()
    try:
        radius = given.bench.inside_radius(rack).value
        allowance = given.bench.allowance(rack, 90.0)
    except NoTooling as no:
        raise NoTab(no.where, no.found, no.needed, no.remedy) from no
    setback = outside_setback(radius, t, 90.0)
    start = half - setback
    if start <= 0 or flange <= setback:
        raise NoTab(
            "strap.flange", f"{flange:g} mm on a strap {width:.1f} mm wide",
            f"over {setback:.1f} mm, and a strap over {2 * setback:.1f} mm wide",
            "take thinner sheet for the strap, or a flat one",
        )  # fmt: skip
    reach = start + allowance.length_mm + flange - setback
    sides = [(-length / 2, -reach), (length / 2, -reach), (length / 2, reach), (-length / 2, reach)]
    ends = (-length / 2, length / 2)
    bends = (
        # the flange swings on the left of its line, away from the reader of the outside
        Bend("flange 1", (ends[0], start), (ends[1], start), -90.0, radius, allowance.length_mm),
        Bend("flange 2", (ends[1], -start), (ends[0], -start), -90.0, radius,
             allowance.length_mm),
    )  # fmt: skip
    return Blank(t, polygon(sides), (), bends, (0.0, 0.0)), (allowance, allowance)
