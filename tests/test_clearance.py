"""Distance from a point to folded metal, against the kernel's own extrema."""

from __future__ import annotations

import random
from math import cos, hypot, pi, sin

import numpy as np
import pytest
from blanks import NAMED, bend
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt

from parts.sheet.blank import Blank
from parts.sheet.body import body
from parts.sheet.clearance import distance_to_metal, distances_to_metal
from parts.sheet.fold import fold
from parts.sheet.loop import polygon
from parts.solid.build import solid


def kernel_distance(shape: object, point: np.ndarray) -> float:
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*(float(v) for v in point))).Vertex()
    found = BRepExtrema_DistShapeShape(vertex, shape)
    return 0.0 if found.InnerSolution() else float(found.Value())


@pytest.mark.parametrize("name", sorted(NAMED))
def test_distance_to_metal_is_the_kernels(name: str) -> None:
    folded = fold(NAMED[name]())
    shape = solid(body(folded))
    r = random.Random(name)
    corners = np.array(
        [
            folded.space(region, curve.at(f), w)
            for region in folded.regions
            for loop in region.curves
            for curve in loop
            for f in (0.0, 0.5)
            for w in (0.0, folded.blank.thickness)
        ]
    )
    low, high = corners.min(axis=0) - 25, corners.max(axis=0) + 25
    sides = list(zip(low, high, strict=True))
    points = np.array([[r.uniform(a, b) for a, b in sides] for _ in range(60)])
    near = np.array(
        [corners[r.randrange(len(corners))] + [r.gauss(0, 3) for _ in range(3)] for _ in range(60)]
    )
    points = np.vstack([points, near])
    expected = [kernel_distance(shape, p) for p in points]
    assert max(expected) > 10
    assert distances_to_metal(folded, points) == pytest.approx(expected, abs=0.0101)


def test_distances_round_a_square_bend_are_those_of_plane_geometry() -> None:
    # 2 mm strip, 20 wide, bent square upward at y = 30 with inside radius 3: axis at y 30, z 5,
    # flange from y 33 to 35, its top at z = 5 + (70 - 30 - allowance)
    b = bend("b", (0, 30), (20, 30), 90, 3, 2)
    folded = fold(Blank(2, polygon([(0, 0), (20, 0), (20, 70), (0, 70)]), (), (b,), (5, 5)))
    top = 45 - pi / 2 * (3 + 0.42 * 2)
    by_hand = {
        (10, 31.5, 20): 1.5,  # before the inner face
        (10, 30, 5): 3.0,  # on the axis: the inside radius
        (10, 35, 0): hypot(5, 5) - 5,  # in the square corner outside: off the outer skin
        (10, 34, 50): 50 - top,  # over the flange
        (23, 10, 6): hypot(3, 4),  # off an edge of the base
        (10, 34, 20): 0.0,  # in the metal
        (10, 30 + 4 * sin(0.7), 5 - 4 * cos(0.7)): 0.0,  # in the bend
        (24, 30 + 4 * sin(0.7), 5 - 4 * cos(0.7)): 4.0,  # beside the bend
    }
    for point, expected in by_hand.items():
        assert distance_to_metal(folded, np.array(point)) == pytest.approx(expected, abs=1e-3)
