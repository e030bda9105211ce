"""Swings against closed forms by hand, and against shapely at 10 000 angles."""

from __future__ import annotations

import random
from dataclasses import replace
from math import acos, atan2, cos, degrees, hypot, pi, sin, tau

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from swings import (
    PIVOT,
    demo,
    dense,
    dense_near_the_least,
    edge_and_panel,
    lever,
    random_swing,
    turned,
)

from parts.sheet.curve import arc
from parts.trade.swing import (
    NotProved,
    Outline,
    Section,
    clearance_curve,
    deepest_pivot,
    edge_clearance,
    polyline,
    sensitivity,
    swing,
)
from parts.trade.swing.flattened import flattened
from parts.trade.swing.witness import proved_floors

# b below the lid, clearance; radii of edge bottom and panel corner by Pythagoras for a pivot 72
# ahead, gap 5, fold 10: sqrt(72² + (b-10)²) - sqrt(67² + b²)
ROWS = [(18, 3.067), (30, 1.316), (38.75, 0.129)]


@pytest.mark.parametrize(("below", "clearance"), ROWS)
def test_the_closed_form_is_that_of_two_radii(below: float, clearance: float) -> None:
    assert edge_clearance(72, below, gap=5, fold=10) == pytest.approx(clearance, abs=6e-4)


@pytest.mark.parametrize(("below", "clearance"), ROWS)
def test_the_swing_of_an_edge_and_a_panel_is_the_closed_form(
    below: float, clearance: float
) -> None:
    found = swing(edge_and_panel(5, 10), (-72, -below))
    assert found.clearance == pytest.approx(clearance, abs=6e-4)
    assert found.clearance - found.at_least <= 0.01
    # both points in line with the pivot
    turn = degrees(atan2(below, 67) - atan2(below - 10, 72))
    assert found.angle_deg == pytest.approx(turn, abs=1e-6)
    assert found.on_lid == pytest.approx((0, -10))
    assert found.to_point == pytest.approx((-5, 0))


def test_least_clearance_of_the_worked_case_is_at_8_7_degrees() -> None:
    # a sweep in quarter degrees finds 8.75
    assert swing(edge_and_panel(5, 10), PIVOT).angle_deg == pytest.approx(8.75, abs=0.125)


def test_a_pivot_too_deep_strikes_by_the_difference_of_the_radii() -> None:
    # sqrt(70² + 50²) - sqrt(65² + 60²) = 86.023 - 88.459
    assert edge_clearance(70, 60, gap=5, fold=10) == pytest.approx(-2.436, abs=1e-3)
    found = swing(edge_and_panel(5, 10), (-70, -60))
    assert found.strikes and found.clearance == 0


def test_a_pivot_above_the_bottom_of_the_fold_looks_square_at_it() -> None:
    # the nearest point of the fold is level with the pivot: 72 less sqrt(67² + 6²)
    assert edge_clearance(72, 6, gap=5, fold=10) == pytest.approx(72 - hypot(67, 6))
    assert swing(edge_and_panel(5, 10), (-72, -6)).clearance == pytest.approx(72 - hypot(67, 6))


@pytest.mark.parametrize(("ahead", "gap", "fold"), [(72, 5, 10), (60, 4, 12), (110, 6, 15)])
def test_at_the_deepest_pivot_the_radii_are_equal(ahead: float, gap: float, fold: float) -> None:
    below = deepest_pivot(ahead, gap, fold)
    assert hypot(ahead, below - fold) == pytest.approx(hypot(ahead - gap, below))
    section = edge_and_panel(gap, fold)
    assert not swing(section, (-ahead, -below + 0.5)).strikes
    assert swing(section, (-ahead, -below - 0.5)).strikes


@pytest.mark.parametrize("group", range(10))
def test_ten_thousand_angles_find_nothing_nearer_than_proved(group: int) -> None:
    angles = 10_000
    for seed in range(20 * group, 20 * group + 20):
        section, pivot, mover, item = random_swing(seed)
        found = swing(section, pivot)
        turns = np.linspace(0, section.opening_deg, angles)
        seen = dense_near_the_least(mover, item, pivot, turns)
        stray = mover.stray + item.stray
        step = np.radians(turns[1]) * lever(mover.points, pivot)
        assert found.clearance - found.at_least <= 0.01
        assert seen.min() >= found.at_least - stray
        assert seen.min() <= found.clearance + step + stray
        if found.strikes and stray == 0:  # chords in place of arcs may touch sooner
            before = turns < found.angle_deg - np.degrees(2e-3 / lever(mover.points, pivot))
            assert (seen[before] > 0).all()


def test_random_sections_hold_strikes_and_misses_in_numbers() -> None:
    found = [swing(*random_swing(seed)[:2]) for seed in range(200)]
    assert 40 < sum(f.strikes for f in found) < 160
    assert sum(f.clearance > 0.5 for f in found) > 40
    straight = [all(t.stray == 0 for t in random_swing(seed)[2:]) for seed in range(200)]
    assert sum(f.strikes and s for f, s in zip(found, straight, strict=True)) > 4


@pytest.mark.parametrize("seed", range(12))
def test_the_clearance_curve_is_what_shapely_sees_at_each_angle(seed: int) -> None:
    section, pivot, mover, item = random_swing(seed)
    curve = clearance_curve(section, pivot, 2.5)
    seen = dense(mover, item, pivot, np.array([row.angle_deg for row in curve]))
    stray = mover.stray + item.stray + 1e-9
    assert [row.clearance for row in curve] == pytest.approx(seen, abs=stray)
    assert curve[0].angle_deg == 0 and curve[-1].angle_deg == section.opening_deg


def test_a_claim_that_is_too_large_is_not_proved() -> None:
    flat = flattened(edge_and_panel(5, 10))
    least = hypot(72, 8) - hypot(67, 18)
    with pytest.raises(NotProved, match="claimed"):
        proved_floors(flat, np.array([PIVOT]), np.array([least + 0.02]), 0.01)
    floor = proved_floors(flat, np.array([PIVOT]), np.array([least]), 0.01)
    assert least - 0.01 <= floor[0] <= least


def test_the_demo_lid_clears_about_its_pivot_and_strikes_about_a_bad_one() -> None:
    good, bad = swing(demo(), PIVOT), swing(demo(), (-70, -60))
    assert not good.strikes and good.clearance == pytest.approx(hypot(72, 8) - hypot(67, 18))
    assert bad.strikes and (bad.mover, bad.item) == ("lid fold", "panel ahead")
    assert "lid fold (-5.0, 0.0)" in str(bad) and "strikes panel ahead" in str(bad)
    # where it touches, the edge has come to the panel's corner
    there = turned(np.array([bad.on_lid]), (-70, -60), np.array([bad.angle_deg]))[0, 0]
    assert there == pytest.approx((-5, 0), abs=2e-3)


def test_a_round_edge_clears_more_at_the_top_and_no_less_at_the_bottom() -> None:
    # the bottom of the fold rules both
    assert swing(demo(radius=4), PIVOT).clearance == pytest.approx(swing(demo(), PIVOT).clearance)


def test_a_pin_passes_a_corner_square_across_its_arc() -> None:
    # a pin of radius 3, its centre 50 from the pivot; a corner at 60, a quarter turn on
    pin = Outline("pin", (arc((50, 0), 3, 0, tau),))
    found = swing(Section((pin,), (polyline("post", ((0, 60), (0, 90))),), 120), (0, 0))
    assert (found.clearance, found.angle_deg) == pytest.approx((60 - 50 - 3, 90))


def test_a_pin_in_a_hollow_comes_nearest_where_its_centre_is_furthest_from_the_hollows() -> None:
    # hollow of radius 70 about (0, 5); the centre of the pin gets to (0, -50), 55 from there
    pin = Outline("pin", (arc((50 * cos(-5 * pi / 6), 50 * sin(-5 * pi / 6)), 3, 0, tau),))
    hollow = Outline("hollow", (arc((0, 5), 70, pi, pi),))
    found = swing(Section((pin,), (hollow,), 120), (0, 0))
    assert (found.clearance, found.angle_deg) == pytest.approx((70 - 55 - 3, 60))


def test_a_pin_that_runs_right_through_a_line_strikes_it_by_its_side() -> None:
    # touches when its centre, on a circle of 50, is 3 from the line u = 0
    pin = Outline("pin", (arc((50, 0), 3, 0, tau),))
    found = swing(Section((pin,), (polyline("wall", ((0, 0), (0, 90))),), 170), (0, 0))
    assert found.strikes
    assert found.angle_deg == pytest.approx(degrees(acos(3 / 50)), abs=2e-3)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.floats(0.2, 5), st.floats(-50, 50), st.floats(-50, 50))
def test_a_section_made_larger_and_moved_clears_by_so_much_more(
    seed: int, scale: float, du: float, dv: float
) -> None:
    r = random.Random(seed)

    def points(count: int, at: float) -> list[tuple[float, float]]:
        return [(at + r.uniform(-9, 9), r.uniform(-20, 20)) for _ in range(count)]

    lid, post = points(4, 40), points(3, r.choice((20, 62, 70)))

    def section(scale: float, du: float, dv: float) -> Section:
        both = (tuple((scale * u + du, scale * v + dv) for u, v in shape) for shape in (lid, post))
        return Section((polyline("lid", next(both)),), (polyline("post", next(both)),), 75)

    plain, other = swing(section(1, 0, 0), (0, 0)), swing(section(scale, du, dv), (du, dv))
    assert other.clearance == pytest.approx(scale * plain.clearance, abs=2e-3)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.floats(0.05, 1))
def test_opening_less_never_brings_anything_nearer(seed: int, share: float) -> None:
    section, pivot, _, _ = random_swing(seed)
    less = replace(section, opening_deg=share * section.opening_deg)
    assert swing(less, pivot).clearance >= swing(section, pivot).clearance - 1e-9


@pytest.mark.parametrize("seed", range(10))
def test_more_round_the_lid_never_clears_more(seed: int) -> None:
    section, pivot, _, _ = random_swing(seed)
    more = replace(random_swing(seed + 500)[0].fixed[0], name="more")
    both = replace(section, fixed=(*section.fixed, more))
    assert swing(both, pivot).clearance <= swing(section, pivot).clearance + 1e-9


def test_a_lid_shut_inside_a_closed_thing_strikes_at_once() -> None:
    block = polyline("block", ((-50, -50), (50, -50), (50, 50), (-50, 50)), closed=True)
    found = swing(Section((polyline("lid", ((0, 0), (10, 0))),), (block,), 45), (5, 5))
    assert found.strikes and found.angle_deg == 0 and found.item == "block"


def test_what_a_misplaced_pivot_costs_is_the_slope_of_the_closed_form() -> None:
    # d/da and d/db of sqrt(a² + (b-d)²) - sqrt((a-g)² + b²), for 72, 18, 5, 10
    r_b, r_c = hypot(72, 8), hypot(67, 18)
    by_ahead, by_below = 72 / r_b - 67 / r_c, 8 / r_b - 18 / r_c
    section = edge_and_panel(5, 10)
    told = sensitivity(section, swing(section, PIVOT))
    assert told.forward == pytest.approx(by_ahead, abs=2e-3)
    assert told.back == pytest.approx(-by_ahead, abs=2e-3)
    assert told.down == pytest.approx(by_below, abs=2e-3)
    assert told.up == pytest.approx(-by_below, abs=2e-3)
    assert told.worst == min(told.forward, told.back, told.down, told.up)


def test_the_plus_minus_adds_those_of_the_nearest_two_and_of_the_pivot() -> None:
    plain = edge_and_panel(5, 10)
    section = Section(
        tuple(replace(m, plus_minus=0.3) for m in plain.moving),
        tuple(replace(f, plus_minus=0.4) for f in plain.fixed), 80,
    )  # fmt: skip
    found = swing(section, PIVOT)
    assert sensitivity(section, found).plus_minus == pytest.approx(0.5)  # 3, 4, 5
    slope = hypot(72 / hypot(72, 8) - 67 / hypot(67, 18), 8 / hypot(72, 8) - 18 / hypot(67, 18))
    assert sensitivity(section, found, 2.0).plus_minus == pytest.approx(hypot(0.5, 2 * slope))
