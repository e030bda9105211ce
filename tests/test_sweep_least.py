"""The least clearance over all travel: motions between poses, and the bound against 10^5 random
poses that had no part in finding it."""

from __future__ import annotations

import numpy as np
import pytest
from sweeps import MOTIONS, TYRE, half_profile, off_profile, rectangle, straight, towards, tub

from parts.place import turned_about
from parts.trade.sweep import Block, Plate, Rolled, Spot, Surface, Wheel, clearances, least, motion
from parts.trade.sweep.creep import Creep

WHEEL = Wheel(TYRE)
POSES = 100_000


def moving(name: str, share: float = 1.0):
    pose, ends = MOTIONS[name]
    return motion(pose, -share * ends, share * ends, WHEEL.reach)


@pytest.mark.parametrize("name", MOTIONS)
def test_stray_is_honest_at_random_travels(name: str) -> None:
    r = np.random.default_rng(1)
    pose, ends = MOTIONS[name]
    m = moving(name)
    assert m.stray < 1e-3
    travels = r.uniform(-ends, ends, (400, len(ends)))
    found = zip(*m.at(travels), strict=True)
    for t, (center, axis) in zip(travels, found, strict=True):
        c, a = pose(t)
        error = np.linalg.norm(center - c) + WHEEL.reach * np.linalg.norm(axis - a)
        assert error <= 1.5 * m.stray + 1e-9


def test_stray_shows_what_three_poses_cannot_follow() -> None:
    pose, ends = MOTIONS["steered"]
    coarse = motion(pose, -ends, ends, WHEEL.reach, points=3)
    r = np.random.default_rng(2)
    travels = r.uniform(-ends, ends, (2000, 2))
    centers, axes = coarse.at(travels)
    exact = [np.array(v) for v in zip(*(pose(t) for t in travels), strict=True)]
    error = np.linalg.norm(centers - exact[0], axis=1)
    error += WHEEL.reach * np.linalg.norm(axes - exact[1], axis=1)
    assert 0.05 < error.max() <= 1.2 * coarse.stray


@pytest.mark.parametrize("name", MOTIONS)
def test_no_point_of_the_tyre_outruns_the_rates(name: str) -> None:
    r = np.random.default_rng(3)
    m = moving(name)
    one = r.uniform(m.low, m.high, (POSES, len(m.low)))
    step = (
        (m.high - m.low)
        * r.choice([1e-3, 0.03, 1], (POSES, 1))
        * r.uniform(-1, 1, (POSES, len(m.low)))
    )
    two = np.clip(one + step, m.low, m.high)
    (c1, a1), (c2, a2) = m.at(one), m.at(two)
    moves, turns = m.rates
    over = np.abs(two - one)
    assert (np.linalg.norm(c2 - c1, axis=1) <= over @ moves + 1e-9).all()
    turned = 2 * np.arcsin(np.minimum(np.linalg.norm(a2 - a1, axis=1) / 2, 1))
    assert (turned <= over @ turns + 1e-9).all()
    ways = r.normal(size=(POSES, 3))
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    assert (np.abs(((c2 - c1) * ways).sum(axis=1)) <= m.drift(ways, over) + 1e-9).all()
    few = slice(None, None, 5)
    swing = m.swing(ways[few], m.slopes(one[few]), over[few]).sum(axis=1) + m.uneven
    assert (np.abs(((a2 - a1) * ways).sum(axis=1))[few] <= swing + 1e-9).all()


@pytest.mark.parametrize("name", MOTIONS)
def test_no_tyre_reaches_further_than_it_may_creep(name: str) -> None:
    r = np.random.default_rng(4)
    m = moving(name)
    shape = (30_000, len(m.low))
    middles = r.uniform(m.low, m.high, shape)
    sizes = r.choice([1e-4, 1e-2, 0.2], (len(middles), 1))
    halves = (m.high - m.low) * sizes * r.uniform(size=shape)
    halves = np.minimum(halves, np.minimum(middles - m.low, m.high - middles))
    travels = middles + halves * r.choice([-1, 1, 0.6], shape)
    (c1, a1), (c2, a2) = m.at(middles), m.at(travels)
    tilt = r.choice([0, 1e-6, 1e-2, 1], (len(middles), 1))
    ways = r.choice([-1, 1], (len(middles), 1)) * a1 + tilt * r.normal(size=c1.shape)
    ways[::2] = np.cross(ways[::2], r.normal(size=(len(ways[::2]), 3)))
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    y, q = half_profile(TYRE).T

    def reach(c: np.ndarray, a: np.ndarray) -> np.ndarray:
        s = np.clip((a * ways).sum(axis=1), -1, 1)[:, None]
        return (c * ways).sum(axis=1) + (y * s + q * np.sqrt(1 - s * s)).max(axis=1)

    further = reach(c2, a2) - reach(c1, a1)
    most = Creep(WHEEL, m, middles, halves, c1, a1).along(np.arange(len(ways)), ways)
    assert (further <= most + 1e-5).all()  # the root loses half the digits near the axis
    moves, turns = m.rates
    least_clever = halves @ (moves + WHEEL.reach * turns)
    assert np.median(most / np.maximum(least_clever, 1e-9)) < 0.9


def test_rates_hold_where_too_few_poses_leave_the_axis_short() -> None:
    # three poses over a quarter turn: between them the interpolated axis is well under unit
    def quarter(t):
        return np.zeros(3), turned_about([0, 0, 1], t[0]) @ [1.0, 0, 0]

    m = motion(quarter, np.array([-45.0]), np.array([45.0]), WHEEL.reach, points=3)
    t = np.linspace(-45, 45, 100_001)[:, None]
    axes = m.at(t)[1]
    fastest = np.linalg.norm(np.diff(axes, axis=0), axis=1).max() / (90 / 100_000)
    assert fastest <= m.rates[1][0]
    assert m.stray > 1


def setup(seed: int) -> tuple[str, list[Surface]]:
    """A motion, and surfaces somewhere round the tyre, all apart from it at ride."""
    r = np.random.default_rng(seed)
    name = list(MOTIONS)[seed % len(MOTIONS)]
    center, axis = MOTIONS[name][0](np.zeros(len(MOTIONS[name][1])))
    found: list[Surface] = []
    while len(found) < 3:
        out = towards(r.normal(size=3))
        at = center + out * WHEEL.extent(axis[None], out[None])[0] + out * r.uniform(50, 130)
        u = towards(np.cross(out, r.normal(size=3)))
        v = np.cross(out, u)
        corners = np.array([[x, y, z] for x in (0, 1) for y in (-1, 1) for z in (-1, 1)])
        turned = corners @ np.array([out * 40, u * 80, v * 150]) * r.uniform(0.9, 1.1, (8, 1))
        middle = center + r.normal(size=3) * 20
        found.append(
            [
                rectangle(at, u * r.uniform(50, 400), v * r.uniform(50, 400)),
                Block.around(at + turned),
                Spot(at, float(r.uniform(0, 20))),
                Rolled(
                    middle, axis, out - (out @ axis) * axis, 450.0, -100.0, 100.0, -180.0, 160.0
                ),
            ][r.choice(4, p=[0.4, 0.3, 0.2, 0.1])]
        )
    return name, found


def parted(
    surface: Surface, centers: np.ndarray, axes: np.ndarray, gap: float, way: np.ndarray
) -> np.ndarray:
    """Whether one of a few planes keeps a surface that far from each tyre, by its corners."""
    y, r = half_profile(TYRE).T
    if isinstance(surface, Rolled):
        middles = centers[:, None] - surface.point + y[:, None] * axes[:, None]
        off = np.linalg.norm(np.cross(middles, surface.axis), axis=-1)
        return np.asarray(surface.radius - (off + r).max(axis=1) > gap)
    points = surface.point[None] if isinstance(surface, Spot) else surface.corners
    ways = [way, towards(points.mean(axis=0) - centers.mean(axis=0))]
    for face in surface.faces if isinstance(surface, Block) else [surface]:
        if isinstance(face, Plate):
            ways += [face.normal, -face.normal]
    clear = np.zeros(len(centers), dtype=bool)
    for way in ways:
        along = np.clip(axes @ way, -1, 1)[:, None]
        tyre = centers @ way + (along * y + np.sqrt(1 - along**2) * r).max(axis=1)
        clear |= (points @ way).min() - getattr(surface, "radius", 0.0) - tyre > gap
    return clear


@pytest.mark.parametrize("seed", range(18))
def test_random_poses_never_beat_the_bound(seed: int) -> None:
    name, surfaces = setup(seed)
    m = moving(name, 0.6)
    found = least(WHEEL, m, surfaces)
    floor = found.clearance - found.may_miss
    r = np.random.default_rng(seed)
    travels = r.uniform(m.low, m.high, (POSES, len(m.low)))
    close = found.travels + (m.high - m.low) * r.normal(size=(POSES // 5, len(m.low))) / 100
    travels = np.clip(np.vstack([travels, close]), m.low, m.high)
    centers, axes = m.at(travels)
    # and what was found is so: at these travels, that point, by shapely
    (center,), (axis,) = m.at(found.travels[None])
    off = off_profile(TYRE, center, axis, found.at[None])[0]
    steps = np.vstack([np.eye(3), -np.eye(3)]) * 1e-3
    beside = off_profile(TYRE, center, axis, found.at + steps)
    way = towards(beside[:3] - beside[3:])
    for surface in surfaces:
        rest = np.flatnonzero(~parted(surface, centers, axes, floor, way))
        if isinstance(surface, Rolled):
            rest = rest[-POSES // 4 :]  # dear to measure; the last are those near the least
        for some in np.array_split(rest, 1 + len(rest) // 2000):
            gaps, _ = surface.clearance(WHEEL, centers[some], axes[some])
            assert gaps.min(initial=np.inf) >= floor
    assert found.may_miss <= max(0.1, 0.05 * -found.clearance + 0.01)
    assert found.poses < 3000
    spots = [s.radius for s in surfaces if isinstance(s, Spot) and np.allclose(s.point, found.at)]
    assert found.clearance == pytest.approx(off - max([0.0, *spots]), abs=1e-6)


def test_the_tub_of_a_live_axle_needs_few_poses() -> None:
    m = moving("live")
    for name, surface in tub().items():
        found = least(WHEEL, m, [surface])
        assert found.poses < 400, name
        assert found.may_miss <= 0.1


def test_a_disc_the_wheel_slides_along_takes_a_handful_of_poses() -> None:
    # straight up and down 45 off a wall: the tyre is 120 half wide, the wall 165 from its centre
    wall = tub()["disc"]
    for name in ("straight", "idle"):
        found = least(WHEEL, moving(name), [wall])
        assert found.clearance == pytest.approx(45, abs=1e-9)
        assert found.poses < 12


def test_a_travel_locked_at_one_place_is_no_travel() -> None:
    pose, _ = MOTIONS["live"]
    locked = motion(pose, np.array([-90.0, 30]), np.array([90.0, 30]), WHEEL.reach)
    one = motion(lambda t: pose(np.array([t[0], 30])), np.array([-90.0]), np.array([90.0]), 340.0)
    surfaces = list(tub().values())
    found, alone = least(WHEEL, locked, surfaces), least(WHEEL, one, surfaces)
    assert found.clearance == pytest.approx(alone.clearance, abs=0.2)
    assert found.travels[1] == 30
    still = motion(pose, np.array([10.0, 30]), np.array([10.0, 30]), WHEEL.reach)
    gaps, _ = clearances(WHEEL, still, surfaces, np.array([[10.0, 30]]))
    assert least(WHEEL, still, surfaces).clearance == pytest.approx(gaps[0])
    assert least(WHEEL, still, surfaces).poses <= 2


def test_a_least_in_the_middle_of_travel_is_found() -> None:
    # abreast of the hub at 17 of travel, 9 off the crown of 314
    pin = Spot(np.array([323.0, -700, 17]))
    found = least(WHEEL, moving("straight"), [pin])
    assert found.clearance == pytest.approx(9, abs=0.1)
    assert abs(found.travels[0] - 17) < 10
    assert found.clearance - found.may_miss <= 9 <= found.clearance + 1e-9


def test_contact_is_told_with_its_depth_and_a_wider_miss() -> None:
    # a pin on the centre line 15 inside the crown at 17 of travel
    found = least(WHEEL, moving("straight"), [Spot(np.array([299.0, -700, 17]))])
    assert found.clearance < 0
    assert found.clearance - found.may_miss <= off_at(299.0) <= found.clearance + 1e-9
    assert found.may_miss <= 0.1 + 0.05 * 15
    # a wall 20 into the flank all the way: a handful of poses, since nothing changes
    wall = rectangle([0, -600, 0], [400, 0, 0], [0, 0, 500])
    deep = least(WHEEL, moving("straight"), [wall])
    assert deep.clearance == pytest.approx(-20, abs=1e-3)
    assert deep.poses < 400


def off_at(radius: float) -> float:
    return float(
        off_profile(TYRE, np.zeros(3), np.array([0, 1.0, 0]), np.array([[radius, 0, 0]]))[0]
    )


def test_bad_questions_are_refused() -> None:
    m = moving("straight")
    with pytest.raises(ValueError, match="no surfaces"):
        least(WHEEL, m, [])
    with pytest.raises(ValueError, match="low end is above"):
        motion(straight, np.array([9.0]), np.array([-9.0]), WHEEL.reach)
