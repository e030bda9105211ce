"""Sets of surfaces swept side by side; what bounds the search, and what ends it early."""

from __future__ import annotations

import sys

import numpy as np
import pytest
import shapely
import tubs
from scipy.optimize import minimize_scalar
from sweeps import TYRE, half_profile, off_profile, rectangle, square_to, towards, tub
from test_sweep_least import WHEEL, moving, setup

from parts.kinds.wheel_tub.sweeps import sweeps_of, sweeps_or_findings
from parts.trade.sweep import (
    Block,
    Plate,
    Spot,
    Together,
    TooSlow,
    clearances,
    clearances_to,
    least,
    leasts,
    lowest,
)
from parts.trade.sweep.creep import Creep
from parts.trade.sweep.nearest import to_edges

LEAST = sys.modules["parts.trade.sweep.least"]
CUBE = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)], dtype=float)


@pytest.mark.parametrize("seed", range(8))
def test_edges_come_no_nearer_than_a_search_along_them_finds(seed: int) -> None:
    r = np.random.default_rng(seed)
    center, axis = r.normal(size=3) * 40, towards(r.normal(size=3))
    # beside the tyre, through it, with an end in it, and square to its axis where rings tie
    middles = center + r.normal(size=(12, 3)) * r.choice([80, 200, 350], (12, 1))
    runs = r.normal(size=(12, 3)) * r.choice([3, 100, 600], (12, 1))
    runs[::4] = np.array([square_to(axis, r) * 400 for _ in runs[::4]])
    rows = np.arange(12)
    gaps, feet = to_edges(
        WHEEL, np.tile(center, (12, 1)), np.tile(axis, (12, 1)), rows, middles - runs / 2, runs
    )
    for gap, foot, middle, run in zip(gaps, feet, middles, runs, strict=True):

        def along(t: float, middle: np.ndarray = middle, run: np.ndarray = run) -> float:
            return float(off_profile(TYRE, center, axis, (middle + t * run)[None])[0])

        found = min(
            minimize_scalar(along, bounds=(a, a + 0.25), method="bounded").fun
            for a in (-0.5, -0.25, 0.0, 0.25)
        )
        ends = min(along(-0.5), along(0.5))
        assert gap <= min(found, ends) + 1e-6
        assert off_profile(TYRE, center, axis, foot[None])[0] == pytest.approx(gap, abs=1e-6)
        assert np.linalg.norm(np.cross(foot - middle, run)) <= 1e-6 * np.linalg.norm(run) ** 2


def test_an_edge_through_the_deepest_place_is_as_deep_as_the_largest_ball() -> None:
    # the deepest place is where three sides are equally far: a kink whichever way it is passed
    section = shapely.Polygon(np.vstack([half_profile(TYRE), half_profile(TYRE)[::-1] * [1, -1]]))
    depth = shapely.maximum_inscribed_circle(section.convex_hull, tolerance=1e-7).length
    y = WHEEL.deepest[0]
    way = towards(np.array([0.3, 0.9, -0.2]))
    start = np.array([0, y, 0]) - 30 * way
    none = np.zeros((1, 3))
    gap, _ = to_edges(
        WHEEL, none, np.array([[0, 1.0, 0]]), np.zeros(1, dtype=int), start[None], 77 * way[None]
    )
    assert gap[0] == pytest.approx(-depth, abs=1e-5)


def many(r: np.random.Generator) -> list[list[Plate | Block | Spot]]:
    """Sets of faces, blocks and points round a wheel at rest, near and far, some touching."""
    sets: list[list[Plate | Block | Spot]] = []
    for _ in range(4):
        found: list[Plate | Block | Spot] = []
        for _ in range(r.integers(1, 9)):
            out = towards(r.normal(size=3))
            at = np.array([0, -700.0, 0]) + out * r.uniform(150, 700)
            u = square_to(out, r)
            turned = np.array([out * 30, u * 70, np.cross(out, u) * 110])
            kind = r.integers(3)
            if kind == 0:
                found.append(rectangle(at, turned[1], turned[2]))
            elif kind == 1:
                found.append(Block.around(at + CUBE @ turned * r.uniform(0.9, 1.1, (8, 1))))
            else:
                found.append(Spot(at, float(r.uniform(0, 20))))
        sets.append(found)
    return sets


@pytest.mark.parametrize("seed", range(10))
def test_sets_measured_together_are_as_near_as_each_surface_by_itself(seed: int) -> None:
    r = np.random.default_rng(seed)
    sets, m = many(r), moving("live, steered")
    travels = r.uniform(m.low, m.high, (30, 3))
    centers, axes = m.at(travels)
    alone = np.array(
        [
            np.min([one.clearance(WHEEL, centers, axes)[0] for one in surfaces], axis=0)
            for surfaces in sets
        ]
    ).T
    together = Together.of(sets)
    gaps, feet = together.clearance(WHEEL, centers, axes)
    assert gaps == pytest.approx(alone, abs=1e-6)
    for k, surfaces in enumerate(sets):
        spots = {tuple(s.point): s.radius for s in surfaces if isinstance(s, Spot)}
        for row in range(len(travels)):
            off = off_profile(TYRE, centers[row], axes[row], feet[row, k][None])[0]
            off -= spots.get(tuple(feet[row, k]), 0.0)
            assert off == pytest.approx(alone[row, k], abs=1e-5)
    limit = alone + r.choice([-1.0, 1.0], alone.shape)
    under, _ = together.clearance(WHEEL, centers, axes, limit)
    assert (np.isfinite(under) == (alone < limit)).all()
    assert under[alone < limit] == pytest.approx(alone[alone < limit], abs=1e-6)
    shape = (3, 10, 3)
    each = together.least_of_each(WHEEL, centers.reshape(shape), axes.reshape(shape))
    assert each == pytest.approx(alone.reshape(3, 10, -1).min(axis=1), abs=1e-6)


def test_sets_swept_side_by_side_keep_the_bound_of_each_by_itself() -> None:
    m, sets = moving("live"), [[surface] for surface in tub().values()]
    together = Together.of(sets)
    first = np.array([m.low, m.high])
    known = lowest(first, *clearances_to(WHEEL, m, together, first))
    found = leasts(WHEEL, m, together, known, [0.1] * 3, [-np.inf] * 3)
    for surfaces, one in zip(sets, found, strict=True):
        assert not isinstance(one, TooSlow)
        alone = least(WHEEL, m, surfaces)
        assert one.may_miss <= 0.1
        assert one.clearance - one.may_miss <= alone.clearance
        assert alone.clearance - alone.may_miss <= one.clearance


@pytest.mark.parametrize("name", ["live", "steered", "live, steered"])
def test_no_point_comes_nearer_to_the_flat_side_than_told(name: str) -> None:
    r = np.random.default_rng(6)
    m = moving(name)
    n = 20_000
    middles = r.uniform(m.low, m.high, (n, len(m.low)))
    sizes = r.choice([1e-4, 1e-2, 0.2], (n, 1))
    halves = (m.high - m.low) * sizes * r.uniform(size=middles.shape)
    halves = np.minimum(halves, np.minimum(middles - m.low, m.high - middles))
    (c1, a1), (c2, a2) = m.at(middles), m.at(middles + halves * r.choice([-1, 1, 0.6], (n, 1)))
    side = r.choice([-1.0, 1.0], n)
    beyond = c1 + side[:, None] * a1 * r.uniform(100, 400, (n, 1))
    points = beyond[:, None] + r.normal(size=(n, 4, 3)) * r.choice([1, 60], (n, 1, 1))
    told = Creep(WHEEL, m, middles, halves, c1, a1).beside(np.arange(n), points)

    def beside(c: np.ndarray, a: np.ndarray) -> np.ndarray:
        along = np.einsum("nkx,nx->nk", points - c[:, None], a) * side[:, None]
        return np.asarray(along.min(axis=1) - 120)  # the flank's widest place is 120 out

    assert (beside(c2, a2) >= told - 1e-6).all()
    assert np.median((beside(c1, a1) - told)[sizes[:, 0] == 1e-4]) < 0.1


# where the least changes little over two or three travels: a block before the wheel's flat side,
# one whose edge runs along the tread; these took 3000 to 150 000 poses cut by halves of the rates
FLAT = (17, 311, 581, 1043, 1391)


@pytest.mark.parametrize("seed", FLAT)
def test_three_travels_that_hardly_change_the_least_take_hundreds_of_poses(seed: int) -> None:
    name, surfaces = setup(seed)
    m = moving(name)
    assert len(m.low) == 3
    found = least(WHEEL, m, surfaces)
    assert found.poses < 700
    r = np.random.default_rng(seed)
    span = m.high - m.low
    travels = r.uniform(m.low, m.high, (5_000, 3))
    near = np.clip(found.travels + span * r.normal(size=(5_000, 3)) / 30, m.low, m.high)
    for some in (travels, near):
        gaps, _ = clearances(WHEEL, m, surfaces, some)
        assert gaps.min() >= found.clearance - found.may_miss


def test_contact_ends_the_search_when_its_depth_does_not_matter() -> None:
    # a pin 1 inside the crown of 314 abreast of the hub at 57 of travel, and clear of it where
    # that is over sqrt(314^2 - 313^2) = 25 away
    m, pin = moving("straight"), Spot(np.array([313.0, -700, 57]))
    assert clearances(WHEEL, m, [pin], np.array([[-90.0], [31], [83], [90]]))[0].min() > 0
    deep, told = least(WHEEL, m, [pin]), least(WHEEL, m, [pin], enough=0.0)
    assert deep.clearance <= told.clearance <= 0
    assert told.may_miss == np.inf
    assert told.poses < deep.poses


def test_what_takes_too_many_poses_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    name, surfaces = setup(17)
    monkeypatch.setattr(LEAST, "MOST_POSES", 15)
    with pytest.raises(TooSlow, match=r"over 15 poses looked at for 0\.1 mm"):
        least(WHEEL, moving(name), surfaces)


def test_a_clearance_that_is_not_proved_refuses_and_names_its_surface(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    of = tubs.tub()
    proved = sweeps_of(of)
    fewest = min(one.poses for one in proved.least.values())
    slowest = max(proved.least, key=lambda name: proved.least[name].poses)
    monkeypatch.setattr(LEAST, "MOST_POSES", fewest)
    sweeps, said = sweeps_or_findings(of)
    assert sweeps is None
    assert f"tyre to {slowest}" in {one.where for one in said}
    assert len(said) < len(proved.least)  # what is proved in time is not named
    assert all(one.refuses and "could not be proved" in one.found for one in said)
    part = tubs.made(hand="right", right=tubs.SIDE)
    assert part.refused
    assert any("could not be proved" in one.found for one in part.findings)
