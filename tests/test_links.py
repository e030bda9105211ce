"""Geometry of links and the tilt of their joints, against published sheets and closed forms.

Published: three public four-link worksheets (sources in axles_on_links), printed to whole units.
Derived by hand from the construction (contact patch to instant centre over mass height to
wheelbase: home.earthlink.net/~whshope/id8.html, eng-tips.com thread 94082): the cases below.
"""

from __future__ import annotations

from math import acos, asin, atan2, cos, degrees, hypot, sin, sqrt, tan

import numpy as np
import pytest
from axles_on_links import (
    SHEETS,
    Sheet,
    bar,
    demo_car,
    ladder,
    pair,
    splayed,
    three_link,
    wheels,
)
from scipy.optimize import brentq, minimize
from scipy.spatial.transform import Rotation

from parts.trade.axle import (
    Independent,
    Kingpin,
    Link,
    LiveAxle,
    Steered,
    Stops,
    StraightUp,
    SwingArm,
    Travels,
    Wheel,
)
from parts.trade.links import (
    Bolts,
    Car,
    anti_words,
    charts,
    figures,
    joint_tilts,
    level_bolts,
    link_geometry,
    link_pairs,
    live_axle,
    over_bump,
    over_roll,
    plan_centre,
    swept,
)

RIDE = Travels("ride", 0.0, 0.0)
CAR = Car(1420, 0.46, 2700, 560, 331)
STOPS = Stops(95, 85)


def car_of(sheet: Sheet) -> Car:
    return Car(sheet.mass, 0.5, sheet.wheelbase, sheet.mass_height, sheet.radius,
               axle_mass_kg=sheet.axle_mass)  # fmt: skip


# Published sheets


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_a_published_sheet_has_the_same_centres_and_per_cents(sheet: Sheet) -> None:
    found = link_geometry(sheet.axle(), car_of(sheet), RIDE)
    whole = pytest.approx
    assert found.side_centre == (whole(-sheet.centre[0], abs=0.5), whole(sheet.centre[1], abs=0.5))
    assert found.drive.links == whole(sheet.anti_squat, abs=0.5)
    assert found.roll_centre == (whole(0, abs=1e-9), whole(sheet.roll_centre, abs=0.5))
    assert found.roll_axis_deg == whole(-sheet.roll_axis_deg, abs=0.5)
    assert found.roll_steer <= 0  # the sheets all say roll oversteer


def test_the_upper_links_of_a_published_sheet_meet_at_its_roll_point() -> None:
    # scribd.com document 485520683 prints (-7.7143, 0.0000, 28.8571), X forward
    pairs = {p.left.name: p for p in link_pairs(SHEETS["inch, 120 wheelbase"].axle().links)}
    assert set(pairs) == {"upper left", "lower left"}
    assert plan_centre(pairs["upper left"]) == pytest.approx((7.7143, 0, 28.8571), abs=5e-5)


def test_the_roll_axis_runs_through_where_both_pairs_meet_from_above() -> None:
    axle = splayed()
    lower, upper = (plan_centre(p) for p in sorted(link_pairs(axle.links), key=lambda p: p.name))
    assert lower is not None
    assert upper is not None
    slope = (upper[2] - lower[2]) / (upper[0] - lower[0])
    found = link_geometry(axle, CAR, RIDE)
    assert found.roll_axis_deg == pytest.approx(degrees(atan2(slope, 1)), abs=1e-9)
    assert found.roll_centre == pytest.approx((0, upper[2] - slope * upper[0]), abs=1e-6)
    assert found.plan_centre == pytest.approx((upper[0] + (331 - upper[2]) / slope, 0), abs=1e-4)


# Hand examples: X forward of the axle, height; upper axle end, upper frame, lower axle, frame

BY_HAND = {
    "mm": (((0, 420), (500, 400), (0, 260), (600, 300)), 2700, 560, (1500, 360), 115.714),
    "inch": (
        ((-1.5, 19), (22, 17.5), (1, 9.5), (31, 13.5)), 108, 22, (48.3741, 15.8165), 160.509,
    ),
    "parallel": (((0, 400), (500, 440), (0, 250), (500, 290)), 2600, 600, None, 34.667),
}  # fmt: skip


@pytest.mark.parametrize("case", BY_HAND.values(), ids=BY_HAND)
def test_anti_squat_is_the_slope_to_the_instant_centre_over_the_no_squat_slope(case) -> None:
    (upper_axle, upper, lower_axle, lower), base, height, centre, percent = case
    radius = base / 8
    links = (
        *pair("upper", (-upper[0], base / 6, upper[1]), (-upper_axle[0], base / 6, upper_axle[1])),
        *pair("lower", (-lower[0], base / 6, lower[1]), (-lower_axle[0], base / 6, lower_axle[1])),
        Link("bar", (0, -base / 7, radius), (0, base / 8, radius)),
    )
    axle = LiveAxle(links, *wheels(radius, base / 4))
    found = link_geometry(axle, Car(1000, 0.5, base, height, radius), RIDE)
    assert found.drive.links == pytest.approx(percent, abs=0.0006)
    if centre is None:
        assert found.side_centre is None
        assert found.pinion_deg == 0
    else:
        assert found.side_centre == pytest.approx((-centre[0], centre[1]), abs=0.06)
        # the body takes the torque: the line starts at the wheel's centre
        by_body = 100 * (centre[1] - radius) / centre[0] * base / height
        assert found.drive.body == pytest.approx(by_body, abs=0.01)


def test_a_lateral_bar_and_parallel_links_make_a_roll_axis_parallel_to_the_links() -> None:
    # SAE construction, from memory: through the bar on the centre plane, along the links
    found = link_geometry(demo_car(), CAR, RIDE)
    assert found.roll_centre == pytest.approx((0, 331), abs=1e-9)
    assert found.roll_axis_deg == pytest.approx(-degrees(atan2(10, 560)), abs=1e-9)


def test_a_lateral_bar_that_leans_has_its_roll_centre_where_it_crosses_the_centre_plane() -> None:
    lower = pair("lower", (-628, 450, 300), (-68, 450, 300))
    upper = pair("upper", (-612, 450, 480), (-52, 450, 480))
    lean = Link("bar", (0, -400, 360), (0, 300, 290))  # 4/7 of the way: 320
    found = link_geometry(LiveAxle((*lower, *upper, lean), *wheels(331)), CAR, RIDE)
    assert found.roll_centre == pytest.approx((0, 320), abs=1e-9)


def trailing() -> Independent:
    arms = (SwingArm((-450, s * 300, 290), (-450, s * 700, 290)) for s in (-1, 1))
    return Independent(Wheel((0, -760, 331)), Wheel((0, 760, 331)), *arms)


def test_a_trailing_arm_with_its_drive_on_the_body_works_from_the_wheel_centre() -> None:
    # by hand: pivot 450 ahead, 290 high. Centre line falls 41 to it, contact line rises 290.
    found = link_geometry(trailing(), CAR, RIDE)
    over = 2700 / 560
    assert found.drive.body == pytest.approx(100 * -41 / 450 * over, abs=1e-9)
    assert found.drive.links == pytest.approx(100 * 290 / 450 * over, abs=1e-9)
    assert found.side_centre == pytest.approx((-450, 290), abs=1e-6)
    assert found.roll_axis_deg is None
    assert found.roll_steer == pytest.approx(0, abs=1e-12)


def test_wheels_that_go_straight_up_have_no_centres_and_no_anti_squat() -> None:
    straight = Independent(Wheel((0, -760, 331)), Wheel((0, 760, 331)), StraightUp(), StraightUp())
    found = link_geometry(straight, CAR, RIDE)
    assert found.side_centre is None
    assert found.plan_centre is None
    assert found.roll_axis_deg is None
    assert (found.drive.links, found.brake.body, found.roll_steer) == (0, 0, 0)


def test_anti_lift_is_anti_squat_times_the_share_of_the_braking() -> None:
    split = Car(1420, 0.46, 2700, 560, 331, brake_share=0.3)
    found = link_geometry(three_link(), split, RIDE)
    assert found.brake.links == pytest.approx(0.3 * found.drive.links)
    # without it, the share that stands on the axle at the limit of grip 1: 0.46 - 560 / 2700
    found = link_geometry(three_link(), CAR, RIDE)
    assert found.brake.links == pytest.approx((0.46 - 560 / 2700) * found.drive.links)


def test_a_front_axle_on_leading_links_dives_less_and_lifts_less() -> None:
    # links behind a front axle, the mirror image fore and aft of a rear one: equal per cents
    def turned(link: Link) -> Link:
        (a, b, c), (d, e, f) = link.chassis, link.axle
        return Link(link.name, (-a, b, c), (-d, e, f))

    rear = three_link()
    front = LiveAxle(tuple(turned(link) for link in rear.links), *wheels(331))
    at_front = Car(1420, 0.54, 2700, 560, 331, end="front", brake_share=0.6)
    at_rear = Car(1420, 0.46, 2700, 560, 331, brake_share=0.6)
    one, two = (link_geometry(a, c, RIDE) for a, c in ((front, at_front), (rear, at_rear)))
    assert (one.drive.links, one.brake.body) == pytest.approx((two.drive.links, two.brake.body))
    assert anti_words(at_front) == ("anti-lift under drive", "anti-dive")


# Through the travel


def test_the_final_drive_turns_as_the_crossing_of_two_circles_says() -> None:
    # planar four bar: lower pivot fixed, its joint on a circle about it; the upper joint is where
    # the circle of the upper link crosses that of the joints' distance
    lower_at, lower, upper_at, upper = (-628, 300), (-68, 290), (-500, 480), (-40, 470)
    links = (
        *pair("lower", (lower_at[0], 450, 300), (lower[0], 450, 290)),
        *pair("upper", (upper_at[0], 450, 480), (upper[0], 450, 470)),
    )
    axle = LiveAxle((*links, bar(331)), *wheels(331))

    def turn_at(swing: float) -> tuple[float, float]:
        size, start = hypot(560, 10), atan2(-10, 560)
        a = (lower_at[0] + size * cos(start + swing), lower_at[1] + size * sin(start + swing))
        reach, apart = hypot(460, 10), hypot(28, 180)
        gap = hypot(upper_at[0] - a[0], upper_at[1] - a[1])
        inner = acos((apart**2 + gap**2 - reach**2) / (2 * apart * gap))
        toward = atan2(upper_at[1] - a[1], upper_at[0] - a[0])
        now, then = toward - inner, atan2(180, 28)
        turn = now - then
        # the wheel's centre (68, 41) from the lower joint, carried along
        return degrees(turn), a[1] + 68 * sin(turn) + 41 * cos(turn) - 331

    swing = brentq(lambda s: turn_at(s)[1] - 80, 0, 0.3)
    found = link_geometry(axle, CAR, Travels("up", 80, 80))
    # + is the top rearward, seen from the right that is clockwise: X against Z turns the other way
    assert found.pinion_deg == pytest.approx(-turn_at(swing)[0], abs=0.01)
    assert abs(found.pinion_deg) > 0.3


@pytest.mark.parametrize("make", [demo_car, three_link, splayed])
@pytest.mark.parametrize("roll", [0.0, 30.0])
def test_roll_steer_is_the_yaw_that_a_little_more_roll_brings(make, roll: float) -> None:
    axle, step = make(), 0.05
    before, after = (axle.pose(-roll - s, roll + s) for s in (-step, step))
    turned = Rotation.from_matrix(after.carried[0].turn @ before.carried[0].turn.T).as_rotvec()
    found = link_geometry(axle, CAR, Travels("", -roll, roll))
    assert found.roll_steer == pytest.approx(turned[2] / turned[0], abs=1e-6)
    if roll == 0:
        slope = (after.yaw_deg - before.yaw_deg) / (after.roll_deg - before.roll_deg)
        assert found.roll_steer == pytest.approx(slope, abs=1e-6)


@pytest.mark.parametrize("at", [(0.0, 0.0), (70.0, 70.0), (-60.0, 40.0)])
def test_centres_stand_still_as_the_axle_moves_on(at: tuple[float, float]) -> None:
    axle, step = three_link(), 1e-3
    found = link_geometry(axle, CAR, Travels("", *at))
    mid = (axle.pose(*at).left.origin + axle.pose(*at).right.origin) / 2

    def drift(point: list[float], rates: tuple[float, float], axes: list[int]) -> float:
        """How fast, mm per mm, a point of the axle moves in a view."""
        ends = [
            axle.pose(at[0] + s * rates[0], at[1] + s * rates[1]).carried[0] for s in (-step, step)
        ]
        home = axle.pose(*at).carried[0].inverse().apply(point)
        return float(np.linalg.norm((ends[1].apply(home) - ends[0].apply(home))[axes])) / step / 2

    assert found.side_centre is not None
    assert found.plan_centre is not None
    assert found.roll_centre is not None
    side = [found.side_centre[0], mid[1], found.side_centre[1]]
    plan = [found.plan_centre[0], found.plan_centre[1], mid[2]]
    roll = [mid[0], *found.roll_centre]
    assert drift(side, (1, 1), [0, 2]) < 1e-6
    assert drift(plan, (-1, 1), [0, 1]) < 1e-5
    assert drift(roll, (-1, 1), [1, 2]) < 1e-6


def test_travel_and_roll_run_from_stop_to_stop_through_ride() -> None:
    bump, roll = over_bump(demo_car(), CAR, STOPS), over_roll(demo_car(), CAR, STOPS)
    assert [g.travels.left for g in bump][:: len(bump) - 1] == [-85, 95]
    assert (roll[0].travels.left, roll[0].travels.right) == (85, -85)
    for found in (bump, roll):
        assert [g.travels for g in found if g.travels.left == g.travels.right == 0]
    # equal parallel links L: each goes round its own circle, and the axle does not turn
    assert [g.pinion_deg for g in bump] == pytest.approx([0] * len(bump), abs=1e-9)
    # the slope of the links is that of the line to a centre infinitely far off
    top = asin((95 - 10) / hypot(560, 10))
    assert bump[-1].drive.links == pytest.approx(100 * -tan(top) * 2700 / 560, rel=0.02)
    # asin(170 / 1520) of roll
    assert roll[-1].roll_deg == pytest.approx(degrees(asin(170 / 1520)), abs=1e-9)


def test_charts_leave_out_points_that_are_not_there() -> None:
    drawn = {}
    for name, axle in (("parallel", demo_car()), ("three", three_link())):
        bump, roll = (over(axle, CAR, STOPS) for over in (over_bump, over_roll))
        drawn[name] = {chart.title: chart for chart in charts(bump, roll, CAR)}
        first = drawn[name]["anti-squat and anti-lift"].lines[0]
        assert first.points[0] == (-85, bump[0].drive.links)
    assert set(drawn["three"]) - set(drawn["parallel"]) == {"side-view instant centre"}
    names = [figure.name for figure in figures(link_geometry(demo_car(), CAR, RIDE), CAR)]
    assert not [name for name in names if name.startswith("side-view")]
    assert "anti-squat, torque taken by the body" in names


def test_an_axle_without_links_is_told_to_measure_them() -> None:
    straight = Independent(Wheel((0, -760, 331)), Wheel((0, 760, 331)), StraightUp(), StraightUp())
    with pytest.raises(ValueError, match="need an axle on links; measure its links"):
        live_axle(straight)
    pins = (Kingpin((-8, s * 690, 240), (12, s * 660, 420)) for s in (-1, 1))
    inner = three_link()
    assert live_axle(Steered(inner, *pins)) is inner


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"mass_kg": 0}, "the mass is 0; write a number above 0"),
        ({"share": 46}, "share of the mass is 46; write 0 to 1"),
        ({"brake_share": 1.2}, "share of braking is 1.2; write 0 to 1"),
        ({"axle_mass_kg": 900}, "must be less than the 653.2 kg that stand on it"),
    ],
)
def test_a_car_that_cannot_be_is_refused(wrong, words: str) -> None:
    usual = {"mass_kg": 1420, "share": 0.46, "wheelbase": 2700, "mass_height": 560}
    with pytest.raises(ValueError, match=words):
        Car(**(usual | {"loaded_radius": 331} | wrong))


# Tilt over the travel


def lone_bar() -> LiveAxle:
    """A bar across, on an axle that goes straight up without turning in bump."""
    lower = pair("lower", (-6000, 450, 300), (-68, 450, 300))
    upper = pair("upper", (-6000, 450, 480), (-68, 450, 480))
    return LiveAxle((*lower, *upper, bar(331)), *wheels(331))


def test_roll_twists_a_lengthwise_link_between_its_bolts() -> None:
    # links along the car, bolts across it: all of the axle's roll is twist, half to each end
    roll = degrees(asin(180 / 1520))
    axle = lone_bar()
    chassis, at_axle = joint_tilts(swept(axle, STOPS), axle.links[0], level_bolts(axle.links[0]))
    for found in (chassis, at_axle):
        assert found.twist_deg == pytest.approx(roll, abs=0.02)
        assert found.most_deg == pytest.approx(roll / 2, abs=0.05)
        assert {found.left, found.right} == {-85, 95}
        assert found.lean_deg < 0.7


def test_a_bar_swings_in_its_bolts_plane_and_leans_as_the_links_draw_it_back() -> None:
    axle = lone_bar()
    fore_and_aft = Bolts((1, 0, 0), (1, 0, 0))
    found, _ = joint_tilts(swept(axle, Stops(95, 0)), axle.links[4], fore_and_aft)
    # links 5932 long draw the axle's end forward by L - sqrt(L^2 - 95^2), less the bar's own
    # 6.3 to the side; both wheels up it leans by that over 720
    drawn = 5932 - sqrt(5932**2 - 95**2 - 6.3**2)
    assert found.lean_deg == pytest.approx(degrees(asin(drawn / 720)), abs=0.01)
    # about X, right end up is +: asin(95 / 720) at full bump
    assert found.swing_deg[1] == pytest.approx(degrees(asin(95 / 720)), abs=0.01)
    assert found.swing_deg[0] == pytest.approx(0, abs=0.01)


def tilt_by_hand(axle: LiveAxle, link: Link, bolts: Bolts, left: float, right: float) -> list:
    """Tilt of both ends at a pose: lean from the dot product, twist by a minimal turn.

    The turn that carries the link from ride to now the shortest way carries the axle's bolt with
    it; what is left between that and where the bolt is, about the link, is the twist.
    """
    moved = axle.pose(left, right).carried[0]
    start = np.subtract(link.axle, link.chassis) / link.length
    now = moved.apply(link.axle) - np.array(link.chassis)
    now = now / np.linalg.norm(now)
    pins = [np.array(bolts.chassis, float), moved.turn @ np.array(bolts.axle, float)]
    angles = []
    for pin, home in zip(pins, (bolts.chassis, bolts.axle), strict=True):
        flat = pin - (pin @ now) * now
        ride = np.array(home, float) - (np.array(home) @ start) * start
        carried = Rotation.align_vectors([now], [start])[0].apply(ride)
        angles.append(np.arctan2(np.cross(carried, flat) @ now, carried @ flat))
    twist = angles[1] - angles[0]
    return [
        degrees(acos(min(1.0, cos(asin(min(1, abs(pin @ now)))) * cos(twist / 2)))) for pin in pins
    ]


@pytest.mark.parametrize("make", [three_link, splayed])
def test_no_pose_tilts_a_joint_more_than_stated_and_some_pose_nearly_does(make) -> None:
    axle = make()
    sweep = swept(axle, STOPS)
    rng = np.random.default_rng(5)
    tried = [tuple(t) for t in rng.uniform(-85, 95, (60, 2))]
    tried += [(one, two) for one in (-85, 0, 95) for two in (-85, 0, 95)]
    for link in axle.links:
        bolts = level_bolts(link)
        ends = joint_tilts(sweep, link, bolts)
        seen = np.array([tilt_by_hand(axle, link, bolts, *t) for t in tried]).max(axis=0)
        for end, found in enumerate(ends):
            assert seen[end] <= found.most_deg + 1e-6

            def least(t, end=end, link=link, bolts=bolts) -> float:
                return -tilt_by_hand(axle, link, bolts, *t)[end]

            at = (found.left, found.right)
            best = -minimize(least, at, bounds=[(-85, 95)] * 2, options={"maxiter": 4}).fun
            assert found.most_deg - 0.1 <= best <= found.most_deg + 1e-6
            assert found.bound_deg < 0.01


def test_an_axle_end_swings_by_what_the_link_turns_less_what_the_axle_does() -> None:
    # seen from the side, both wheels alike: the tab turns with the axle, about the same bolt
    axle, link = three_link(), three_link().links[2]
    ends = joint_tilts(swept(axle, STOPS), link, Bolts((0, 1, 0), (0, 1, 0)))
    for travel in (95, -85):
        moved = axle.pose(travel, travel).carried[0]
        flat = [
            np.subtract(moved.apply(link.axle) if now else link.axle, link.chassis)[[0, 2]]
            for now in (False, True)
        ]
        rise = np.diff([np.arctan2(z, x) for x, z in flat])[0]
        turned = Rotation.from_matrix(moved.turn).as_rotvec()[1]
        # about Y, which points away seen from the left: a rise of the rear end turns it by −
        for found, wanted in zip(ends, (-rise, -rise - turned), strict=True):
            end = found.swing_deg[0] if wanted < 0 else found.swing_deg[1]
            assert end == pytest.approx(degrees(wanted), abs=0.15)
    assert abs(ends[0].swing_deg[1] - ends[1].swing_deg[1]) > 1


def test_a_ladder_bar_axle_has_its_lateral_bar_swept_too() -> None:
    axle = ladder()
    found, _ = joint_tilts(swept(axle, Stops(30, 30)), axle.links[0], Bolts((1, 0, 0), (1, 0, 0)))
    assert found.swing_deg == pytest.approx((-degrees(asin(30 / 720)), degrees(asin(30 / 720))),
                                            abs=0.01)  # fmt: skip


def test_a_bolt_along_its_link_is_refused() -> None:
    axle = demo_car()
    with pytest.raises(ValueError, match="lower left: the bolt at the axle lies along the link"):
        joint_tilts(swept(axle, STOPS), axle.links[0], Bolts((0, 1, 0), (1, 0, 0)))
    with pytest.raises(ValueError, match="stands upright; give the direction of its bolts"):
        level_bolts(Link("post", (0, 0, 0), (0, 0, 300)))


def test_a_bolt_told_end_for_end_tilts_the_same() -> None:
    axle = three_link()
    sweep, link = swept(axle, STOPS), axle.links[0]
    one, two = Bolts((0, 1, 0), (0, 1, 0)), Bolts((0, 1, 0), (0, -1, 0))
    assert [t.most_deg for t in joint_tilts(sweep, link, one)] == pytest.approx(
        [t.most_deg for t in joint_tilts(sweep, link, two)]
    )
