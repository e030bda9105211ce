"""A whole lid past the edges beside it, against many poses and a tree of points."""

from __future__ import annotations

import random
from math import cos, hypot, radians, sin

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from scipy.spatial.transform import Rotation

from parts.trade.swing import SideEdge, plate_swing

Points = NDArray[np.float64]
Axis = tuple[list[float], list[float]]
FOLD = 10.0


def random_lid(seed: int) -> tuple[Axis, Points, list[SideEdge]]:
    """A lid that rises along +z, its hinge axis ahead of it and askew, and an edge either side."""
    r = random.Random(seed)
    width, depth, gap = r.uniform(300, 1200), r.uniform(300, 800), r.uniform(3, 25)
    top = [(0, 0, 0), (depth, r.uniform(-20, 20), 0), (depth + r.uniform(-20, 20), width, 0),
           (r.uniform(-10, 10), width, 0)]  # fmt: skip
    along = [width * r.uniform(-0.02, 0.02), width, width * r.uniform(-0.01, 0.01)]
    axis = ([-70.0, 0.0, -18.0], [-70 + along[0], along[1], -18 + along[2]])
    sides = [
        SideEdge("right", (-20, width + gap, r.uniform(-20, 10)),
                 (depth, width + gap + r.uniform(0, 9), r.uniform(-20, 40))),
        SideEdge("left", (-20, -gap - 20, 0), (depth, -gap - 20, r.uniform(-5, 30))),
    ]  # fmt: skip
    return axis, np.array(top, dtype=float), sides


def along(start: Points, end: Points, step: float) -> Points:
    f = np.linspace(0, 1, int(np.linalg.norm(end - start) / step) + 2)
    return np.asarray(start + f[:, None] * (end - start))


@pytest.mark.parametrize("seed", range(8))
def test_many_poses_of_the_lid_find_nothing_nearer_than_proved(seed: int) -> None:
    axis, top, sides = random_lid(seed)
    found = plate_swing(axis, top, FOLD, 82, sides)
    step, poses = 0.5, 83
    corners = list(zip(top, np.roll(top, -1, axis=0), strict=True))
    low = np.array([0, 0, FOLD])
    lid = np.vstack([along(a - d, b - d, step) for d in (0, low) for a, b in corners])
    lid = np.vstack([lid, *[along(a, a - low, step) for a in top]])
    lid = lid[(lid[:, 1] < 60) | (lid[:, 1] > lid[:, 1].max() - 60)]  # the rest is far from both
    body = cKDTree(np.vstack([along(np.array(s.start), np.array(s.end), step) for s in sides]))
    origin = np.array(axis[0])
    way = np.array(axis[1]) - origin
    way /= -np.linalg.norm(way)  # +y to -y: x turns up to z
    seen = np.inf
    for angle in np.linspace(0, radians(82), poses):
        turned = Rotation.from_rotvec(angle * way).apply(lid - origin) + origin
        near, _ = body.query(turned, distance_upper_bound=seen)  # inf for all that is no nearer
        seen = min(seen, near.min())
    assert found.clearance - found.at_least <= 0.01 + 1e-9
    assert seen >= found.at_least
    # between samples along the edges and between poses, near where it is least
    assert seen <= found.clearance + 0.12
    # and the two points told are that far apart at the angle told
    there = Rotation.from_rotvec(radians(found.angle_deg) * way).apply(
        np.array(found.on_lid) - origin
    )
    apart = np.linalg.norm(there + origin - np.array(found.to_point))
    assert apart == pytest.approx(found.clearance, abs=1e-6)


def test_a_corner_that_leans_out_as_it_opens_does_so_by_plane_geometry() -> None:
    # the axis lies in the lid's plane, askew by 2 degrees; opened by 90 a point's place along
    # the axis stays, so its y is that times cos 2
    skew = radians(2)
    way = (sin(skew), cos(skew), 0.0)
    corner = np.array([500.0, 400.0, 0.0])
    along_axis = float(corner @ way)
    y_open = along_axis * cos(skew)
    assert y_open > 400  # it has come nearer to the wall
    post = SideEdge("post", (along_axis * way[0], 420, -1), (along_axis * way[0], 420, 2000))
    top = [(1, 0, 0), (500, 0, 0), (500, 400, 0), (1, 400, 0)]
    found = plate_swing(([0, 0, 0], list(way)), top, 0, 90, [post])
    assert found.angle_deg == pytest.approx(90, abs=0.5)
    assert found.clearance == pytest.approx(420 - y_open, abs=0.01)


def test_a_lid_square_to_its_axis_keeps_its_gap() -> None:
    top = [(0, 0, 0), (700, 0, 0), (700, 500, 0), (0, 500, 0)]
    rims = [SideEdge("right", (0, 504, 0), (700, 504, 0)), SideEdge("left", (0, -6, 0), (9, -6, 0))]
    found = plate_swing(([-70, 0, -20], [-70, 1, -20]), top, 10, 80, rims)
    assert (found.clearance, found.side) == (pytest.approx(4), "right")


def test_what_a_face_runs_onto_is_struck_though_no_edge_comes_near() -> None:
    top = [(0, 0, 0), (700, 0, 0), (700, 500, 0), (0, 500, 0)]
    pin = SideEdge("pin", (350, 250, 900), (350, 250, 150))
    found = plate_swing(([0, 0, 0], [0, 1, 0]), top, 0, 80, [pin])
    assert (found.clearance, found.side) == (0, "pin")
    # too far out for the lid: its far edge runs on a circle of 700
    high = SideEdge("high", (0, 250, 900), (0, 250, 760))
    assert plate_swing(([0, 0, 0], [0, 1, 0]), top, 0, 90, [high]).clearance == pytest.approx(60)
    # the same where the pin goes through the lid as it lies shut
    through = SideEdge("through", (350, 250, -50), (350, 250, 50))
    assert plate_swing(([0, 0, 0], [0, 1, 0]), top, 0, 80, [through]).clearance == 0


def test_a_folded_edge_counts_as_well_as_the_top() -> None:
    top = [(50, 0, 0), (700, 0, 0), (700, 500, 0), (50, 500, 0)]
    low = SideEdge("low", (0, 0, -30), (0, 500, -30))
    near, far = (plate_swing(([0, 0, 0], [0, 1, 0]), top, f, 45, [low]) for f in (25, 0))
    assert near.clearance == pytest.approx(hypot(50, 5)) and near.angle_deg == 0
    assert far.clearance == pytest.approx(hypot(50, 30))


TOP = [(0, 0, 0), (700, 0, 0), (700, 500, 0), (0, 500, 0)]
RIM = SideEdge("rim", (0, 504, 0), (700, 504, 0))


@pytest.mark.parametrize(
    ("axis", "top", "sides", "words"),
    [
        (([0, 0, 0], [0, 0, 0]), TOP, [RIM], "two different points"),
        (([0, 0, 0], [0, 1, 0]), TOP[:2], [RIM], "three corners"),
        (([0, 0, 0], [0, 1, 0]), [*TOP[:3], (0, 500, 40)], [RIM], "off one plane"),
        (([0, 0, 0], [0, 1, 0]), [TOP[0], TOP[0], *TOP[1:]], [RIM], "same point"),
        (([0, 0, 0], [0, 1, 0]), TOP, [], "no edges"),
        (([0, 0, 0], [0, 1, 0]), TOP, [SideEdge("rim", (0, 0, 1), (0, 0, 1))], "rim: both ends"),
    ],
)
def test_lids_that_cannot_be_are_refused(
    axis: Axis, top: list[tuple[float, float, float]], sides: list[SideEdge], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        plate_swing(axis, top, 10, 80, sides)
