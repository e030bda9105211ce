"""Clearance of a tyre to faces, bands, blocks and points: against the kernel, against signed
distances that shapely tells in the plane, and by hand."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from scipy.spatial import ConvexHull
from sweeps import (
    TYRE,
    band_face,
    flat_face,
    half_profile,
    kernel_gap,
    least_by_search,
    off_profile,
    random_rings,
    rectangle,
    square_to,
    towards,
    tyre_solid,
)

from parts.trade.sweep import Block, Plate, Rolled, Spot, Wheel

CLOSE = 0.01
Y = np.array([0.0, 1, 0])
DRUM = Wheel(np.array([[-100.0, 300], [100, 300]]))  # a cylinder: distances by hand


def near(v: np.ndarray, r: np.random.Generator) -> np.ndarray:
    """The direction, tilted by anything from nothing to a lot."""
    tilt = r.choice([0, 1e-12, 1e-8, 1e-5, 1e-3, 0.05, 0.3, 2])
    return towards(v + tilt * r.normal(size=3))


def pose(r: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    return r.normal(size=3) * 60, near(Y, r)


def told(surface, wheel, center, axis) -> tuple[float, np.ndarray]:
    (gap,), (foot,) = surface.clearance(wheel, center[None], axis[None])
    (floor,) = surface.nearer_than(wheel, center[None], axis[None])
    assert floor <= gap + 1e-5  # sqrt of 1 less a cosine near 1 keeps half the digits
    return float(gap), foot


@pytest.mark.parametrize("seed", range(6))
def test_distance_of_points_is_that_in_the_half_plane(seed: int) -> None:
    r = np.random.default_rng(seed)
    rings = random_rings(r)
    center, axis = pose(r)
    points = center + r.normal(size=(4000, 3)) * r.uniform(1, 250, (4000, 1))
    expected = off_profile(rings, center, axis, points)
    assert expected.min() < -5 and expected.max() > 100
    assert Wheel(rings).distance(center, axis, points) == pytest.approx(expected, abs=1e-6)


def test_a_bead_narrower_than_the_widest_place_leaves_no_hole_inside() -> None:
    # the flank's point at radius 262 is 120 out; 10 in from there is well inside the tyre
    assert Wheel(TYRE).distance(np.zeros(3), Y, np.array([0, 110.0, 262])) < -5


@pytest.mark.parametrize("seed", range(4))
def test_the_deepest_place_is_the_centre_of_the_largest_ball(seed: int) -> None:
    rings = random_rings(np.random.default_rng(seed))
    hole = shapely.maximum_inscribed_circle(
        shapely.MultiPoint(np.vstack([rings, rings * [1, -1]])).convex_hull, tolerance=1e-4
    )
    assert Wheel(rings).deepest[1] == pytest.approx(hole.length, abs=2e-3)


@pytest.mark.parametrize("seed", range(6))
def test_no_point_lies_further_along_than_the_foremost(seed: int) -> None:
    r = np.random.default_rng(seed)
    rings = random_rings(r)
    wheel, (center, axis) = Wheel(rings), pose(r)
    u = square_to(axis, r)
    v = np.cross(axis, u)
    turn = np.linspace(0, 2 * np.pi, 20_001)
    for way in [towards(r.normal(size=3)), axis, -axis, near(axis, r), u, near(u, r)]:
        (tip,) = wheel.foremost(center[None], axis[None], way[None])
        corners = half_profile(rings)
        round_ = np.cos(turn)[:, None] * u + np.sin(turn)[:, None] * v
        furthest = max((y * (axis @ way) + q * (round_ @ way)).max() for y, q in corners)
        assert (tip - center) @ way == pytest.approx(furthest, abs=1e-4)
        assert abs(off_profile(rings, center, axis, tip[None])[0]) < 1e-6
        assert wheel.extent(axis[None], way[None])[0] == pytest.approx(furthest, abs=1e-4)


@pytest.mark.parametrize("seed", range(40))
def test_a_plate_is_as_far_as_the_kernel_says(seed: int) -> None:
    r = np.random.default_rng(seed)
    rings = random_rings(r)
    wheel, (center, axis) = Wheel(rings), pose(r)
    normal = near(axis, r) if seed % 2 else towards(r.normal(size=3))
    u = square_to(normal, r)
    v = np.cross(normal, u)
    a, b = r.uniform(20, 600, 2)
    off = r.uniform(-450, 450) * normal + r.normal() * 200 * u + r.normal() * 200 * v
    middle = center + off
    plate = rectangle(middle, a * u, b * v)
    gap, foot = told(plate, wheel, center, axis)

    kernel = kernel_gap(tyre_solid(rings, center, axis), flat_face(plate.corners))
    assert max(gap, 0.0) == pytest.approx(kernel, abs=CLOSE)
    assert off_profile(rings, center, axis, foot[None])[0] == pytest.approx(gap, abs=1e-6)
    across = np.array([(foot - middle) @ w for w in (normal, u, v)])
    assert (np.abs(across) <= np.array([0, a, b]) + 1e-6).all()
    search = least_by_search(
        lambda x: off_profile(rings, center, axis, middle + x[:, :1] * u + x[:, 1:] * v),
        np.array([-a, -b]),
        np.array([a, b]),
    )
    assert gap <= search + CLOSE  # nothing on the plate is deeper or nearer


@pytest.mark.parametrize("seed", range(40))
def test_a_band_is_as_far_as_the_kernel_says(seed: int) -> None:
    r = np.random.default_rng(seed)
    rings = random_rings(r)
    wheel, (center, axis) = Wheel(rings), pose(r)
    along = axis if seed % 7 == 0 else near(axis, r)
    zero = square_to(along, r)
    low = r.uniform(-360, 180)
    z, half = r.normal() * 60, r.uniform(15, 250)
    middle = center + r.normal(size=3) * r.choice([0, 1, 15, 40])
    radius = float(r.uniform(0.9, 1.3)) * wheel.reach
    high = low + r.uniform(20, 359)
    band = Rolled(middle, along, zero, radius, low, high, z - half, z + half)
    gap, foot = told(band, wheel, center, axis)

    kernel = kernel_gap(tyre_solid(rings, center, axis), band_face(band))
    assert max(gap, 0.0) == pytest.approx(kernel, abs=CLOSE)
    assert off_profile(rings, center, axis, foot[None])[0] == pytest.approx(gap, abs=1e-6)
    side = np.cross(along, zero)

    def on_band(x: np.ndarray) -> np.ndarray:
        c, s = np.cos(x[:, :1]), np.sin(x[:, :1])
        return middle + radius * (c * zero + s * side) + x[:, 1:] * along

    x, y, w = ((foot - middle) @ d for d in (zero, side, along))
    angle = low + (np.degrees(np.arctan2(y, x)) - low) % 360
    assert angle <= high + 1e-6 or angle >= low + 360 - 1e-6
    assert np.hypot(x, y) == pytest.approx(radius) and abs(w - z) <= half + 1e-6
    search = least_by_search(
        lambda x: off_profile(rings, center, axis, on_band(x)),
        np.array([np.radians(low), z - half]),
        np.array([np.radians(high), z + half]),
    )
    assert gap <= search + CLOSE


@pytest.mark.parametrize("seed", range(30))
def test_a_block_is_as_far_as_the_kernel_says_of_its_hull(seed: int) -> None:
    r = np.random.default_rng(seed)
    rings = random_rings(r)
    wheel, (center, axis) = Wheel(rings), pose(r)
    corners = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)])
    warped = corners * r.uniform(20, 150, 3) * r.uniform(0.7, 1.3, (8, 3))
    points = warped @ np.linalg.qr(r.normal(size=(3, 3)))[0]
    points = points + center + towards(r.normal(size=3)) * r.uniform(0, 550)
    hull = ConvexHull(points)
    gap, foot = told(Block.around(points), wheel, center, axis)

    assert (hull.equations[:, :3] @ foot + hull.equations[:, 3]).max() < 1e-6
    assert off_profile(rings, center, axis, foot[None])[0] == pytest.approx(gap, abs=1e-6)
    if gap > 0:
        tyre = tyre_solid(rings, center, axis)
        kernel = min(kernel_gap(tyre, flat_face(points[face])) for face in hull.simplices)
        assert gap == pytest.approx(kernel, abs=CLOSE)
    inside = r.dirichlet(np.full(8, 0.3), 4000) @ points
    assert gap <= off_profile(rings, center, axis, inside).min() + 1e-6


def test_cases_that_formulas_miss_told_by_hand() -> None:
    origin = np.zeros(3)
    # upright plate through the hub, wholly inside the drum and wholly past its rim: the deepest
    # point is the hub, 100 from both sides
    level = rectangle([0, 0, 0], [900, 0, 0], [0, 900, 0])
    assert told(level, DRUM, origin, Y)[0] == pytest.approx(-100, abs=1e-3)
    assert told(rectangle([0, 0, 0], [9, 0, 0], [0, 9, 0]), DRUM, origin, Y)[0] == pytest.approx(
        -100, abs=1e-3
    )
    # the hub 250 past the plate: 50 of the drum is through it
    assert told(level, DRUM, np.array([0, 0, 250.0]), Y)[0] == pytest.approx(-50, abs=1e-3)
    # a small plate on the far side of the plane the rim dips through, beside the rim: 20 clear
    small = rectangle([0, 170, -290], [9, 0, 0], [0, 50, 0])
    assert told(small, DRUM, origin, Y)[0] == pytest.approx(20, abs=1e-3)
    # side wall flat to the plate, only a corner of it over the plate
    corner = rectangle([700, 130, 0], [480, 0, 0], [0, 0, 480])
    assert told(corner, DRUM, origin, Y)[0] == pytest.approx(30, abs=1e-3)
    # a band 40 wide round a drum 200 wide, whose rings are both beyond it
    narrow = Rolled(origin, Y, np.array([1.0, 0, 0]), 330.0, 0.0, 180.0, -20.0, 20.0)
    assert told(narrow, DRUM, origin, Y)[0] == pytest.approx(30, abs=0.005)
    # the drum 50 below: it is nearest at both ends, at the angle of the far side, not the crown
    lower = told(narrow, DRUM, np.array([0, 0, 50.0]), Y)[0]
    assert lower == pytest.approx(np.hypot(330, 50) - 300, abs=0.005)
    # drum over the whole of a block, and a block over the whole of the drum
    cube = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)])
    assert told(Block.around(10.0 * cube), DRUM, origin, Y)[0] == pytest.approx(-100, abs=1e-3)
    assert told(Block.around(999.0 * cube), DRUM, origin, Y)[0] == pytest.approx(-100, abs=1e-3)
    # a ball of 10 over the crown, 25 from the tread to its middle
    assert told(Spot(np.array([0, 0, 325.0]), 10.0), DRUM, origin, Y)[0] == pytest.approx(15)


def test_what_makes_no_surface_is_refused_with_the_reason() -> None:
    square = np.array([[0.0, 0, 0], [9, 0, 0], [9, 9, 0], [0, 9, 0]])
    with pytest.raises(ValueError, match=r"out of one plane: a Block"):
        Plate(square + np.array([0, 0, 0.4]) * [[0], [0], [1], [0]])
    with pytest.raises(ValueError, match="convex"):
        Plate(square[[0, 2, 1, 3]])
    with pytest.raises(ValueError, match="use a Plate"):
        Block.around(square)
    with pytest.raises(ValueError, match="angles must rise"):
        Rolled(square[0], Y, np.array([1.0, 0, 0]), 400.0, 90.0, 90.0, 0.0, 9.0)
    with pytest.raises(ValueError, match="two places across"):
        Wheel(np.array([[0.0, 300]]))
