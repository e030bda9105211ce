"""One outline cut away from another, against shapely and hand areas."""

from __future__ import annotations

import random
from math import cos, pi, sin

import pytest
from shapely.geometry import Polygon
from shapely.ops import unary_union

from parts.sheet.combine import subtract
from parts.sheet.curve import Arc, Line
from parts.sheet.loop import Loop, area, circle, polygon, reversed_loop, slot

SQUARE = polygon([(0, 0), (10, 0), (10, 10), (0, 10)])


def points(loop: Loop, each: int = 400) -> list[tuple[float, float]]:
    """The outline as many short chords."""
    return [
        curve.at(i / each) for curve in loop for i in range(each if isinstance(curve, Arc) else 1)
    ]


def as_polygon(loop: Loop) -> Polygon:
    return Polygon(points(loop))


def test_a_corner_cut_off_a_square_leaves_the_square_less_the_overlap() -> None:
    corner = polygon([(6, 7), (20, 7), (20, 20), (6, 20)])
    (left,) = subtract(SQUARE, corner)
    assert area(left) == pytest.approx(100 - 4 * 3)
    assert len(left) == 6


def test_a_quarter_circle_bitten_from_a_corner_leaves_an_arc() -> None:
    (left,) = subtract(SQUARE, circle((10, 10), 8))
    assert area(left) == pytest.approx(100 - pi * 16 / 4)
    (bow,) = [c for c in left if isinstance(c, Arc)]
    assert bow.radius == pytest.approx(4)
    assert bow.sweep == pytest.approx(-pi / 2)  # the metal is outside of it


def test_a_bar_across_leaves_two_parts_largest_first() -> None:
    bar = polygon([(6, -1), (7, -1), (7, 11), (6, 11)])
    assert [area(part) for part in subtract(SQUARE, bar)] == pytest.approx([60, 30])


def test_a_cutter_that_misses_leaves_the_outline_as_it_was() -> None:
    assert subtract(SQUARE, circle((30, 30), 4)) == (SQUARE,)


def test_a_cutter_all_round_leaves_nothing() -> None:
    assert subtract(SQUARE, circle((5, 5), 40)) == ()


def test_a_cutter_wholly_inside_is_refused_as_an_opening() -> None:
    with pytest.raises(ValueError, match="make it an opening"):
        subtract(SQUARE, circle((5, 5), 4))


def test_either_way_round_is_the_same_area() -> None:
    corner = polygon([(6, 7), (20, 7), (20, 20), (6, 20)])
    for one in (SQUARE, reversed_loop(SQUARE)):
        for other in (corner, reversed_loop(corner)):
            (left,) = subtract(one, other)
            assert area(left) == pytest.approx(88)


def test_a_cutter_that_shares_a_side_with_the_outline_cuts_flush() -> None:
    (left,) = subtract(SQUARE, polygon([(3, 0), (7, 0), (7, 4), (3, 4)]))
    assert area(left) == pytest.approx(84)


def test_a_cutter_beside_the_outline_takes_nothing() -> None:
    (left,) = subtract(SQUARE, polygon([(10, 2), (14, 2), (14, 8), (10, 8)]))
    assert area(left) == pytest.approx(100)


def test_a_cutter_equal_to_the_outline_leaves_nothing() -> None:
    assert subtract(SQUARE, polygon([(0, 0), (10, 0), (10, 10), (0, 10)])) == ()


def test_a_cutter_flush_with_three_sides_leaves_the_rest() -> None:
    (left,) = subtract(SQUARE, polygon([(0, 0), (10, 0), (10, 4), (0, 4)]))
    assert area(left) == pytest.approx(60)


@pytest.mark.parametrize("seed", range(150))
def test_random_outlines_leave_what_shapely_says(seed: int) -> None:
    r = random.Random(seed)
    loop = star(r, (0.0, 0.0), 50)
    at = (r.uniform(-60, 60), r.uniform(-60, 60))
    shape = r.choice(["circle", "slot", "star"])
    cutter = star(r, at, 40)
    if shape == "circle":
        cutter = circle(at, r.uniform(15, 70))
    elif shape == "slot":
        cutter = slot(at, r.uniform(60, 120), r.uniform(10, 30), r.uniform(0, 180))
    one, other = as_polygon(loop), as_polygon(cutter)
    expected = one.difference(other)
    if other.within(one) and other.boundary.distance(one.boundary) > 0.05:
        with pytest.raises(ValueError, match="opening"):
            subtract(loop, cutter)
        return
    found = subtract(loop, cutter)
    assert sum(area(part) for part in found) == pytest.approx(expected.area, abs=0.2)
    assert len(found) == len(getattr(expected, "geoms", [expected] if expected.area else []))
    joined = unary_union([as_polygon(part) for part in found])
    assert joined.symmetric_difference(expected).area < 0.2
    for part in found:
        assert area(part) > 0  # anticlockwise
        for a, b in zip(part, (*part[1:], part[0]), strict=True):
            assert a.end == b.start


def star(r: random.Random, at: tuple[float, float], size: float) -> Loop:
    """A random outline with straight sides, seen whole from its middle."""
    count = r.randint(4, 9)
    angles = sorted((i + r.uniform(-0.3, 0.3)) * 2 * pi / count for i in range(count))
    ring = [
        (at[0] + rad * cos(a), at[1] + rad * sin(a))
        for a, rad in ((a, r.uniform(0.5, 1) * size) for a in angles)
    ]
    loop = polygon(ring)
    assert all(isinstance(side, Line) for side in loop)
    return loop
