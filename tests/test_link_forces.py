"""Forces in links: a published sheet, hand statics, virtual work, a stiffness model of springs."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import numpy as np
import pytest
from axles_on_links import (
    SHEETS,
    bar,
    demo_car,
    ladder,
    pair,
    splayed,
    three_link,
    wheels,
)
from scipy.spatial.transform import Rotation

from parts.tables import UnknownName
from parts.trade.axle import Kingpin, Link, LiveAxle, Steered, Stops, Travels
from parts.trade.links import (
    Car,
    CaseForces,
    Line,
    Load,
    LoadCase,
    Moment,
    balance,
    force_table,
    forces_of,
    link_forces,
    link_geometry,
    load_case,
    load_cases,
    moments,
    shared,
    stand,
    tyre_loads,
    worst,
    worst_figures,
)

G = 9.80665
STOPS = Stops(95, 85)
CAR = Car(1420, 0.46, 2700, 560, 331)
LIVE = {"four": demo_car, "three": three_link, "splayed": splayed}


def at(*xyz: float) -> np.ndarray:
    return np.array(xyz, dtype=float)


def load(force: tuple[float, ...], point: tuple[float, ...]) -> Load:
    return Load(at(*force), at(*point), np.zeros(3))


def both(force: tuple[float, ...], half: float, height: float) -> tuple[Load, Load]:
    return tuple(load(force, (0, s * half, height)) for s in (-1, 1))


def named(found: CaseForces) -> dict[str, float]:
    return {link.name: link.force_n for link in found.links}


# Published and hand statics


def test_a_published_sheet_has_the_same_force_in_its_upper_links() -> None:
    # scribd.com document 485520683: 21303.265 lb of tension, (20618.182, 5345.455, 381.818), in
    # each upper link. Its load is not printed in words; 3 times the car's 4200 lb of thrust on
    # each side is the one that gives it (20618.182 x 11 / 18 = 12600.000).
    sheet = SHEETS["inch, 120 wheelbase"]
    found = balance(sheet.axle(), 0, 0, both((-12600, 0, 0), 30, 0), ())
    for link in found.links[2:]:
        assert link.force_n == pytest.approx(21303.265, abs=0.001)
        size = [abs(link.force_n * way) for way in link.way]
        assert size == pytest.approx([20618.182, 5345.455, 381.818], abs=0.001)
    # lower: thrust and the upper link's pull together, on a line 54 : -4 : 7
    wanted = -(12600 + 20618.182) * np.sqrt(54**2 + 4**2 + 7**2) / 54
    for link in found.links[:2]:
        assert link.force_n == pytest.approx(wanted, abs=0.01)


def test_level_links_share_the_thrust_by_the_lever() -> None:
    # common practice: lower = F z_u / (z_u - z_l), upper = lower - F; heights 290 and 470
    lower = pair("lower", (-628, 450, 290), (-68, 450, 290))
    upper = pair("upper", (-612, 450, 470), (-52, 450, 470))
    axle = LiveAxle((*lower, *upper, bar(331)), *wheels(331))
    found = named(balance(axle, 0, 0, both((-5000, 0, 0), 760, 0), ()))
    push = 5000 * 470 / 180
    assert found["lower left"] == pytest.approx(-push)
    assert found["lower right"] == pytest.approx(-push)
    assert found["upper left"] == pytest.approx(push - 5000)
    assert found["upper right"] == pytest.approx(push - 5000)
    assert found["lateral bar"] == pytest.approx(0, abs=1e-6)


def test_a_side_force_at_the_bar_s_height_is_the_bar_s_alone() -> None:
    found = balance(demo_car(), 0, 0, (load((0, 3000, 0), (0, 700, 331)),), ())
    assert named(found) == pytest.approx(
        {"lower left": 0, "lower right": 0, "upper left": 0, "upper right": 0, "lateral bar": 3000},
        abs=1e-6,
    )  # its chassis end is on the left: a push to the right pulls it


def test_springs_behind_the_axle_twist_it_and_the_links_hold_the_twist() -> None:
    # by hand: 4000 N up at each contact, springs 100 behind; the couple of 400000 N mm a side is
    # held by level links 180 apart
    lower = pair("lower", (-628, 450, 290), (-68, 450, 290))
    upper = pair("upper", (-612, 450, 470), (-52, 450, 470))
    axle = LiveAxle((*lower, *upper, bar(331)), *wheels(331))
    springs = tuple(
        Link(f"{name} spring", (100, s * 500, 800), (100, s * 500, 400))
        for name, s in (("left", -1), ("right", 1))
    )
    found = balance(axle, 0, 0, both((0, 0, 4000), 760, 0), springs)
    assert dict(found.springs) == pytest.approx({"left spring": 4000, "right spring": 4000})
    couple = 4000 * 100 / 180
    assert named(found)["upper left"] == pytest.approx(couple)
    assert named(found)["lower right"] == pytest.approx(-couple)


def test_where_upright_springs_stand_across_changes_no_link() -> None:
    def springs(half: float) -> tuple[Link, Link]:
        return tuple(Link(f"{s}", (0, s * half, 900), (0, s * half, 331)) for s in (-1.0, 1.0))

    loads = (load((-4000, 900, 5000), (0, -760, 0)), load((-3000, 700, 2500), (0, 760, 0)))
    narrow, wide = (named(balance(three_link(), 0, 0, loads, springs(h))) for h in (350, 760))
    assert narrow == pytest.approx(wide, abs=1e-6)
    assert narrow == pytest.approx(named(balance(three_link(), 0, 0, loads, ())), abs=1e-6)


# Independent: equilibrium, virtual work, stiffness


LOADS = (
    load((-6000, 2500, 7000), (0, -760, 0)),
    load((-2000, 1500, 3000), (0, 760, 0)),
    Load(at(0, 0, -500), at(20, 100, 400), at(2e5, -1e5, 3e5)),
)
SPRINGS = tuple(
    Link(f"{name} spring", (60, s * 420, 820), (40, s * 520, 380))
    for name, s in (("left", -1), ("right", 1))
)


def five_links() -> tuple[Link, ...]:
    lower = pair("lower", (-628, 450, 300), (-68, 450, 290))
    upper = pair("upper", (-612, 420, 480), (-52, 420, 470))
    middle = Link("torque link", (-600, 55, 450), (-40, 55, 440))
    return (*lower, *upper, middle)


def fighting() -> LiveAxle:
    """Links to spare that bind in roll: a fifth one, neither parallel nor as long."""
    odd = Link("torque link", (-700, 50, 420), (-30, 60, 440))
    return LiveAxle((*five_links()[:4], odd, bar(331)), *wheels(331))


@pytest.mark.parametrize(
    "make", [*LIVE.values(), ladder, fighting], ids=[*LIVE, "ladder", "fighting"]
)
@pytest.mark.parametrize("travels", [(0.0, 0.0), (20.0, -25.0), (28.0, 28.0)])
def test_the_forces_balance_in_all_six_ways(make, travels) -> None:
    axle = make()
    moved = axle.pose(*travels).carried[0]
    found = balance(axle, *travels, LOADS, SPRINGS)
    force, couple = np.zeros(3), np.zeros(3)
    ends = [link.axle for link in axle.links] + [a.pivot for a in axle.arms for _ in a.holds]
    for link, end in zip(found.links, ends, strict=True):
        pull = link.force_n * np.array(link.way)
        force += pull
        couple += np.cross(moved.apply(end), pull)
    for spring, (_, push) in zip(SPRINGS, found.springs, strict=True):
        foot = moved.apply(spring.axle)
        pushed = push * (foot - np.array(spring.chassis))
        pushed /= np.linalg.norm(foot - np.array(spring.chassis))
        force += pushed
        couple += np.cross(foot, pushed)
    for one in LOADS:
        force += one.force_n
        couple += np.cross(one.at, one.force_n) + one.couple_nmm
    assert force == pytest.approx(0, abs=1e-6)
    assert couple == pytest.approx(0, abs=1e-2)


@pytest.mark.parametrize("make", LIVE.values(), ids=LIVE)
@pytest.mark.parametrize("travels", [(0.0, 0.0), (60.0, -45.0)])
def test_whatever_small_way_the_axle_is_moved_the_forces_do_no_work(make, travels) -> None:
    # link forces against the differences of link lengths; the displacement keeps no link
    axle = make()
    moved = axle.pose(*travels).carried[0]
    found = balance(axle, *travels, LOADS, SPRINGS)
    forces = named(found) | {name: -push for name, push in found.springs}
    rng, step = np.random.default_rng(2), 1e-3
    for _ in range(6):
        shift, spin = rng.normal(size=3), rng.normal(size=3) / 500

        def displaced(point, s, shift=shift, spin=spin) -> np.ndarray:
            turn = Rotation.from_rotvec(spin * s)
            return turn.apply(point) + shift * s

        work = 0.0
        for link in (*axle.links, *SPRINGS):
            lengths = [
                np.linalg.norm(displaced(moved.apply(link.axle), s) - np.array(link.chassis))
                for s in (-step, step)
            ]
            work -= forces[link.name] * (lengths[1] - lengths[0])
        size = 0.0
        for one in LOADS:
            slid = displaced(one.at, step) - displaced(one.at, -step)
            done = one.force_n @ slid + one.couple_nmm @ spin * 2 * step
            size, work = size + abs(done), work + done
        assert abs(work) < 1e-6 * size


def test_links_to_spare_share_as_equally_stiff_ones_under_soft_springs() -> None:
    # an elastic axle: links of one stiffness, springs a millionth of it, all six ways free
    # (links all parallel, so that they do not fight each other as the springs give)
    axle = LiveAxle((*five_links(), bar(331)), *wheels(331))
    lines, stiffness = [], []
    for link in (*axle.links, *SPRINGS):
        way = np.subtract(link.chassis, link.axle) / link.length
        lines.append([*way, *np.cross(link.axle, way)])
        stiffness.append(1.0 if link in axle.links else 1e-6)
    matrix, soft = np.array(lines).T, np.diag(stiffness)
    weight = np.zeros(6)
    for one in LOADS:
        weight += [*one.force_n, *(np.cross(one.at, one.force_n) + one.couple_nmm)]
    wanted = -soft @ matrix.T @ np.linalg.solve(matrix @ soft @ matrix.T, weight)
    found = balance(axle, 0, 0, LOADS, SPRINGS)
    assert found.spare == 2
    assert list(named(found).values()) == pytest.approx(list(wanted[:6]), rel=2e-3, abs=2)
    assert [-push for _, push in found.springs] == pytest.approx(list(wanted[6:]), rel=2e-3)


@pytest.mark.parametrize("make", [fighting, ladder])
def test_links_that_bind_in_roll_leave_a_roll_to_the_springs(make) -> None:
    # by hand: springs 1520 apart hold 1.52e6 N mm with 1000 N each
    rolled = Load(np.zeros(3), np.zeros(3), at(1.52e6, 0, 0))
    found = balance(make(), 0, 0, (rolled,), ())
    assert list(named(found).values()) == pytest.approx([0] * len(found.links), abs=1e-6)
    assert dict(found.springs) == pytest.approx({"left spring": -1000, "right spring": 1000})


def test_two_links_side_by_side_carry_half_each() -> None:
    twin = replace(bar(331), name="twin")
    axle = LiveAxle((*demo_car().links, twin), *wheels(331))
    found = balance(axle, 0, 0, (load((0, 3000, 0), (0, 0, 331)),), ())
    assert (named(found)["lateral bar"], named(found)["twin"]) == pytest.approx((1500, 1500))
    assert found.spare == 2  # the demo car's own fourth side link, and this


@pytest.mark.parametrize("make", LIVE.values(), ids=LIVE)
@pytest.mark.parametrize("travel", [0.0, 60.0])
def test_anti_squat_by_force_is_anti_squat_by_geometry(make, travel: float) -> None:
    # thrust F shifts F h / l onto the axle; what of that the springs do not feel is anti-squat
    axle, thrust = make(), 6000.0
    pose = axle.pose(travel, travel)
    shifted = thrust * CAR.mass_height / CAR.wheelbase
    feet = [wheel.origin - at(0, 0, 331) for wheel in pose.wheels]
    loads = tuple(Load(at(-thrust / 2, 0, shifted / 2), foot, np.zeros(3)) for foot in feet)
    felt = sum(push for _, push in balance(axle, travel, travel, loads, ()).springs)
    geometry = link_geometry(axle, CAR, Travels("", travel, travel))
    assert 100 * (1 - felt / shifted) == pytest.approx(geometry.drive.links, abs=1e-6)


def test_anti_squat_by_force_with_the_torque_on_the_body_is_that_from_the_wheel_centre() -> None:
    body = replace(CAR, drive_on_axle=False)
    case = load_case("pulling away", shock=1.0)
    moment = Moment(case, Travels("ride", 0.0, 0.0))
    for car, which in ((CAR, "links"), (body, "body")):
        found = forces_of(three_link(), car, moment)
        both_n = sum(push for _, push in found.springs)
        upright = sum(one.force_n[2] for one in tyre_loads(car, moment, three_link().pose(0, 0)))
        shifted = upright - 0.46 * 1420 * G
        anti = getattr(link_geometry(three_link(), car, moment.travels).drive, which)
        assert 100 * (upright - both_n) / shifted == pytest.approx(anti, abs=1e-6)


def test_a_ladder_bar_s_pivot_takes_the_axle_s_torque_upright() -> None:
    # by hand: 3000 N of thrust on a side, 300 below the pivot 900 ahead; the pivot pushes the
    # axle down by 3000 x 300 / 900, the chassis up by as much
    found = named(balance(ladder(), 0, 0, both((-3000, 0, 0), 760, 0), ()))
    assert found["arm left (fore and aft)"] == pytest.approx(-3000)
    assert found["arm right (up and down)"] == pytest.approx(3000 * 300 / 900)


# A load that nothing carries


@pytest.mark.parametrize(
    ("force", "point", "words"),
    [
        ((0, 100, 0), (0, 0, 331), "no link carries the load sideways"),
        ((0, 0, 100), (0, 0, 331), "no spring carries the load up and down"),
    ],
)
def test_a_load_that_nothing_carries_is_refused_with_its_direction(force, point, words) -> None:
    held = tuple(
        Line(name, at(0, y, z), at(-1, 0, 0))
        for name, y, z in (("a", -400, 290), ("b", 400, 290), ("c", 0, 470))
    )
    how = stand(held, (), np.zeros((0, 6)), at(0, 0, 331), 760.0)
    assert shared(how, (load((-90, 0, 0), (0, 0, 290)),)).links  # fore and aft is held
    with pytest.raises(ValueError, match=words):
        shared(how, (load(force, point),))


def test_one_spring_in_the_middle_carries_no_roll() -> None:
    spring = (Link("spring", (0, 0, 900), (0, 0, 331)),)
    with pytest.raises(ValueError, match="no spring carries the load in roll"):
        balance(three_link(), 0, 0, (load((0, 0, 2000), (0, 760, 0)),), spring)


def test_an_axle_that_no_link_holds_sideways_is_refused_before_any_force() -> None:
    with pytest.raises(ValueError, match="free to move sideways"):
        LiveAxle(three_link().links[:3], *wheels(331))


# Load cases


def row(**changes) -> LoadCase:
    usual = {"name": "own", "upright": 1, "along": 0, "across": 0, "of": "grip", "shock": 1,
             "torque": "none", "wheels": "both", "lock": False, "poses": "all",
             "source": "a test"}  # fmt: skip
    return LoadCase(**(usual | changes))


def loads_of(case: LoadCase, car: Car = CAR, side: int | None = None) -> list[np.ndarray]:
    moment = Moment(case, Travels("ride", 0.0, 0.0), side)
    return [one.force_n for one in tyre_loads(car, moment, demo_car().pose(0, 0))]


def test_every_case_names_its_source_and_a_shock_of_one_or_more() -> None:
    found = load_cases()
    assert len({case.name for case in found}) == len(found) > 10
    assert all(case.shock >= 1 and case.source for case in found)
    assert load_case("braking", shock=2.5).shock == 2.5
    with pytest.raises(UnknownName, match="did you mean braking"):
        load_case("breaking")


def test_a_driven_axle_grips_with_the_load_its_own_thrust_puts_on_it() -> None:
    # by hand: N = share m g / (1 - mu h / l), thrust = mu N
    left, right = loads_of(row(along=1, torque="drive"))
    upright = 0.46 * 1420 * G / (1 - 560 / 2700)
    assert left == pytest.approx([-upright / 2, 0, upright / 2])
    assert left == pytest.approx(right)
    # backwards the axle is unloaded: 1 + mu h / l
    left, _ = loads_of(row(along=-1, torque="drive"))
    assert left[0] == pytest.approx(0.46 * 1420 * G / (1 + 560 / 2700) / 2)


def test_an_axle_that_does_half_the_driving_gains_twice_the_load_for_its_thrust() -> None:
    # by hand: the car pulls with 2 mu N, so N = share m g / (1 - 2 mu h / l)
    left, _ = loads_of(row(along=1, torque="drive"), replace(CAR, drive_share=0.5))
    assert left[2] == pytest.approx(0.46 * 1420 * G / (1 - 2 * 560 / 2700) / 2)


def test_a_braked_rear_axle_grips_with_what_is_left_on_it() -> None:
    # by hand: all wheels brake at grip 0.9: N = m g (share - 0.9 h / l)
    left, _ = loads_of(row(along=-1, torque="brake"), replace(CAR, grip=0.9))
    upright = 1420 * G * (0.46 - 0.9 * 560 / 2700)
    assert left == pytest.approx([0.9 * upright / 2, 0, upright / 2])
    front = Car(1420, 0.54, 2700, 560, 331, end="front")
    left, _ = loads_of(row(along=-1, torque="brake"), front)
    assert left[2] == pytest.approx(1420 * G * (0.54 + 560 / 2700) / 2)


def test_a_bend_loads_the_outer_tyre_and_never_pulls_on_the_ground() -> None:
    # by hand: force to the right, as in a right-hand bend; the left tyre gains N h / track
    left, right = loads_of(row(across=1))
    upright = 0.46 * 1420 * G
    moved = upright * 560 / 1520
    assert left[2] == pytest.approx(upright / 2 + moved)
    assert right[2] == pytest.approx(upright / 2 - moved)
    assert left[1] / left[2] == pytest.approx(1.0)
    _, right = loads_of(row(across=1), replace(CAR, mass_height=900))
    assert right == pytest.approx([0, 0, 0], abs=1e-9)


def test_a_bump_under_one_wheel_leaves_the_other_standing() -> None:
    stood = 0.46 * 1420 * G / 2
    left, right = loads_of(row(upright=3, wheels="one", along=-1), side=0)
    assert left == pytest.approx([3 * stood, 0, 3 * stood])
    assert right == pytest.approx([0, 0, stood])
    # a step: 4.5 times the load, whatever the grip
    left, _ = loads_of(row(wheels="one", along=-4.5, of="load"), replace(CAR, grip=0.5), side=0)
    assert left == pytest.approx([4.5 * stood, 0, stood])


@pytest.mark.parametrize(
    ("torque", "car"),
    [
        ("none", CAR),
        ("drive", replace(CAR, drive_on_axle=False)),
        ("brake", replace(CAR, brakes_on_axle=False)),
    ],
)
def test_torque_that_the_axle_does_not_take_leaves_the_force_at_the_wheel_centre(
    torque, car
) -> None:
    case = row(along=-1, torque=torque)
    moment = Moment(case, Travels("ride", 0.0, 0.0))
    for one in tyre_loads(car, moment, demo_car().pose(0, 0)):
        at_centre = np.cross(one.at - at(0, one.at[1], 331), one.force_n) + one.couple_nmm
        assert at_centre == pytest.approx([0, 0, 0], abs=1e-6)
    taken = tyre_loads(CAR, Moment(row(along=-1, torque="brake"), moment.travels),
                       demo_car().pose(0, 0))  # fmt: skip
    assert taken[0].couple_nmm == pytest.approx([0, 0, 0])


def steered() -> Steered:
    pins = (Kingpin((-8, s * 690, 240), (12, s * 660, 420)) for s in (-1, 1))
    return Steered(three_link(), *pins)


def test_at_full_lock_the_brakes_push_along_the_turned_wheels() -> None:
    axle, stops = steered(), Stops(60, 50, 30)
    front = Car(1420, 0.54, 2700, 560, 331, end="front")
    case = load_case("braking at full lock")
    found = moments(case, stops)
    assert {m.travels.steer_deg for m in found} == {30, -30}
    assert not moments(case, Stops(60, 50))
    moment = next(m for m in found if m.travels.name == "ride, left lock")
    left, right = tyre_loads(front, moment, axle.pose(0, 0, 30))
    for one in (left, right):
        # steered left: backwards is rearward and to the right
        heading = np.degrees(np.arctan2(one.force_n[1], one.force_n[0]))
        assert heading == pytest.approx(30, abs=1.0)  # the kingpins lean a little
    straight = forces_of(axle, front, Moment(row(along=-1, torque="brake"), Travels("", 0, 0)))
    turned = forces_of(axle, front, moment)
    assert abs(named(straight)["lateral bar"]) < 0.2 * abs(named(turned)["lateral bar"])
    assert len(link_forces(axle, front, stops, cases=[case])) == len(found)


def test_the_worst_of_a_link_is_the_largest_of_its_cases_and_says_which() -> None:
    forces = link_forces(three_link(), CAR, STOPS)
    found = {one.name: one for one in worst(forces)}
    assert set(found) == {"lower left", "lower right", "upper", "lateral bar"}
    for name, one in found.items():
        every = {f.name: named(f)[name] for f in forces}
        assert one.tension_n == max(every.values()) == every[one.tension_case]
        assert -one.compression_n == min(every.values()) == every[one.compression_case]
        assert one.most_n == max(map(abs, every.values()))
    assert found["upper"].tension_case.startswith("pulling away")
    assert "bend" in found["lateral bar"].tension_case
    texts = [str(figure) for figure in worst_figures(worst(forces))]
    assert len(texts) == 8


def test_a_pose_of_one_s_own_is_looked_at_too() -> None:
    kerb = Travels("kerb", 60, 10)
    case = load_case("braking")
    plain, more = (moments(case, STOPS, own) for own in ((), (kerb,)))
    assert [m.name for m in more[len(plain) :]] == ["braking, kerb"]
    assert link_forces(three_link(), CAR, STOPS, cases=[case], own=(kerb,))[-1].travels == "kerb"


def test_shock_multiplies_every_force() -> None:
    one, three = (
        link_forces(three_link(), CAR, STOPS, cases=[row(along=0.5, torque="drive", shock=shock)])
        for shock in (1, 3)
    )
    for plain, shaken in zip(one, three, strict=True):
        assert list(named(shaken).values()) == pytest.approx(
            [3 * force for force in named(plain).values()]
        )


def test_an_axle_that_is_not_driven_has_no_driving_cases() -> None:
    dead = replace(CAR, drive_share=0.0)
    cases = {one.case for one in link_forces(three_link(), dead, STOPS)}
    assert "braking" in cases
    assert not [case for case in cases if case.startswith("pulling")]


def test_bump_stops_take_the_springs_place_in_a_bump() -> None:
    bumps = tuple(Link(f"{s} stop", (0, s * 300, 700), (0, s * 300, 400)) for s in (-1, 1))
    forces = link_forces(three_link(), CAR, STOPS, SPRINGS, bumps)
    for one in forces:
        on_stops = one.case.startswith("bump")
        assert one.springs[0][0].endswith("stop" if on_stops else "spring")


def test_the_table_of_forces_has_a_row_for_each_case_and_says_when_links_are_to_spare() -> None:
    forces = link_forces(demo_car(), CAR, STOPS)
    table = force_table(forces)
    assert len(table.rows) == len({one.case for one in forces})
    assert table.columns[-1] == "lateral bar"
    assert "equally stiff" in table.source
    assert "equally" not in force_table(link_forces(three_link(), CAR, STOPS)).source
    largest = max(abs(link.force_n) for one in forces for link in one.links)
    assert max(abs(value) for _, values in table.rows for value in values) == largest


def test_the_direction_of_a_link_is_told_in_the_axle_s_own_axes_too() -> None:
    (one,) = link_forces(
        three_link(), CAR, Stops(80, 80), cases=[row(name="own", upright=2, poses="bump")]
    )
    moved = three_link().pose(80, 80).carried[0]
    for link, force in zip(three_link().links, one.links, strict=True):
        back = moved.inverse().apply(link.chassis) - np.array(link.axle)
        assert force.way_on_axle == pytest.approx(tuple(back / link.length), abs=1e-9)
    assert hypot(*one.links[0].way) == pytest.approx(1)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"torque": "motor"}, "torque is 'motor'; write one of drive, brake, none"),
        ({"upright": -1}, "write upright as 0 or more and shock above 0"),
    ],
)
def test_a_case_that_cannot_be_is_refused(wrong, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        row(**wrong)
