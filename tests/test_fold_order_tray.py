"""A tray with returns round its rim: every stroke of its order held against the kernel."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from math import degrees
from typing import Any

import cadquery
import numpy as np
import sections
import shapely
from blanks import bend
from kernel import common_volume
from sections import LAND, Punch, Strip, die_top, punch_outline

from parts.place import Place, unit
from parts.sheet.blank import Blank
from parts.sheet.curve import Point
from parts.sheet.fold import fold
from parts.sheet.fold_order.order import fold_order
from parts.sheet.fold_order.steps import FoldOrder
from parts.sheet.loop import polygon
from parts.sheet.shop import Rack, Shop
from parts.sheet.stock import Stock, material
from parts.solid import cadquery_solid

T, RADIUS, DIE_V, WALL, RETURN = 1.5, 2.0, 10.0, 30.0, 12.0
BACK, CUT = 5.0, 20.0  # from a wall's end to the corner of the base, and from a return's end
TOUCHING = 0.5  # mm3 where the bend lies on the tip of the punch and the edges of the die


def tray() -> Blank:
    """A base of 120 x 90, four walls, and a return at the top of each that points inward."""
    ba = bend("", (0, 0), (1, 0), 90, RADIUS, T).allowance
    top, out = ba + WALL, 2 * ba + WALL + RETURN
    corners: list[tuple[float, float]] = []
    bends = []
    origin, (dx, dy) = (0.0, 0.0), (1.0, 0.0)
    for number, size in enumerate((120.0, 90.0, 120.0, 90.0)):
        put = partial(_put, origin, (dx, dy))
        corners += [
            put(BACK, -BACK), put(BACK, top - 0.5), put(CUT, top - 0.5), put(CUT, out),
            put(size - CUT, out), put(size - CUT, top - 0.5), put(size - BACK, top - 0.5),
        ]  # fmt: skip
        bends += [
            bend(f"wall {number}", put(size, 0), put(0, 0), 90, RADIUS, T),
            bend(f"return {number}", put(size, top), put(0, top), 90, RADIUS, T),
        ]
        origin, (dx, dy) = put(size, 0), (-dy, dx)
    return Blank(T, polygon(corners), (), tuple(bends), (60, 45))


def _put(origin: Point, heading: Point, along: float, away: float) -> Point:
    (x, y), (dx, dy) = origin, heading
    return (x + along * dx + away * dy, y + along * dy - away * dx)


def part_way(blank: Blank, made: set[int], number: int, share: float) -> Any:
    """The metal with one bend made in part: x across it, y along it, z up from its inside."""
    full = blank.bends[number]
    turn = share * full.turn_rad
    inner = full.allowance / turn - sections.K * T
    bends = [
        replace(b, turn_deg=degrees(turn), radius=inner) if n == number else b
        for n, b in enumerate(blank.bends) if n in made | {number}
    ]  # fmt: skip
    folded = fold(replace(blank, bends=tuple(bends)))

    def beside(ahead: float) -> tuple[float, float]:
        middle = np.add(full.start, full.end) / 2 + ahead * np.array(full.across)
        return (float(middle[0]), float(middle[1]))

    at = beside(full.allowance / 2)
    region = folded.region_at(at)
    near, far = (folded.space(region, beside(full.allowance / 2 + by), T) for by in (-0.01, 0.01))
    x, z = unit(far - near), folded.normal(region, at)
    machine = Place(np.column_stack([x, np.cross(z, x), z]), folded.space(region, at, T))
    return cadquery_solid(folded, machine.inverse())


def prism(outline: Any, size: float) -> Any:
    """An outline of x and z, as long as that along the bend, its middle at 0."""
    points = list(outline.exterior.coords)[:-1]
    return cadquery.Workplane("XZ").polyline(points).close().extrude(size / 2, both=True).val()


def struck(blank: Blank, made: set[int], number: int, horns: bool, share: float) -> float:
    """Volume of metal in the straight punch, its beam, the die and the table, mm3."""
    metal = part_way(blank, made, number, share)
    strip = Strip((60, 60), (90,), T, RADIUS, DIE_V)
    long = (120.0, 90.0)[number // 2 % 2] - 2 * (CUT if number % 2 else BACK)
    low = die_top(strip, 0, share * blank.bends[number].turn_rad / 2)
    half = DIE_V / 2
    whole = punch_outline(Punch(25, 120), strip, 0, None)
    body = whole.intersection(shapely.box(-100, 0, 100, 119.9))
    foot = shapely.box(-100, 0, 100, 20 if horns else 120)  # a horn: 20 high, reaching 30 out
    tools = [
        prism(body.intersection(foot), long),
        prism(body, long - 2 * (30 if horns else 0)),
        prism(shapely.box(-40, 120, 40, 400), 2000),
        prism(shapely.box(-45, low - 500, 45, low - 100), 2000),
        *(prism(shapely.box(x, low - 100, x + LAND, low), long) for x in (half, -half - LAND)),
    ]
    return sum(common_volume(metal.wrapped, one.wrapped) for one in tools)


def test_every_stroke_of_a_tray_clears_in_the_kernel_too():
    blank = tray()
    rack = Rack(Stock("sheet", material("mild steel"), T), DIE_V)
    order = fold_order(fold(blank), rack, Shop())
    assert isinstance(order, FoldOrder)
    made: set[int] = set()
    for step in order.steps:
        (number,) = step.bends
        if number % 2 == 0:  # a wall: its return is there before it
            assert number + 1 in made
        horns = step.unusual == ("a punch with horned end pieces",)
        assert step.punch.startswith("straight punch")
        for share in (0.05, 0.5, 1.0):
            assert struck(blank, made, number, horns, share) < TOUCHING, (step, share)
        made.add(number)
    assert len(made) == 8
    # the walls bent last stand between returns that reach in over them
    assert [bool(step.unusual) for step in order.steps] == [False] * 6 + [True] * 2
    assert struck(blank, made - {number}, number, False, 1.0) > 100


def test_a_return_after_its_wall_runs_into_the_punch_in_the_kernel():
    assert struck(tray(), {0, 2, 4, 6}, 1, False, 1.0) > 100
