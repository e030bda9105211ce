"""What pulls at a link tab, what that does to it, and the sizes that hold, by hand."""

from __future__ import annotations

from functools import cache
from math import acos, asin, atan2, cos, hypot, pi, sin
from pathlib import Path

import numpy as np
import pytest
from link_tabs import ON_FACE, ON_LINK, ON_TUBE, figure, job_of, laids, part_of, told

from parts.kinds.link_tab.hands import hands_of
from parts.part import Part

R = 38.05  # of the demo's axle tube

# Loads


@cache
def forces(folder: Path):
    job = job_of(folder, ON_LINK, axle=True)
    return hands_of(job.file.parts["tab"], job.bench).forces()


def test_the_lower_links_push_as_moments_about_the_upper_ones_have_it(tmp_path):
    # all by hand, both wheels at ride: N = W share / (1 - h / l), driven at the tyres' grip with a
    # shock of 3, at the ground. Links run up to the front at atan(10 / 560), 180 apart in height
    # and 16 in length; springs and tyres stand over each other, so the links' own lift acts at
    # the axle's line
    load = 1420 * 9.80665 * 0.46 / (1 - 560 / 2700)
    thrust, tilt = 3 * load, atan2(10, 560)
    apart_ = 180 * cos(tilt) + (68 - 52) * sin(tilt)
    lift = thrust * np.tan(tilt)
    lower = (thrust * 470 - lift * 52) / apart_
    found = next(one for one in forces(tmp_path) if one.name == "pulling away, ride")
    pushed = {link.name: -link.force_n for link in found.links}
    assert pushed["lower right"] == pytest.approx(lower / 2, rel=0.005)
    assert pushed["lower right"] + pushed["lower left"] == pytest.approx(lower, rel=0.002)


def test_both_ends_of_a_link_pull_at_their_tabs_against_each_other(tmp_path):
    # a link is a two-force member: what its axle end does to a tab its chassis end does the other
    # way. A rail's face looks down, 60 over the chassis end
    rail = "RF = { at = [-628, 450, 360] }\n"
    face = {"point": "RF", "out": [0, 0, -1]}
    side = {"link": "lower right", "end": "chassis", "face": face}
    keys = {**ON_LINK, "hand": "right", "left": None, "tube": None, "plate": {"wall": 5}}
    (chassis,) = laids(tmp_path, {**keys, "right": side, "root": 90}, axle=True, points=rail)
    (at_axle,) = laids(tmp_path, {**ON_LINK, "hand": "right", "left": None}, axle=True)
    assert chassis.given.at == pytest.approx([-628, 450, 300])
    one, other = (
        max(laid.given.pulls, key=lambda pull: pull.size_n) for laid in (chassis, at_axle)
    )
    assert one.case == other.case
    assert one.size_n == pytest.approx(other.size_n)
    assert one.force[0] < -30000 < 30000 < other.force[0]
    # the axle is pushed forward by the tyres, so that the link pushes the chassis forward
    tilt = next(screen for screen in chassis.shared if screen.name == "joint tilt, chassis end")
    assert "same joint" not in tilt.note


def test_the_table_names_the_case_that_gives_the_worst(tmp_path):
    part = part_of(tmp_path, ON_LINK, axle=True)
    worst = next(t for t in part.tables if t.title.startswith("greatest force"))
    by_name = dict(zip((name for name, _ in worst.rows), worst.notes, strict=True))
    assert by_name["lower right, push"].startswith("pulling away, ")
    every = [
        (abs(link.force_n), one.name)
        for one in forces(tmp_path)
        for link in one.links
        if link.name == "lower right"
    ]
    assert max(every)[0] == pytest.approx(figure(part, "right: greatest force on the joint"))
    assert max(every)[1] == by_name["lower right, push"]
    assert any(chart.title == "roll centre over roll" for chart in part.charts)
    tilts = next(t for t in part.tables if t.title.startswith("tilt of the joints"))
    assert {name for name, _ in tilts.rows} == {
        f"lower {hand}, {end} end" for hand in ("right", "left") for end in ("axle", "chassis")
    }


def test_a_tabs_share_of_the_force_bends_its_root_as_a_beam(tmp_path):
    # 20 kN toward C: half on each tab, 10 % of that across it, at the hole 40.95 over the crown
    side = {**ON_TUBE["right"], "link_to": "C"}
    part = part_of(tmp_path, {**ON_TUBE, "right": side})
    screens = {screen.name: screen for screen in part.pieces[0].screens}
    arm = hypot(68, 41) - R - 0.4
    width = hull_width(arm)
    across = 6 * 1000 * arm / (width * 36)
    assert screens["bending out of plane"].found == pytest.approx(across, rel=1e-3)
    up = np.array([-68, -41]) / hypot(68, 41)
    way = np.array([-560, 10]) / hypot(560, 10)
    along = abs(way[0] * up[1] - way[1] * up[0]) * 10000
    inside = 6 * along * arm / (6 * width**2)
    assert screens["bending in plane"].found == pytest.approx(inside, rel=2e-3)
    both = inside + across + abs(way @ up) * 10000 / (6 * width)
    assert screens["bending both ways with the pull"].found == pytest.approx(both, rel=2e-3)


def hull_width(below: float) -> float:
    """Width of the demo's tab so far below its hole: from the tangents at a round of 26 to the
    root's ends, 35 out and down where the tube's round plus .4 is."""
    down = hypot(68, 41) - (R + 0.4) * cos(asin(35 / (R + 0.4)))
    reach = hypot(35, down)
    # the flank touches the round where its normal makes acos(26 / reach) with the line to the end
    normal = atan2(35, down) + 0 - (pi / 2 - acos(26 / reach)) + 0
    lean = atan2(35, down) - asin(26 / reach)
    assert normal == pytest.approx(lean)
    return 2 * (35 - (down - below) * np.tan(lean))


def test_a_force_from_anywhere_is_no_better_than_one_from_the_worst_side(tmp_path):
    anywhere = part_of(tmp_path, ON_TUBE).pieces[0].screens
    toward = part_of(tmp_path, {**ON_TUBE, "right": {**ON_TUBE["right"], "link_to": "C"}})
    for one, other in zip(anywhere, toward.pieces[0].screens, strict=True):
        if one.unit in ("N", "MPa", "N/mm"):
            assert one.reserve <= other.reserve * 1.01, one.name


# As strength asks


def test_the_sizes_found_hold_and_smaller_ones_do_not(tmp_path):
    open_ = {**ON_TUBE, "edge": None, "root": None, "force": 26000, "reserve": 1.2}
    part = part_of(tmp_path, open_)
    assert not part.refused, told(part)
    edge, root = figure(part, "edge round the hole"), figure(part, "root, straight across")
    strength = [s for p in part.pieces for s in p.screens if s.unit in ("N", "MPa", "N/mm")]
    assert min(s.reserve for s in strength) >= 1.2 - 1e-6
    assert (edge, root) > (24, 48)
    narrower = part_of(tmp_path, {**open_, "edge": edge, "root": root - 1})
    assert "less" not in told(part) and "reserve of" in told(narrower)
    less_edge = part_of(tmp_path, {**open_, "edge": edge - 0.5, "root": root})
    assert "reserve of" in told(less_edge) or edge == 24


def test_a_thicker_sheet_is_taken_only_where_the_thin_one_does_not_do(tmp_path):
    keys = {**ON_TUBE, "edge": None, "root": None, "thicker": ["s8"], "most_root": 60}
    light = part_of(tmp_path, {**keys, "force": 12000})
    heavy = part_of(tmp_path, {**keys, "force": 33000})
    assert figure(light, "thickness") == 6
    assert figure(heavy, "thickness") == 8
    assert not heavy.refused, told(heavy)


def test_a_lightening_hole_is_as_large_as_web_and_strength_allow(tmp_path):
    keys = {**ON_FACE, "edge": 30, "root": 100, "lightening": True, "web": 12}
    light = part_of(tmp_path, {**keys, "force": 4000})
    large = figure(light, "lightening hole")
    assert large == pytest.approx(_room_for_hole(light, 12), abs=1.01)
    loaded = part_of(tmp_path, {**keys, "force": 21000})
    smaller = figure(loaded, "lightening hole")
    assert 10 <= smaller < large
    assert not loaded.refused, told(loaded)


def _room_for_hole(part: Part, web: float) -> float:
    """Diameter of the largest hole on the middle line that leaves the web, by trying."""
    from shapely.geometry import Point, Polygon

    blank = part.pieces[0].blank
    ring = Polygon([c.at(k / 200) for c in blank.outline for k in range(200)])
    rim = ring.difference(Point(0, 0).buffer(16.3 / 2, quad_segs=256)).boundary
    return max(2 * (rim.distance(Point(0, -y / 4)) - web) for y in range(40, 280))


def test_by_aisc_the_bolt_and_the_lug_are_aiscs(tmp_path):
    part = part_of(tmp_path, {**ON_TUBE, "method": "AISC 360", "weld": {"method": "AISC"}})
    sources = {screen.name: screen.source for screen in part.pieces[0].screens}
    assert sources["bolt shear"] == "AISC 360 J3.6"
    assert sources["tear-out"] == "AISC 360 D5.1(b)"
    assert sources["weld"] == "AISC 360 J2.4"


def test_it_says_what_it_is_not_for_and_that_fatigue_is_not_screened(tmp_path):
    part = part_of(tmp_path, ON_TUBE)
    words = " ".join(part.cautions).lower()
    for word in ("seat belts", "seats", "steering", "brakes", "fatigue is not screened"):
        assert word in words
    least = min(s.reserve for p in part.pieces for s in p.screens if s.unit in ("N", "MPa", "N/mm"))
    assert f"the least reserve of strength is {least:.2f}" in part.summary[0]
