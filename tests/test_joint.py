"""A joint in its fork, its bolt and the tab's outline, against geometry done another way."""

from itertools import pairwise
from math import acos, asin, atan2, cos, degrees, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
from scipy.optimize import brentq
from shapely import affinity
from shapely.geometry import MultiPoint, Polygon
from shapely.geometry import Point as Spot

from parts.sheet.curve import Line, arc, distance
from parts.sheet.loop import area, self_meetings
from parts.trade.bolts import bolt
from parts.trade.fork import (
    bolt_fit_screens,
    bolt_length,
    plain_shank,
    play,
    play_screens,
    shrink_spacer,
    spacer_length,
    thread_screens,
    twin,
)
from parts.trade.joint import (
    Joint,
    fork_limit_deg,
    head_screens,
    lean_limit_deg,
    shank_to_tube,
    tilt_limit,
    tilt_screen,
)
from parts.trade.tab_outline import (
    arc_of_holes,
    least_edge,
    ligament,
    lightening_hole,
    row_of_holes,
    tab_outline,
)

ROD_END = Joint(bore=16, ball_width=21, body_width=15, head_diameter=42, shank=22)


@pytest.mark.parametrize("gap", [15.0, 21.0, 30.0, 37.0, 44.0])
def test_the_tilt_is_where_the_heads_corner_meets_the_plate(gap):
    def over(angle):  # a corner 7.5 out and 21 from the middle, turned
        return 7.5 * cos(angle) + 21 * sin(angle) - gap / 2

    expected = brentq(over, 0, 1.2) if gap > 15 else 0.0
    assert radians(fork_limit_deg(7.5, 21, gap)) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("width", [3.0, 7.5, 10.0])
@pytest.mark.parametrize("reach", [4.0, 21.0])
@pytest.mark.parametrize("over", [0.01, 1.0, 3.0])
def test_the_fork_limit_is_the_first_angle_at_which_the_head_touches(width, reach, over):
    gap = 2 * (width + over)

    def spare(angle):
        return gap / 2 - width * cos(angle) - reach * sin(angle)

    angles = np.radians(np.arange(0, 90, 0.001))
    touching = [a for a in angles if spare(a) < 0]
    first = degrees(touching[0]) if touching else 90.0
    assert fork_limit_deg(width, reach, gap) == pytest.approx(first, abs=0.0011)


def test_the_demo_joint_tilts_as_its_spacers_allow():
    # by hand: hypot(7.5, 21) = 22.299; atan(21/7.5) = 70.346; acos(18.5/22.299) = 33.939
    found = tilt_limit(ROD_END, 37)
    assert found.angle_deg == pytest.approx(70.346 - 33.939, abs=0.002)
    assert found.by == "its head against the plates"
    # without spacers: usual 5 to 9 degrees (common practice). By hand acos(10.5/22.299) = 61.909
    bare = tilt_limit(ROD_END, 21)
    assert bare.angle_deg == pytest.approx(70.346 - 61.909, abs=0.002)
    # the shank (22 across) against plates that reach 26: hypot(11, 26), as above
    lean = degrees(atan2(26, 11) - acos(18.5 / sqrt(11**2 + 26**2)))
    assert lean_limit_deg(ROD_END, 37, 26) == pytest.approx(lean)
    assert lean_limit_deg(Joint(16, 21, 15, 42), 37, 26) == 90


def test_a_wide_fork_never_stops_the_head():
    assert fork_limit_deg(7.5, 21, 2 * hypot(7.5, 21) + 0.01) == 90
    with pytest.raises(ValueError, match="give the tilt that its maker allows"):
        tilt_limit(ROD_END, 50)
    own = tilt_limit(Joint(16, 21, 15, 42, tilt_limit_deg=17), 50)
    assert (own.angle_deg, own.by) == (17, "the joint's own limit")


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (lambda: tilt_limit(ROD_END, 20), "ball 21 wide does not go between plates 20"),
        (lambda: fork_limit_deg(7.5, 21, 14), "15 wide does not go between plates 14"),
        (lambda: lean_limit_deg(Joint(16, 21, 15, 42, shank=40), 37, 26),
         "40 wide does not go between"),
        (lambda: Joint(16, 15, 21, 42), "ball must be the wider"),
        (lambda: Joint(16, 21, 15, 0), "joint's head diameter is 0"),
        (lambda: Joint(16, 21, 15, 42, shank=-1), "joint's shank is -1"),
    ],
)  # fmt: skip
def test_a_joint_that_does_not_go_in_is_refused(act, words):
    with pytest.raises(ValueError, match=words):
        act()


def test_without_spacers_the_plates_stop_it_long_before_the_joint():
    # ball 21 in a gap of 21.5: 7.5 cos a + 21 sin a = 10.75 at 9.17 degrees
    narrow = tilt_screen(12, Joint(16, 21, 15, 42, tilt_limit_deg=17), 21.5)
    assert narrow.limit == pytest.approx(9.17, abs=0.005)
    assert narrow.note == "its head against the plates" and not narrow.holds
    assert 7.5 * cos(radians(9.17)) + 21 * sin(radians(9.17)) == pytest.approx(10.75, abs=2e-3)


def test_play_and_spacers_close_the_gap():
    assert play(ROD_END, 37.6, 8) == pytest.approx(0.6)
    assert spacer_length(ROD_END, 37.6, 0.6) == pytest.approx(8)
    with pytest.raises(ValueError, match="no room for a joint of 21 mm"):
        spacer_length(ROD_END, 20, 0.5)


@pytest.mark.parametrize(
    ("gap", "kind", "holds"),
    [
        (37.6, "ball", [True, True, True]),
        (37.3, "ball", [True, False, True]),
        (38.4, "ball", [True, True, False]),
        (36.8, "ball", [False, False, True]),
        (37.2, "bush", [True, True, True]),
        (37.6, "bush", [True, True, False]),
    ],
)
def test_a_joint_that_does_not_fit_or_rattles_is_told(gap, kind, holds):
    assert [screen.holds for screen in play_screens(ROD_END, gap, 8, kind)] == holds


def test_the_welding_spacer_is_longer_than_the_gap():
    # common practice: .3 to .8 mm for two fillets of 5 mm
    found = shrink_spacer(37.5)
    assert (found.least, found.most) == pytest.approx((37.8, 38.3))
    assert found.least < found.length < found.most


def test_the_head_clears_the_tube_by_radius_weld_and_room():
    # 42 / 2 + 4 + 5 = 30, 26.8 / 2 + 4 + 5 = 22.4 (common practice: 5 of room)
    head, head_of_bolt = head_screens(28, ROD_END, 4, bolt_corner=26.8)
    assert (head.limit, head_of_bolt.limit) == pytest.approx((30, 22.4))
    assert not head.holds and head_of_bolt.holds
    assert [screen.holds for screen in head_screens(31, ROD_END, 5)] == [True]  # 21 + 5 + 5
    assert [screen.holds for screen in head_screens(30.9, ROD_END, 5)] == [False]


def test_a_shank_that_points_at_the_tube_comes_near_it():
    # a 3-4-5 triangle: 100 from the tube's axis at asin 0.6 passes it at 60
    assert shank_to_tube(100, 76, 22, degrees(asin(0.6))) == pytest.approx(60 - 38 - 11)
    assert shank_to_tube(100, 76, 22, 150) == pytest.approx(100 - 38 - 11)  # points away


@pytest.mark.parametrize(
    ("name", "other"),
    [("M16", "5/8 in"), ("5/8-18 UNF", "M16"), ("M12", "1/2 in"), ("M10", "3/8 in"),
     ("3/4-10 UNC", "M20"), ("M24", None)],
)  # fmt: skip
def test_sizes_taken_for_one_another_are_named(name, other):
    assert twin(bolt(name)) == other


def test_an_inch_bolt_in_a_metric_hole_rattles_and_the_reverse_does_not_go_in():
    # 5/8 in is 15.875: .425 of play in 16.3, over .3
    hole, loose, bore = bolt_fit_screens(bolt("5/8-18 UNF"), 16.3, ROD_END)
    assert hole.holds and not loose.holds and bore.holds
    assert "M16" in loose.note
    hole, _, bore = bolt_fit_screens(bolt("M16"), 15.9, Joint(15.875, 21, 15, 42))
    assert not hole.holds and not bore.holds
    assert "5/8 in" in hole.note


def test_the_bolt_reaches_through_nut_and_two_threads():
    # M16: grip 49, two washers of 3, nut 14.8, two pitches of 2
    assert bolt_length(bolt("M16"), 49) == pytest.approx(73.8)


@pytest.mark.parametrize(
    ("name", "length", "shank"),
    [("M16", 80, 80 - 38), ("M16", 150, 150 - 44), ("M12", 30, 0), ("M16", 30, 0)],
)
def test_the_plain_shank_is_what_the_thread_leaves(name, length, shank):
    # ISO 888: thread 2 d + 6 to 125 mm, 2 d + 12 to 200 mm
    assert plain_shank(bolt(name), length) == pytest.approx(shank)


def test_the_plain_shank_of_an_inch_bolt():
    # ASME B18.2.1: 2 d + 1/4 in, so 4 in of 5/8 leaves 2 1/2
    assert plain_shank(bolt("5/8-11 UNC"), 4 * 25.4) == pytest.approx(2.5 * 25.4)


def test_threads_in_the_shear_plane_or_in_the_tab_alone_are_told():
    # under the head 3 + 6 + 37 = 46 to the far plane, 52 through the tab
    assert [s.holds for s in thread_screens(bolt("M16"), 80, 6, 37, 3)] == [False, False]
    assert [s.holds for s in thread_screens(bolt("M16"), 85, 6, 37, 3)] == [True, False]
    assert [s.holds for s in thread_screens(bolt("M16"), 90, 6, 37, 3)] == [True, True]


# The outline

FLAT = [Line((-30, 0), (30, 0))]
ARCHED = [arc((0, -20), hypot(30, 20), pi - asin(20 / hypot(30, 20)),
              -(pi - 2 * asin(20 / hypot(30, 20))))]  # fmt: skip


def shapely_tab(holes, edge, foot, cut=None):
    rounds = [Spot(p).buffer(edge, quad_segs=512) for p in holes]
    points = [c for r in rounds for c in r.exterior.coords] + [foot[0].start, foot[-1].end]
    band = MultiPoint(points).convex_hull
    return band if cut is None else band.difference(cut)


@pytest.mark.parametrize(
    "holes",
    [
        [(0, 60)],
        [(12, 70)],
        [(-20, 60), (20, 60)],
        arc_of_holes((0, 90), (0, 0), 22, 3),
        row_of_holes((5, 70), 24, 3, 60),
    ],
)
def test_the_outline_is_the_tight_band_round_holes_and_root(holes):
    tab = tab_outline(holes, 17, 25, FLAT)
    assert area(tab.outer) == pytest.approx(shapely_tab(holes, 25, FLAT).area, rel=2e-5)
    assert least_edge(tab)[0] == pytest.approx(25, abs=1e-9)
    assert not self_meetings(tab.outer)
    assert [-area(o) for o in tab.openings] == pytest.approx([pi / 4 * 17**2] * len(holes))


def test_a_coped_foot_takes_the_tubes_round_out():
    tab = tab_outline([(0, 60)], 17, 25, ARCHED)
    tube = Spot(0, -20).buffer(hypot(30, 20), quad_segs=4096)
    expected = shapely_tab([(0, 60)], 25, ARCHED, tube).area
    assert area(tab.outer) == pytest.approx(expected, rel=1e-4)


def test_holes_in_a_row_and_on_an_arc_keep_their_pitch():
    holes = arc_of_holes((0, 300), (0, 0), 25, 4)
    assert [distance(a, b) for a, b in pairwise(holes)] == pytest.approx(
        [25] * 3
    )
    assert [hypot(*p) for p in holes] == pytest.approx([300] * 4)
    assert ligament(tab_outline(row_of_holes((0, 60), 25, 3, 0), 17, 25, FLAT)) == pytest.approx(8)
    with pytest.raises(ValueError, match="does not fit an arc of 10 mm"):
        arc_of_holes((0, 10), (0, 0), 25, 3)


def test_a_hole_too_low_for_the_root_is_refused():
    with pytest.raises(ValueError, match="reaches past the root"):
        tab_outline([(0, 20)], 17, 25, FLAT)


def test_an_edge_inside_the_hole_is_refused():
    with pytest.raises(ValueError, match=r"needs over 8\.5 mm"):
        tab_outline([(0, 60)], 17, 8, FLAT)


def test_a_foot_cut_into_the_hole_is_refused():
    deep = [Line((-30, 0), (0, 55)), Line((0, 55), (30, 0))]
    with pytest.raises(ValueError, match="cut into"):
        tab_outline([(0, 60)], 17, 25, deep)


def test_a_lightening_hole_leaves_its_web_all_round():
    tab = tab_outline([(0, 90)], 17, 25, ARCHED)
    at, diameter = lightening_hole(tab, web=10, least=5)
    whole = Polygon([curve.at(k / 200) for curve in tab.outer for k in range(200)])
    holes = Spot(0, 90).buffer(8.5, quad_segs=512)
    left = whole.difference(holes).boundary.distance(Spot(at)) - diameter / 2
    assert left == pytest.approx(10, abs=0.01)
    # on the middle line, between the crown at 16.06 and the hole's edge at 81.5, the sides are
    # nearest near the bottom; nowhere on that line is there more room
    best = max(
        whole.difference(holes).boundary.distance(Spot(0, y / 10)) for y in range(170, 810)
    )
    assert diameter / 2 + 10 == pytest.approx(best, abs=0.02)
    assert lightening_hole(tab, web=10, least=diameter + 1) is None


def test_a_tab_turned_left_for_right_is_its_own_mirror():
    one = tab_outline([(12, 70)], 17, 25, FLAT)
    other = tab_outline([(-12, 70)], 17, 25, FLAT)
    ring = Polygon([curve.at(k / 50) for curve in one.outer for k in range(50)])
    mirrored = Polygon([curve.at(k / 50) for curve in other.outer for k in range(50)])
    flipped = affinity.scale(mirrored, xfact=-1, origin=(0, 0))
    assert ring.symmetric_difference(flipped).area < 0.05
