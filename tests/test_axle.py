"""The axle's motion, held against closed forms, statics, differences and another solver."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from parts.trade.axle import (
    LEFT,
    RIGHT,
    Arm,
    Axle,
    AxlePose,
    CannotFollow,
    Cell,
    Independent,
    Kingpin,
    Link,
    LiveAxle,
    MotionBound,
    Steered,
    Stops,
    StraightUp,
    SwingArm,
    Travels,
    Wheel,
    anti_squat_percent,
    front_view,
    point_speed,
    roll_centre,
    side_view,
    standard_poses,
)
from parts.trade.axle.follow import follow

Floats = NDArray[np.float64]
WHEELS = (Wheel((0, -760, 331)), Wheel((0, 760, 331)))
BAR = Link("lateral bar", (0, -390, 331), (0, 330, 331))
INCH = 25.4


def pair(name: str, chassis: tuple[float, ...], axle: tuple[float, ...]) -> tuple[Link, Link]:
    """A link (x, y, z to x, y, z) on the right, and its mirror image on the left."""
    right = Link(f"{name} right", tuple(chassis), tuple(axle))  # type: ignore[arg-type]
    return mirrored_link(right, f"{name} left"), right


def mirrored_link(link: Link, name: str) -> Link:
    (a, b, c), (d, e, f) = link.chassis, link.axle
    return Link(name, (a, -b, c), (d, -e, f))


def four_link() -> LiveAxle:
    """The demo car: equal parallel links 560 long and 10 down to the rear, a bar of 720."""
    lower = pair("lower", (-628, 450, 300), (-68, 450, 290))
    upper = pair("upper", (-612, 450, 480), (-52, 450, 470))
    return LiveAxle((*lower, *upper, BAR), *WHEELS)


def three_link() -> LiveAxle:
    lower = pair("lower", (-628, 450, 300), (-68, 480, 280))
    return LiveAxle((*lower, Link("upper", (-400, -60, 440), (-30, -60, 480)), BAR), *WHEELS)


def splayed() -> LiveAxle:
    lower = pair("lower", (-600, 400, 300), (-60, 480, 270))
    return LiveAxle((*lower, *pair("upper", (-420, 380, 450), (-40, 110, 480))), *WHEELS)


def ladder() -> LiveAxle:
    arms = (Arm("arm left", (-900, -400, 300)), Arm("arm right", (-900, 400, 300)))
    return LiveAxle((BAR,), *WHEELS, arms=arms, give=60)


def odd() -> LiveAxle:
    """More links than needed, none alike; wheels with camber and toe, centres not level."""
    lower = pair("lower", (-628, 450, 310), (-68, 470, 280))
    upper = pair("upper", (-500, 350, 480), (-52, 440, 475))
    wheels = (Wheel((4, -755, 328), (0.02, -1, 0.03)), Wheel((-5, 762, 333), (-0.01, 1, 0.02)))
    return LiveAxle((*lower, *upper, Link("bar", (90, -390, 340), (80, 330, 300))), *wheels)


def semi_trailing() -> Independent:
    left, right = (SwingArm((-420, s * 180, 300), (-560, s * 620, 340)) for s in (-1, 1))
    return Independent(Wheel((0, -760, 331)), Wheel((0, 760, 331), (0.01, 1, 0.03)), left, right)


def steered(axle: Axle) -> Steered:
    left, right = (Kingpin((-8, s * 690, 240), (12, s * 660, 420)) for s in (-1, 1))
    return Steered(axle, left, right)


LIVE = {"four": four_link, "three": three_link, "splayed": splayed, "ladder": ladder, "odd": odd}
AXLES = {**LIVE, "semi-trailing": semi_trailing, "steered": lambda: steered(three_link())}


def rotation_rate(before: AxlePose, after: AxlePose, side: int, step: float) -> Floats:
    turn = after.wheels[side].turn @ before.wheels[side].turn.T
    return np.asarray(Rotation.from_matrix(turn).as_rotvec() / step)


# Closed forms


@pytest.mark.parametrize("travel", [95.0, -85.0, 20.0])
def test_equal_parallel_links_shift_the_axle_by_the_hand_formula(travel: float) -> None:
    # ΔX = −(√(L²−dz0²) − √(L²−(dz0+h)²)), right triangles of a link at ride and at the travel
    links = four_link().links[:4]
    axle = LiveAxle(links, *WHEELS, arms=(Arm("guide", (0, 0, 331), "y"),))
    length, drop = np.hypot(560, 10), -10.0
    wanted = -(np.sqrt(length**2 - drop**2) - np.sqrt(length**2 - (drop + travel) ** 2))
    pose = axle.pose(travel, travel)
    assert pose.shift_back == pytest.approx(wanted, abs=1e-9)
    assert pose.twist_deg == pytest.approx((0, 0), abs=1e-9)
    assert pose.worst_residual < 1e-9


@pytest.mark.parametrize("travel", [95.0, -85.0])
@pytest.mark.parametrize("hand", [1, -1])
def test_a_lateral_bar_pulls_the_axle_to_its_chassis_mount_both_ways(
    travel: float, hand: int
) -> None:
    # Δy = L − √(L²−dz²), by Pythagoras; nothing here moves the axle fore and aft
    bar = Link("bar", (0, -390 * hand, 331), (0, 330 * hand, 331))
    arms = (
        Arm("l", (0, -760, 331), "x"),
        Arm("r", (0, 760, 331), "x"),
        Arm("n", (-500, 0, 331), "z"),
    )
    pose = LiveAxle((bar,), *WHEELS, arms=arms).pose(travel, travel)
    shift = 720 - np.sqrt(720**2 - travel**2)
    assert pose.shift_right == pytest.approx(-hand * shift, abs=1e-9)
    assert pose.shift_back == pytest.approx(0, abs=1e-9)


def test_links_and_bar_together_fulfil_both_triangles() -> None:
    # The bar is carried fore and aft by the links, the links sideways by the bar.
    x = y = 0.0
    for _ in range(60):
        x = -(560 - np.sqrt(560**2 + 10**2 - (95 - 10) ** 2 - y**2))
        y = np.sqrt(720**2 - 95**2 - x**2) - 720
    pose = four_link().pose(95, 95)
    assert (pose.shift_back, pose.shift_right) == pytest.approx((x, y), abs=1e-9)


@pytest.mark.parametrize("make", LIVE.values(), ids=LIVE)
def test_roll_is_the_difference_in_bump_over_the_track(make: type[LiveAxle]) -> None:
    # tan(roll) = (bump right − bump left) / distance between the centres on the ground
    axle = make()
    pose, ride = axle.pose(-20, 45), axle.pose(0, 0)
    across = pose.right.origin - pose.left.origin
    rise = 65 + ride.right.origin[2] - ride.left.origin[2]
    rolled = np.degrees(np.arctan(rise / np.hypot(across[0], across[1])))
    start = ride.right.origin - ride.left.origin
    start_deg = np.degrees(np.arctan(start[2] / np.hypot(start[0], start[1])))
    assert pose.roll_deg == pytest.approx(rolled - start_deg, abs=1e-9)
    assert pose.roll_deg == pytest.approx(np.degrees(np.arctan(65 / 1520)), abs=0.01)


def test_ladder_bars_in_bump_swing_about_their_pivots() -> None:
    # Pivots at (-900, 300): the middle of the axle is 900 back, 31 up, on a circle about Y.
    radius, start = np.hypot(900, 31), np.arctan2(31, 900)
    now = np.arcsin((31 + 70) / radius)
    pose = ladder().pose(70, 70)
    assert pose.shift_back == pytest.approx(radius * np.cos(now) - 900, abs=1e-9)
    assert pose.twist_deg[0] == pytest.approx(-np.degrees(now - start), abs=1e-9)
    assert pose.worst_residual < 1e-9


def test_ladder_bars_bind_in_roll_and_say_so() -> None:
    # Rolled by φ with pivots 800 apart, each pivot is torn 400 · sin φ up or down.
    pose = ladder().pose(-10, 10)
    torn = 400 * 20 / 1520
    residuals = dict(pose.residuals)
    assert abs(residuals["arm left (up and down)"]) == pytest.approx(torn, rel=2e-3)
    assert residuals["arm left (up and down)"] == pytest.approx(
        -residuals["arm right (up and down)"], rel=1e-2
    )
    with pytest.raises(CannotFollow, match=r"arm (left|right) \(up and down\) cannot follow"):
        replace(ladder(), give=5.0).pose(-20, 20)


@pytest.mark.parametrize("travel", [-120.0, 0.0, 95.0, 300.0])
def test_a_trailing_arm_turns_its_wheel_about_the_pivot(travel: float) -> None:
    # Pivot 500 ahead and 40 below the wheel: the height over it is 40 + travel.
    arms = tuple(SwingArm((-500, s * 300, 291), (-500, s * 700, 291)) for s in (-1, 1))
    pose = Independent(*WHEELS, *arms).pose(travel, 0)
    radius = np.hypot(500, 40)
    angle = np.arcsin((40 + travel) / radius) - np.arctan2(40, 500)
    assert pose.left.origin == pytest.approx(
        [radius * np.cos(angle + np.arctan2(40, 500)) - 500, -760, 331 + travel], abs=1e-9
    )
    assert pose.twist_deg[0] == pytest.approx(-np.degrees(angle), abs=1e-9)
    turned = Rotation.from_rotvec([0, -angle, 0]).as_matrix() @ np.diag([-1.0, -1, 1])
    assert pose.left.turn == pytest.approx(turned, abs=1e-12)


def test_an_arm_past_its_reach_is_refused_with_the_reach() -> None:
    arms = tuple(SwingArm((-500, s * 300, 331), (-500, s * 700, 331)) for s in (-1, 1))
    with pytest.raises(CannotFollow, match=r"the right arm.* reaches left 0\.0, right 500\.0"):
        Independent(*WHEELS, *arms).pose(0, 510)


def test_straight_up_and_down_is_just_that() -> None:
    pose = Independent(*WHEELS, StraightUp(), StraightUp()).pose(30, -20)
    assert pose.left.origin.tolist() == [0, -760, 361]
    assert pose.right.origin.tolist() == [0, 760, 311]


# Another route


def solved_elsewhere(axle: LiveAxle, left: float, right: float) -> Floats:
    """Both wheel centres (2, 3) from scipy: rotation vector and shift, in steps from ride."""
    middle = np.array([0, 0, 331.0])
    centers = np.array([axle.left.centre, axle.right.centre], dtype=float)
    chassis = np.array([link.chassis for link in axle.links], dtype=float)
    ends = np.array([link.axle for link in axle.links], dtype=float)

    def placed(v: Floats, points: Floats) -> Floats:
        turn = Rotation.from_rotvec(v[3:] / 500).as_matrix()
        return np.asarray((points - middle) @ turn.T + middle + v[:3])

    def errors(v: Floats, share: float) -> Floats:
        lengths = np.linalg.norm(placed(v, ends) - chassis, axis=1)
        rise = placed(v, centers)[:, 2] - centers[:, 2] - share * np.array([left, right])
        return np.concatenate([lengths - np.linalg.norm(ends - chassis, axis=1), 1e4 * rise])

    v = np.zeros(6)
    for share in np.linspace(0, 1, 9)[1:]:
        v = least_squares(errors, v, args=(share,), xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    return placed(v, centers)


def shaken(axle: LiveAxle, rng: np.random.Generator) -> LiveAxle:
    """The same linkage with every joint moved by up to 40 mm any way."""

    def moved(p: tuple[float, float, float]) -> tuple[float, float, float]:
        x, y, z = np.array(p) + rng.uniform(-40, 40, 3)
        return (float(x), float(y), float(z))

    links = tuple(Link(k.name, moved(k.chassis), moved(k.axle)) for k in axle.links)
    return LiveAxle(links, axle.left, axle.right, give=60)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("make", [three_link, splayed, four_link], ids=["three", "splayed", "four"])
def test_scipy_puts_random_linkages_in_the_same_place(make: type[LiveAxle], seed: int) -> None:
    rng = np.random.default_rng(seed)
    axle = shaken(make(), rng)
    left, right = rng.uniform(-85, 95, 2)
    pose = axle.pose(left, right)
    wanted = solved_elsewhere(axle, left, right)
    exact = len(axle.links) == 4
    assert np.array([pose.left.origin, pose.right.origin]) == pytest.approx(
        wanted, abs=1e-6 if exact else 1e-4
    )
    if exact:
        assert pose.worst_residual < 1e-9


@pytest.mark.parametrize("make", LIVE.values(), ids=LIVE)
def test_residuals_are_the_lengths_between_the_moved_joints(make: type[LiveAxle]) -> None:
    axle = make()
    pose = axle.pose(60, -40)
    for link, (name, residual) in zip(axle.links, pose.residuals, strict=False):
        now = np.linalg.norm(pose.carried[0].apply(link.axle) - np.array(link.chassis))
        assert (name, residual) == (link.name, pytest.approx(now - link.length, abs=1e-9))
    assert pose.left.origin[2] - axle.left.centre[2] == pytest.approx(60, abs=1e-9)
    assert pose.right.origin[2] - axle.right.centre[2] == pytest.approx(-40, abs=1e-9)


def test_a_long_way_in_one_go_ends_where_small_steps_end() -> None:
    axle = shaken(splayed(), np.random.default_rng(3))
    way = np.linspace(0, 1, 400)[:, None] * np.array([[160.0, -150.0]])
    apart = follow(axle.linkage, way, axle.give)
    assert np.abs(np.diff(apart, axis=0)[:, :3]).max() < 1.0
    turned = Rotation.from_matrix(axle.pose(160, -150).carried[0].turn)
    assert turned.magnitude() < np.radians(20)


# Speeds


@pytest.mark.parametrize("make", AXLES.values(), ids=AXLES)
@pytest.mark.parametrize("at", [(0.0, 0.0), (60.0, -45.0), (-70.0, 30.0)])
def test_speeds_are_the_differences_of_near_poses(
    make: type[Axle], at: tuple[float, float]
) -> None:
    axle, step = make(), 1e-3
    steer = 11.0 if isinstance(axle, Steered) else 0.0
    here = (*at, steer)
    speed = axle.speed(*here)
    for k in range(3 if isinstance(axle, Steered) else 2):
        ahead, behind = (
            axle.pose(*(here[i] + s * step * (i == k) for i in range(3))) for s in (1, -1)
        )
        for side in (LEFT, RIGHT):
            moved = (ahead.wheels[side].origin - behind.wheels[side].origin) / (2 * step)
            assert speed.centre[side, k] == pytest.approx(moved, abs=1e-7)
            turned = rotation_rate(behind, ahead, side, 2 * step)
            assert speed.turn[side, k] == pytest.approx(turned, abs=1e-9)


@pytest.mark.parametrize("make", AXLES.values(), ids=AXLES)
def test_a_point_of_the_axle_moves_as_its_speed_says(make: type[Axle]) -> None:
    axle, point, step = make(), np.array([-150.0, 200, 400]), 1e-3
    for side in (LEFT, RIGHT):
        now, rates = point_speed(axle.pose(30, -50), axle.speed(30, -50), side, point)
        for k, d in enumerate(((step, 0), (0, step))):
            ends = [
                axle.pose(30 + s * d[0], -50 + s * d[1]).carried[side].apply(point) for s in (1, -1)
            ]
            assert rates[k] == pytest.approx((ends[0] - ends[1]) / (2 * step), abs=1e-7)
            assert now == pytest.approx((ends[0] + ends[1]) / 2, abs=1e-6)


@pytest.mark.parametrize("make", [three_link, splayed], ids=["three", "splayed"])
@pytest.mark.parametrize("at", [(0.0, 0.0), (70.0, -60.0)])
def test_link_forces_do_no_work(make: type[LiveAxle], at: tuple[float, float]) -> None:
    # A free body in balance: four links, an upright prop under each wheel centre, one load.
    axle = make()
    pose, speed = axle.pose(*at), axle.speed(*at)
    point, load = np.array([-120.0, 90, 380]), np.array([300.0, -200, -500])
    now, rates = point_speed(pose, speed, LEFT, point)
    lines, feet = [], []
    for link in axle.links:
        end = pose.carried[0].apply(link.axle)
        lines.append((end - link.chassis) / np.linalg.norm(end - link.chassis))
        feet.append(end)
    lines += [np.array([0.0, 0, 1])] * 2
    feet += [pose.left.origin, pose.right.origin]
    matrix = np.array([[*line, *np.cross(foot, line)] for line, foot in zip(lines, feet)]).T  # noqa: B905
    forces = np.linalg.solve(matrix, -np.array([*load, *np.cross(now, load)]))
    assert -(rates @ load) == pytest.approx(forces[-2:], abs=1e-7)


# Symmetry


@pytest.mark.parametrize("make", [four_link, three_link, splayed, odd])
def test_a_mirrored_car_moves_as_the_mirror_image(make: type[LiveAxle]) -> None:
    axle = make()

    def flipped(wheel: Wheel) -> Wheel:
        (x, y, z), out = wheel.centre, wheel.outboard
        return Wheel((x, -y, z), out and (out[0], -out[1], out[2]))

    links = tuple(mirrored_link(link, link.name) for link in axle.links)
    other = LiveAxle(links, flipped(axle.right), flipped(axle.left))
    here, there = axle.pose(70, -40), other.pose(-40, 70)
    mirror = np.array([1, -1, 1])
    assert there.right.origin == pytest.approx(here.left.origin * mirror, abs=1e-9)
    assert there.right.turn[:, 1] == pytest.approx(here.left.turn[:, 1] * mirror, abs=1e-12)
    assert there.roll_deg == pytest.approx(-here.roll_deg, abs=1e-9)
    assert there.yaw_deg == pytest.approx(-here.yaw_deg, abs=1e-9)
    assert there.shift_right == pytest.approx(-here.shift_right, abs=1e-9)


@pytest.mark.parametrize("make", AXLES.values(), ids=AXLES)
def test_wheel_places_are_right_handed_with_y_outboard_and_z_up(make: type[Axle]) -> None:
    pose = make().pose(40, -60)
    for side, sign in ((LEFT, -1), (RIGHT, 1)):
        turn = pose.wheels[side].turn
        assert turn.T @ turn == pytest.approx(np.eye(3), abs=1e-12)
        assert np.linalg.det(turn) == pytest.approx(1)
        assert sign * turn[1, 1] > 0.9 and turn[2, 2] > 0.9


def test_steer_to_the_left_turns_the_front_of_both_wheels_left() -> None:
    pose = steered(three_link()).pose(0, 0, 20.0)
    assert pose.left.turn[1, 0] < 0  # x of the left wheel points forward
    assert pose.right.turn[1, 0] > 0  # x of the right wheel points rearward
    upright = Kingpin((0, 700, 100), (0, 700, 500))
    right = Steered(three_link(), Kingpin((0, -700, 100), (0, -700, 500)), upright).pose(0, 0, 90)
    assert right.right.origin == pytest.approx([-60, 700, 331], abs=1e-9)


# Centres


def from_reference(upper: Floats, lower: Floats, scale: float) -> LiveAxle:
    """Links told as (forward, up) axle then chassis; parallel in plan, an exact side guide."""

    def link(name: str, ends: Floats, y: float) -> Link:
        (ax, az), (cx, cz) = ends * scale
        return Link(name, (-cx, y, cz), (-ax, y, az))

    links = tuple(
        link(f"{name} {y}", ends, y)
        for name, ends in (("upper", upper), ("lower", lower))
        for y in (-400.0, 400.0)
    )
    return LiveAxle(links, *WHEELS, arms=(Arm("guide", (0, 0, 331), "y"),))


@pytest.mark.parametrize(
    ("upper", "lower", "scale", "wheelbase", "height", "centre", "percent"),
    # intersections of the two side-view lines, and 100 · (z/x) · (wheelbase/height), by hand
    [
        ([[0, 420], [500, 400]], [[0, 260], [600, 300]], 1, 2700, 560, (1500, 360), 115.714),
        (
            [[-1.5, 19], [22, 17.5]], [[1, 9.5], [31, 13.5]],
            INCH, 108, 22, (48.3741, 15.8165), 160.509,
        ),
        ([[0, 400], [500, 440]], [[0, 250], [500, 290]], 1, 2600, 600, None, 34.667),
    ],
)  # fmt: skip
def test_the_side_view_centre_is_where_the_links_meet(
    upper: list[list[float]], lower: list[list[float]], scale: float, wheelbase: float,
    height: float, centre: tuple[float, float] | None, percent: float,
) -> None:  # fmt: skip
    axle = from_reference(np.array(upper), np.array(lower), scale)
    found = side_view(axle, RIGHT)
    if centre is None:
        assert found.at is None
        assert found.slope == pytest.approx(0.08, abs=1e-9)
    else:
        assert found.at is not None
        assert (-found.at[0] / scale, found.at[1] / scale) == pytest.approx(centre, abs=5e-5)
    squat = anti_squat_percent(axle, RIGHT, 331, wheelbase, height)
    assert squat == pytest.approx(percent, abs=5e-4)


def test_a_live_axle_rolls_about_where_its_bar_crosses_the_centre_plane() -> None:
    # Common practice; the bar from (-390, 300) to (330, 360) is 332.5 high at Y = 0
    bar = Link("bar", (0, -390, 300), (0, 330, 360))
    axle = LiveAxle((*four_link().links[:4], bar), *WHEELS)
    assert roll_centre(axle, 331) == pytest.approx((0, 332.5), abs=1e-6)


def test_swing_axles_roll_where_the_lines_from_tyre_through_pivot_cross() -> None:
    # From the contact (760, 0) through the pivot (100, 300): 300 · 760 / 660 at Y = 0
    arms = tuple(SwingArm((-50, s * 100, 300), (50, s * 100, 300)) for s in (-1, 1))
    axle = Independent(*WHEELS, *arms)
    assert roll_centre(axle, 331) == pytest.approx((0, 345.4545), abs=1e-3)
    assert front_view(axle, RIGHT).at == pytest.approx((100, 300), abs=1e-9)


def test_a_trailing_arm_has_its_pivot_for_side_view_centre() -> None:
    arms = tuple(SwingArm((-500, s * 300, 291), (-500, s * 700, 291)) for s in (-1, 1))
    axle = Independent(*WHEELS, *arms)
    assert side_view(axle, LEFT, 60, 10).at == pytest.approx((-500, 291), abs=1e-9)
    assert roll_centre(axle, 331) == pytest.approx((0, 0), abs=1e-9)  # on the ground


# Refusals


@pytest.mark.parametrize(
    ("keep", "words"),
    [
        (("lower", "upper"), "free to move sideways; measure the lateral bar"),
        (("lower", "bar"), "free to twist about its own line; measure an upper link"),
        (("right", "bar"), "free to steer about its middle; measure a side link on each side"),
        (("upper", "lower right"), "free to move sideways"),
    ],
)
def test_an_axle_not_located_is_refused_saying_what_to_measure(
    keep: tuple[str, ...], words: str
) -> None:
    links = tuple(k for k in four_link().links if any(word in k.name for word in keep))
    with pytest.raises(ValueError, match=words):
        LiveAxle(links, *WHEELS)


@pytest.mark.parametrize("travel", [260.0, -230.0])
def test_travel_past_a_bar_names_the_bar_and_how_far_it_goes(travel: float) -> None:
    bar = Link("short bar", (0, 100, 331), (0, 300, 331))
    arms = (
        Arm("l", (0, -760, 331), "x"),
        Arm("r", (0, 760, 331), "x"),
        Arm("n", (-500, 0, 331), "z"),
    )
    with pytest.raises(CannotFollow) as refusal:
        LiveAxle((bar,), *WHEELS, arms=arms).pose(travel, travel)
    assert refusal.value.link == "short bar"
    assert refusal.value.reached == pytest.approx((200 * np.sign(travel),) * 2, abs=0.2)
    assert "short bar cannot follow" in str(refusal.value)


def test_wheels_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(ValueError, match="left and right of each other"):
        LiveAxle(four_link().links, WHEELS[1], WHEELS[0])


def test_steering_an_axle_without_kingpins_is_refused() -> None:
    with pytest.raises(ValueError, match="say its kingpins"):
        four_link().pose(0, 0, 5)


# Bounds over a box of travels


def worst_rates(axle: LiveAxle, cell: Cell, count: int, rng: np.random.Generator) -> MotionBound:
    """Largest rates among near pairs of poses at random in the cell, by differences."""
    step = 0.05
    low, high = np.array([cell.left, cell.right]).T
    found = np.zeros((3, 2, 3))
    for k in range(2):
        room = np.where(np.arange(2) == k, step, 0.0)
        start = rng.uniform(low, high - room, (count, 2))
        numbers = follow(axle.linkage, np.vstack([start, start + room]), axle.give)
        t = numbers[:, 3:]
        turns = Rotation.from_euler("ZXY", t[:, [0, 1, 2]]).as_matrix()
        rigid = axle.linkage.rigid
        turned = (
            Rotation.from_matrix(turns[count:]) * Rotation.from_matrix(turns[:count]).inv()
        ).magnitude()
        for side, wheel in ((LEFT, axle.left), (RIGHT, axle.right)):
            own = rigid.own.T @ (np.array(wheel.centre) - rigid.middle)
            spin = rigid.own.T @ wheel.place(side).turn[:, 1]
            centers, spins = numbers[:, :3] + turns @ own, turns @ spin
            for row, values in enumerate((centers, None, spins)):
                if values is None:
                    found[row, side, k] = turned.max() / step
                    continue
                gap = np.linalg.norm(values[count:] - values[:count], axis=1)
                found[row, side, k] = gap.max() / step
    return MotionBound(*found)


@pytest.mark.parametrize("make", LIVE.values(), ids=LIVE)
def test_no_pose_of_a_hundred_thousand_is_faster_than_its_cell_allows(make: type[LiveAxle]) -> None:
    # 5 axles x 5 cells x 2 travels x 1000 pairs: 100 000 poses in all
    axle, rng = make(), np.random.default_rng(7)
    for _ in range(5):
        left, right = rng.uniform(-30, 20, 2)
        cell = Cell((left, left + 10), (right, right + 10))
        bound, found = axle.motion_bound(cell), worst_rates(axle, cell, 1000, rng)
        for name in ("centre", "turn", "tilt"):
            most, seen = getattr(bound, name)[:, :2], getattr(found, name)[:, :2]
            assert (seen <= most + 1e-9).all()
        assert (bound.centre[:, :2] < found.centre[:, :2] * 1.05 + 0.06).all()  # and not idle
        assert (bound.tilt[:, :2] < found.tilt[:, :2] * 1.15).all()


@pytest.mark.parametrize("make", LIVE.values(), ids=LIVE)
def test_the_bound_holds_over_the_whole_travel_too(make: type[LiveAxle]) -> None:
    axle = make()
    cell = Cell((-85, 95), (-85, 95))
    bound = axle.motion_bound(cell)
    found = worst_rates(axle, cell, 300, np.random.default_rng(1))
    for name in ("centre", "turn", "tilt"):
        assert (getattr(found, name)[:, :2] <= getattr(bound, name)[:, :2] + 1e-9).all()
    assert bound.centre.max() < 1.2


@pytest.mark.parametrize(
    "make", [semi_trailing, lambda: steered(three_link()), lambda: steered(semi_trailing())]
)
def test_arms_and_kingpins_keep_within_their_bounds(make: type[Axle]) -> None:
    axle, rng, step = make(), np.random.default_rng(5), 0.05
    turns = isinstance(axle, Steered)
    cell = Cell((40, 50), (-50, -40), (-25, 30) if turns else (0, 0))
    bound = axle.motion_bound(cell)
    seen = np.zeros((3, 2, 3))
    for _ in range(60):
        at = rng.uniform([40, -50, -25], [50 - step, -40 - step, 30 - step])
        at[2] *= turns
        pose = axle.pose(*at)
        for k in range(3 if turns else 2):
            other = axle.pose(*(at + step * (np.arange(3) == k)))
            for side in (LEFT, RIGHT):
                a, b = pose.wheels[side], other.wheels[side]
                seen[0, side, k] = max(seen[0, side, k], np.linalg.norm(b.origin - a.origin) / step)
                turn = np.linalg.norm(rotation_rate(pose, other, side, step))
                seen[1, side, k] = max(seen[1, side, k], turn)
                tilt = np.linalg.norm(b.turn[:, 1] - a.turn[:, 1]) / step
                seen[2, side, k] = max(seen[2, side, k], tilt)
    for values, most in zip(seen, (bound.centre, bound.turn, bound.tilt), strict=True):
        assert (values <= most + 1e-7).all()
    # not idle: as close as above, and the kingpin's chord, 44 mm at 0.0009 rad per mm
    assert (bound.centre <= seen[0] * 1.05 + 0.06 + 0.04).all()


# Standard poses and the demo car


def test_standard_poses_have_names_and_keep_to_the_stops() -> None:
    own = Travels("kerb", 60, 10)
    poses = {p.name: (p.left, p.right) for p in standard_poses(Stops(95, 85), (own,))}
    assert len(poses) == 8
    assert poses["ride"] == (0, 0)
    assert poses["both in bump"] == (95, 95)
    assert poses["both in droop"] == (-85, -85)
    assert poses["left wheel in bump"] == (95, 0)
    assert poses["cross-axled, right up"] == (-85, 95)
    assert poses["kerb"] == (60, 10)
    assert len(standard_poses(Stops(95, 85, 35))) == 21


@pytest.mark.parametrize(
    ("own", "words"),
    [
        (Travels("kerb", 96, 0), "left 96 mm is past the stops; write -85 to 95"),
        (Travels("kerb", 0, -90), "right -90 mm is past the stops"),
        (Travels("kerb", 0, 0, 3), "steer 3° is past the lock"),
        (Travels("ride", 0, 0), "a pose 'ride' already"),
    ],
)
def test_a_pose_past_the_stops_is_refused(own: Travels, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        standard_poses(Stops(95, 85), (own,))


def test_the_demo_car_with_one_wheel_up_leans_and_hardly_shifts() -> None:
    axle = four_link()
    for travels in standard_poses(Stops(95, 85)):
        pose = axle.pose(travels.left, travels.right)
        assert pose.worst_residual < 0.01
        assert -9 < pose.shift_back <= 1e-9
        assert abs(pose.shift_right) < 7
        gap = np.linalg.norm(pose.right.origin - pose.left.origin)
        assert gap == pytest.approx(1520, abs=1e-9)
    up = axle.pose(95, 0)
    assert up.roll_deg == pytest.approx(-3.58, abs=0.005)  # asin(95 / 1520)
    assert up.yaw_deg < 0  # the left wheel's links are steepest: it comes forward
