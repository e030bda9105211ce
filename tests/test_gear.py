"""An axle section of a job, and the axle that comes of it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import tubs
from tub_job import JOB

from parts.job import JobError
from parts.make import load
from parts.trade.gear import Gear

INCH = 25.4


def gear(folder: Path, *changes: tuple[str, str]) -> Gear:
    text = JOB
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = folder / "axle.toml"
    path.write_text(text, encoding="utf-8")
    return load(path).bench.gears["rear"]


def test_the_wheels_stand_offset_inboard_of_their_mounting_faces(tmp_path: Path) -> None:
    at = gear(tmp_path).axle.pose(0, 0)
    assert at.left.origin == pytest.approx((0, -760, 331))
    assert at.right.origin == pytest.approx((0, 760, 331))


@pytest.mark.parametrize(
    ("over", "inches"), [("lips", (9.5 + 1) / 2 + 20 / INCH), ("nominal", 9.5 / 2 + 20 / INCH)]
)
def test_back_space_by_either_convention_is_the_same_offset(
    over: str, inches: float, tmp_path: Path
) -> None:
    """Back space = (W + 1)/2 + ET/25.4 over the lips, W/2 + ET/25.4 nominal: both conventions are
    in use in wheel makers' lists."""
    back = f'back_space = "{inches * INCH} ± 1"\nback_space_over = "{over}"'
    same = gear(tmp_path, ('offset = "20 ± 1"', back))
    assert same.offset == pytest.approx(20, abs=1e-9)


def test_the_motion_is_the_solved_axle_at_every_travel(tmp_path: Path) -> None:
    of = gear(tmp_path)
    r = np.random.default_rng(1)
    for hand, side in (("left", 0), ("right", 1)):
        travels = r.uniform(-85, 95, (50, 2))
        centers, axes = of.motion(hand).at(travels)
        for t, center, axis in zip(travels, centers, axes, strict=True):
            wheel = of.axle.pose(float(t[0]), float(t[1])).wheels[side]
            assert center == pytest.approx(wheel.origin, abs=2e-3)
            assert axis == pytest.approx(wheel.turn[:, 1], abs=1e-5)


@pytest.mark.parametrize("kind", ["links", "straight"])
def test_poses_solved_together_are_those_solved_one_by_one(kind: str) -> None:
    axle = tubs.axle_of(kind)
    r = np.random.default_rng(2)
    travels = r.uniform(-85, 95, (40, 2))
    for t, together in zip(travels, axle.poses(travels), strict=True):
        alone = axle.pose(float(t[0]), float(t[1]))
        for one, other in zip(together.wheels, alone.wheels, strict=True):
            assert one.origin == pytest.approx(other.origin, abs=1e-6)
            assert one.turn == pytest.approx(other.turn, abs=1e-9)


STEER = """lock = 25
[axle.rear.kingpins]
left = ["KLL", "KLU"]
right = ["KRL", "KRU"]
[points.KLL]
at = [0, -690, 200]
[points.KLU]
at = [15, -650, 460]
[points.KRL]
at = [0, 690, 200]
[points.KRU]
at = [15, 650, 460]
"""


def test_an_axle_that_steers_has_three_travels_and_a_tripled_list_of_poses(
    tmp_path: Path,
) -> None:
    of = gear(tmp_path, ("droop = 85\n", f"droop = 85\n{STEER}"))
    assert of.steers
    assert len(of.poses) == 21
    motion = of.motion("right")
    assert motion.low.tolist() == [-85, -85, -25]
    travels = np.array([[10.0, -20.0, 25.0]])
    (center,), (axis,) = motion.at(travels)
    wheel = of.axle.pose(10, -20, 25).wheels[1]
    assert center == pytest.approx(wheel.origin, abs=5e-3)
    assert axis == pytest.approx(wheel.turn[:, 1], abs=1e-4)
    # to the left: the right wheel's axis, which points right, turns forward
    straight = of.axle.pose(10, -20, 0).wheels[1].turn[:, 1]
    assert axis[0] > straight[0] + 0.3 or axis[0] < straight[0] - 0.3
    together = of.axle.poses(np.array([[0.0, 0, 25], [0, 0, -25], [10, -20, 25]]))
    assert together[2].right.origin == pytest.approx(wheel.origin, abs=1e-9)


def test_what_is_not_measured_goes_straight_up_and_down(tmp_path: Path) -> None:
    start, end = JOB.index("[axle.rear.links]"), JOB.index("[stock.tub]")
    of = gear(tmp_path, (JOB[start:end], ""))
    at = of.axle.pose(95, -85)
    assert at.left.origin == pytest.approx((0, -760, 426))
    assert at.right.origin == pytest.approx((0, 760, 246))


def test_the_spread_is_that_of_the_readings(tmp_path: Path) -> None:
    spread = gear(tmp_path).spread
    # face 1.5 and offset 1 as squares; ride height 2 and travel 2; tyre as written
    assert spread["across"] == pytest.approx((1.5**2 + 1) ** 0.5, abs=1e-3)
    assert spread["height"] == pytest.approx(8**0.5)
    assert (spread["width"], spread["diameter"]) == (1, 1)


def test_a_tyre_not_measured_may_be_as_much_larger_as_its_size_allows(tmp_path: Path) -> None:
    """UN R30 6.1.4 and 6.1.5: width up to 4 % over for a radial, height of section up to 4 %."""
    spread = gear(tmp_path, ('diameter = "704.7 ± 1"\n', ""), ('width = "280 ± 1"\n', "")).spread
    # 273 on its measuring rim of 9 in (ISO 4000-1), 0.4 of half an inch more on 9.5 in
    assert spread["width"] == pytest.approx(0.04 * (273 + 0.4 * 0.5 * INCH), abs=0.005)
    # height of section 0.45 x 275 = 124, twice
    assert spread["diameter"] == pytest.approx(0.04 * 2 * 124)


def test_without_an_outline_the_tyre_is_square_at_its_measured_size(tmp_path: Path) -> None:
    wheel = gear(tmp_path).wheel
    assert wheel.outline[:, 1].max() == pytest.approx(352.35)
    assert np.abs(wheel.outline[:, 0]).max() == pytest.approx(140)


BAD = {
    "own pose past the stops": (
        ("droop = 85\n", 'droop = 85\nposes = [{ name = "far", left = 99, right = 0 }]\n'),
        "axle.rear.poses", "past the stops",
    ),
    "offset and back space": (
        ('offset = "20 ± 1"', 'offset = "20 ± 1"\nback_space = 150'), "axle.rear.rim", "both",
    ),
    "lock without kingpins": (
        ("droop = 85\n", "droop = 85\nlock = 20\n"), "axle.rear.lock", "no steering axis",
    ),
    "no size and no width": (
        ('size = "275/45R18"\n', ""), "axle.rear.tyre", "neither a size nor a rim_code",
    ),
    "an outline without a crown": (
        ('width = "280 ± 1"', 'width = "280 ± 1"\noutline = [[134, 246], [140, 290], [122, 349]]'),
        "axle.rear.tyre.outline", "ends at the crown",
    ),
    "negative bump": (("bump = 95", "bump = -5"), "axle.rear.bump", "at least 0"),
    "a rim of no rim": (('"9.5 in"', '"900 in"'), "axle.rear", "rim"),
}  # fmt: skip


@pytest.mark.parametrize("what", BAD)
def test_a_bad_axle_is_told_at_its_own_key(what: str, tmp_path: Path) -> None:
    change, where, words = BAD[what]
    with pytest.raises(JobError) as told:
        gear(tmp_path, change)
    (problem,) = told.value.problems
    assert problem.field.startswith(where), problem.field
    assert words in f"{problem.message}; {problem.remedy}"
