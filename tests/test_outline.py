"""Hulls, offsets, rounds and reliefs against shapely (finely chopped) and closed forms."""

from itertools import pairwise
from math import acos, asin, atan2, ceil, cos, hypot, pi, radians, sin, sqrt, tan, tau

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import MultiPoint, Polygon
from shapely.geometry import Point as Spot
from shapely.geometry import box as rectangle
from shapely.ops import unary_union

from parts.sheet.corner import fillet, fillet_all
from parts.sheet.curve import Arc, Curve, Line, Point, distance
from parts.sheet.loop import (
    Loop,
    area,
    circle,
    length,
    moved,
    polygon,
    self_meetings,
    slot,
)
from parts.sheet.outline import hull, offset
from parts.sheet.relief import corner_relief, edge_relief

FINE = 256  # straight bits to a quarter circle, in shapely
few = settings(max_examples=40, deadline=None, derandomize=True)

coordinate = st.integers(-500, 500).map(lambda n: n / 10)
point = st.tuples(coordinate, coordinate)
disc = st.tuples(point, st.one_of(st.just(0.0), st.integers(1, 300).map(lambda n: n / 10)))

SQUARE = polygon([(0, 0), (10, 0), (10, 10), (0, 10)])
ELL = polygon([(0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30)])


def chord_error(radius: float) -> float:
    """How far a circle chopped by shapely lies inside the true one."""
    return radius * (1 - cos(pi / 4 / FINE))


def chopped(loop: Loop) -> Polygon:
    """The loop for shapely, arcs laid out from their centres with bits of 1/FINE of a quarter."""
    points: list[Point] = []
    for curve in loop:
        if isinstance(curve, Line):
            points.append(curve.start)
            continue
        (x, y), (cx, cy) = curve.start, curve.center
        radius, first = hypot(x - cx, y - cy), atan2(y - cy, x - cx)
        count = ceil(abs(curve.sweep) / (pi / 2 / FINE))
        turns = [first + curve.sweep * k / count for k in range(count)]
        points += [(cx + radius * cos(t), cy + radius * sin(t)) for t in turns]
    return Polygon(points)


def assert_sound(loop: Loop) -> None:
    """Closed exactly, anticlockwise, crossing nothing."""
    for before, after in pairwise([*loop, loop[0]]):
        assert before.end == after.start
    assert area(loop) > 0
    assert self_meetings(loop) == []
    assert chopped(loop).is_valid


def smooth(before: Curve, after: Curve) -> bool:
    def heading(curve: Curve, tip: Point) -> Point:
        if isinstance(curve, Line):
            size = distance(curve.start, curve.end)
            return ((curve.end[0] - curve.start[0]) / size, (curve.end[1] - curve.start[1]) / size)
        way = (1 if curve.sweep > 0 else -1) / distance(curve.center, tip)
        return (-way * (tip[1] - curve.center[1]), way * (tip[0] - curve.center[0]))

    a, b = heading(before, before.end), heading(after, after.start)
    return distance(a, b) < 1e-6


def assert_same_shape(loop: Loop, expected: Polygon, off: float) -> None:
    """No point of either edge is further than `off` from the other, and the areas agree."""
    assert chopped(loop).boundary.hausdorff_distance(expected.boundary) < off
    assert area(loop) == pytest.approx(expected.area, abs=off * expected.length)


# hull


@few
@given(st.lists(disc, min_size=1, max_size=9))
def test_hull_of_discs_is_the_convex_hull_that_shapely_finds(discs):
    shapes = [Spot(c).buffer(r, quad_segs=FINE) if r else Spot(c) for c, r in discs]
    expected = unary_union(shapes).convex_hull
    assume(expected.area > 1)
    found = hull(discs)
    assert_sound(found)
    off = chord_error(30) + 1e-5
    assert area(found) == pytest.approx(expected.area, abs=off * expected.length)
    assert chopped(found).symmetric_difference(expected).area < 2 * off * expected.length
    arcs = [curve for curve in found if isinstance(curve, Arc)]
    assert all((arc.center, pytest.approx(arc.radius, abs=1e-5)) in discs for arc in arcs)
    assert sum(arc.sweep for arc in arcs) <= tau + 1e-9


@few
@given(st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), min_size=3, max_size=20))
def test_hull_of_points_on_a_grid_has_the_corners_shapely_finds(points):
    expected = MultiPoint(points).convex_hull
    assume(expected.area > 0)
    found = hull([(p, 0.0) for p in points])
    assert_sound(found)
    assert {curve.start for curve in found} == set(expected.exterior.coords[:-1])


@few
@given(st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), min_size=2, max_size=12))
def test_hull_of_equal_discs_is_shapelys_hull_of_centres_grown(points):
    # Steiner: area + perimeter r + pi r^2 of the hull of the centres
    inner = MultiPoint(points).convex_hull
    assume(len(set(points)) > 1)
    found = hull([(p, 2.5) for p in points])
    assert_sound(found)
    around = inner.length if inner.area else 2 * inner.length
    assert area(found) == pytest.approx(inner.area + around * 2.5 + pi * 2.5**2)
    assert length(found) == pytest.approx(around + tau * 2.5)


def test_belt_round_two_pulleys_is_as_long_as_the_handbook_says():
    # open belt: L = 2 sqrt(C^2 - (R - r)^2) + pi (R + r) + 2 (R - r) asin((R - r) / C)
    # (Machinery's Handbook, flat belting, from memory)
    for big, small, apart in ((50, 20, 120), (50, 50, 300), (80, 1, 90)):
        more = big - small
        expected = 2 * sqrt(apart**2 - more**2) + pi * (big + small) + 2 * more * asin(more / apart)
        belt = hull([((0, 0), big), ((0, apart), small)])
        assert length(belt) == pytest.approx(expected)
        assert [type(c) for c in belt].count(Arc) == 2


def test_boss_round_two_equal_holes_is_an_obround():
    boss = hull([((10, 5), 12), ((40, 45), 12)])  # 50 between centres
    assert area(boss) == pytest.approx(50 * 24 + pi * 12**2)
    assert length(boss) == pytest.approx(2 * 50 + tau * 12)
    assert len(boss) == 4


def test_disc_inside_or_on_another_leaves_no_mark():
    alone = hull([((0, 0), 10)])
    assert len(alone) == 1
    assert area(alone) == pytest.approx(pi * 100)
    assert hull([((0, 0), 10), ((3, 0), 5), ((0, 0), 10), ((4, 0), 6), ((10, 0), 0)]) == alone


def test_middle_disc_in_line_leaves_no_corner_in_the_straight_edge():
    three = hull([((0, 0), 5), ((20, 0), 5), ((40, 0), 5)])
    assert len(three) == 4
    assert len(hull([((0, 0), 10), ((20, 0), 7.5), ((40, 0), 5)])) == 4
    assert len(hull([((0, 0), 0), ((5, 0), 0), ((10, 0), 0), ((10, 8), 0)])) == 3


def test_teardrop_comes_to_a_sharp_point():
    # tangents from a point at distance d to a circle r: two of sqrt(d^2 - r^2), arc the rest
    drop = hull([((0, 0), 6), ((10, 0), 0)])
    assert len(drop) == 3
    assert length(drop) == pytest.approx(2 * 8 + 6 * (tau - 2 * acos(0.6)))
    assert (10, 0) in {curve.start for curve in drop}


def test_hull_that_encloses_nothing_is_refused():
    for discs in ([], [((0, 0), 0)], [((0, 0), 0), ((5, 5), 0)], [((i, i), 0) for i in range(4)]):
        with pytest.raises(ValueError, match="three points not in one line"):
            hull(discs)
    with pytest.raises(ValueError, match="0 mm or more"):
        hull([((0, 0), -1)])


# offset


@st.composite
def stars(draw: st.DrawFn) -> list[Point]:
    """Corners of a plain polygon seen whole from its middle."""
    reach = draw(st.lists(st.integers(15, 60), min_size=5, max_size=9))
    count = len(reach)
    return [(r * cos(tau * k / count), r * sin(tau * k / count)) for k, r in enumerate(reach)]


@few
@given(st.lists(disc, min_size=2, max_size=6), st.integers(1, 200).map(lambda n: n / 10))
def test_convex_outline_moved_out_keeps_steiners_formula(discs, by):
    # Steiner 1840: A + P d + pi d^2, and P + 2 pi d
    shapes = [Spot(c).buffer(r) if r else Spot(c) for c, r in discs]
    assume(unary_union(shapes).convex_hull.area > 1)
    base = hull(discs)
    grown = offset(base, by)
    assert_sound(grown)
    assert area(grown) == pytest.approx(area(base) + length(base) * by + pi * by**2)
    assert length(grown) == pytest.approx(length(base) + tau * by)
    back = offset(grown, -by)  # rounds of radius `by` shrink to the corners they came from
    assert area(back) == pytest.approx(area(base))


@settings(max_examples=120, deadline=None, derandomize=True)
@given(stars(), st.integers(-160, 160).filter(bool).map(lambda n: n / 10))
def test_polygon_moved_out_or_in_is_shapelys_buffer(corners, by):
    plain = Polygon(corners)
    expected, *near = (plain.buffer(by * k, quad_segs=FINE) for k in (1, 0.995, 1.005))
    whole = [
        shape.geom_type == "Polygon" and not shape.is_empty and not shape.interiors
        for shape in (expected, *near)
    ]
    assume(len(set(whole)) == 1)  # not on the verge of falling apart
    if not whole[0]:
        with pytest.raises(ValueError, match="move it by less"):
            offset(polygon(corners), by)
        return
    found = offset(polygon(corners), by)
    assert_sound(found)
    assert_same_shape(found, expected, chord_error(16) * 4 + 1e-3)
    assert area(found) == pytest.approx(expected.area, abs=chord_error(16) * expected.length)


@few
@given(stars(), st.integers(1, 9), st.integers(-70, 70).filter(bool).map(lambda n: n / 10))
def test_rounded_outline_moved_out_or_in_is_shapelys_buffer(corners, radius, by):
    try:
        base = fillet_all(polygon(corners), radius)
    except ValueError:
        assume(False)
    drawn = chopped(base)
    shapes = [drawn.buffer(by * k, quad_segs=FINE) for k in (1, 0.99, 1.01)]
    assume(all(s.geom_type == "Polygon" and s.area > 1 and not s.interiors for s in shapes))
    found = offset(base, by)
    assert_sound(found)
    off = 4 * chord_error(60) + 1e-3
    assert chopped(found).symmetric_difference(shapes[0]).area < off * shapes[0].length


def test_inward_move_rounds_a_concave_corner_and_keeps_convex_ones_sharp():
    # an L of 30 with legs of 10, in by 2: legs of 6, and a round of 2 in the inner corner
    inner = offset(ELL, -2)
    # 26 x 6 + 20 x 6 square-cornered; the corner at (10, 10) keeps 2 mm all round
    assert area(inner) == pytest.approx(26 * 6 + 20 * 6 + 2 * 2 * (1 - pi / 4), abs=1e-9)
    assert sum(isinstance(c, Arc) for c in inner) == 1
    assert_sound(inner)


def test_arcs_grow_and_shrink_about_their_own_centres():
    boss = hull([((0, 0), 10), ((30, 0), 6)])
    for by in (3, -4):
        expected = hull([((0, 0), 10 + by), ((30, 0), 6 + by)])
        assert area(offset(boss, by)) == pytest.approx(area(expected))
        assert len(offset(boss, by)) == 4


def test_arc_that_vanishes_leaves_its_neighbours_to_meet():
    rounded = fillet_all(polygon([(0, 0), (30, 0), (30, 20), (0, 20)]), 3)
    inner = offset(rounded, -5)
    assert [type(c) for c in inner] == [Line] * 4
    assert area(inner) == pytest.approx(20 * 10)


def test_side_that_vanishes_leaves_its_neighbours_to_meet():
    # a square of 20 with one corner cut off by 1 x 1: in by 5 it is a plain square of 10
    cut = polygon([(0, 0), (20, 0), (20, 19), (19, 20), (0, 20)])
    inner = offset(cut, -5)
    assert len(inner) == 4
    assert area(inner) == pytest.approx(100)


def test_hole_moved_out_gets_bigger_and_stays_clockwise():
    assert area(offset(circle((3, 4), 10), 1)) == pytest.approx(-pi * 36)
    assert area(offset(slot((0, 0), 30, 10, 20), -2)) == pytest.approx(-(20 * 6 + pi * 9))
    assert offset(SQUARE, 0) == SQUARE


def test_move_that_leaves_nothing_or_two_pieces_is_refused():
    with pytest.raises(ValueError, match="nothing left"):
        offset(SQUARE, -6)
    with pytest.raises(ValueError, match="nothing left"):
        offset(circle((0, 0), 10), -5)
    waist = polygon([(0, 0), (20, 0), (20, 8), (22, 8), (22, 0), (40, 0), (40, 20), (22, 20),
                     (22, 12), (20, 12), (20, 20), (0, 20)])  # fmt: skip
    with pytest.raises(ValueError, match="separate loops"):
        offset(waist, -3)
    mouth = polygon([(0, 0), (30, 0), (30, 30), (0, 30), (0, 16), (10, 16), (10, 20), (20, 20),
                     (20, 10), (10, 10), (10, 14), (0, 14)])  # fmt: skip
    with pytest.raises(ValueError, match="separate loops"):
        offset(mouth, 2)


# rounds


def test_rounded_corner_takes_off_what_geometry_says():
    # a corner of included angle b loses r^2 (1 / tan(b/2) - (pi - b) / 2)
    for angle_deg in (30, 60, 90, 120, 170):
        b = radians(angle_deg)
        wedge = polygon([(100, 0), (100 * cos(b), 100 * sin(b)), (0, 0)])
        rounded = fillet(wedge, 1, 3)
        lost = 9 * (1 / tan(b / 2) - (pi - b) / 2)
        assert area(wedge) - area(rounded) == pytest.approx(lost)
        assert_sound(rounded)


def test_concave_corner_is_filled_and_convex_ones_cut():
    spandrel = (1 - pi / 4) * 4**2
    assert area(fillet(ELL, 2, 4)) == pytest.approx(500 + spandrel)
    assert area(fillet_all(ELL, 4, "concave")) == pytest.approx(500 + spandrel)
    assert area(fillet_all(ELL, 4, "convex")) == pytest.approx(500 - 5 * spandrel)
    assert area(fillet_all(ELL, 4)) == pytest.approx(500 - 4 * spandrel)
    kept = fillet_all(ELL, 4, "both", skip=[(0, 0), (30, 10)])
    assert area(kept) == pytest.approx(500 - 2 * spandrel)
    assert {(0, 0), (30, 10)} <= {curve.start for curve in kept}


def test_smooth_joints_are_left_alone():
    boss = hull([((0, 0), 10), ((30, 0), 6)])
    assert fillet_all(boss, 3) == boss
    with pytest.raises(ValueError, match="join smoothly"):
        fillet(boss, 0, 3)


def test_radius_that_does_not_fit_is_refused_with_the_largest_that_does():
    with pytest.raises(ValueError, match="the largest that does is 10 mm"):
        fillet(SQUARE, 0, 12)
    rounded = fillet(SQUARE, 0, 10)
    assert area(rounded) == pytest.approx(100 - (1 - pi / 4) * 100)
    assert_sound(rounded)
    with pytest.raises(ValueError, match="the largest that does is 5 mm"):
        fillet_all(SQUARE, 6)
    with pytest.raises(ValueError, match="more than 0"):
        fillet(SQUARE, 0, 0)
    # equilateral triangle of side 6: a corner's round may touch its sides 6 out, r = 6 tan 30
    triangle = polygon([(0, 0), (6, 0), (3, sqrt(27))])
    with pytest.raises(ValueError, match=r"largest that does is 3\.464 mm"):
        fillet(triangle, 0, 4)


def test_round_that_would_run_into_another_edge_is_refused_with_one_that_fits():
    # the bottom of a slot 3 wide gives the round of one corner 3 mm
    plate = polygon([(0, 0), (40, 0), (40, 30), (20, 30), (20, 10), (17, 10), (17, 25), (0, 25)])
    with pytest.raises(ValueError, match="largest that does is 3 mm"):
        fillet(plate, 4, 9)
    # a finger's tip 3 x 3 from an inner corner: its round reaches it at 3 / (1 - cos 45) = 10.2426
    spots = [(0, 0), (60, 0), (60, 10), (40, 10), (40, 40), (13, 40), (13, 13), (36, 13), (36, 10)]
    frame = polygon([*spots, (10, 10), (10, 60), (0, 60)])
    with pytest.raises(ValueError, match=r"largest that does is 10\.242 mm"):
        fillet(frame, 8, 12)
    with pytest.raises(ValueError, match="meets itself"):
        fillet_all(frame, 12, "concave", skip=[(40, 10), (36, 13), (36, 10)])


def test_shrunk_rounds_share_a_short_side_evenly():
    bar = polygon([(0, 0), (30, 0), (30, 8), (0, 8)])
    obround = fillet_all(bar, 50, shrink=True)
    assert area(obround) == pytest.approx(22 * 8 + pi * 16)
    assert_sound(obround)
    # equilateral triangle: three equal rounds at most as large as the inscribed circle, a/sqrt(12)
    triangle = polygon([(0, 0), (6, 0), (3, sqrt(27))])
    assert area(fillet_all(triangle, 50, shrink=True)) == pytest.approx(pi * 3, rel=1e-5)


@few
@given(st.lists(disc, min_size=3, max_size=6), st.integers(1, 30).map(lambda n: n / 10))
def test_rounding_a_convex_outline_is_an_opening(discs, radius):
    # every point that a disc of this radius can reach from inside (Serra 1982), by shapely
    shapes = [Spot(c).buffer(r) if r else Spot(c) for c, r in discs]
    assume(unary_union(shapes).convex_hull.area > 1)
    base = hull(discs)
    try:
        rounded = fillet_all(base, radius)
    except ValueError:
        assume(False)
    assume(all(c.radius >= radius for c in base if isinstance(c, Arc)))
    assert_sound(rounded)
    opened = chopped(base).buffer(-radius, quad_segs=FINE).buffer(radius, quad_segs=FINE)
    off = 3 * chord_error(30)
    assert area(rounded) == pytest.approx(opened.area, abs=off * opened.length)
    assert chopped(rounded).symmetric_difference(opened).area < 2 * off * opened.length


DEE = (Line((8, -6), (8, 6)), Arc((8, 6), (8, -6), (0, 0), tau - 2 * atan2(6, 8)))
LENS = (Arc((-3, 0), (3, 0), (0, 4), 2 * atan2(3, 4)), Arc((3, 0), (-3, 0), (0, -4), 2 * atan2(3, 4)))  # fmt: skip  # noqa: E501
KEYHOLE = (
    Arc((-3, 4), (3, 4), (0, 0), tau - 2 * atan2(3, 4)),
    Line((3, 4), (3, 20)),
    Line((3, 20), (-3, 20)),
    Line((-3, 20), (-3, 4)),
)
PEANUT = (
    Arc((0, -6), (0, 6), (8, 0), tau - 2 * atan2(6, 8)),
    Arc((0, 6), (0, -6), (-8, 0), tau - 2 * atan2(6, 8)),
)


@pytest.mark.parametrize("turn_deg", [0, 33, 200])
@pytest.mark.parametrize(
    ("shape", "radius", "which"),
    [
        (DEE, 2, "convex"),
        (DEE, 6, "convex"),
        (LENS, 0.4, "convex"),
        (LENS, 0.9, "convex"),
        (KEYHOLE, 2, "concave"),
        (KEYHOLE, 1.5, "convex"),
        (PEANUT, 3, "concave"),
        (PEANUT, 40, "concave"),
    ],
)
def test_rounds_against_arcs_are_openings_and_closings(shape, radius, which, turn_deg):
    base = moved(shape, (5, -3), turn_deg)
    rounded = fillet_all(base, radius, which)
    assert_sound(rounded)
    new = [c for c in rounded if isinstance(c, Arc) and abs(c.radius - radius) < 1e-9]
    assert len(new) == 2
    joints = [(a, b) for a, b in pairwise([*rounded, rounded[0]]) if a in new or b in new]
    assert len(joints) == 4
    assert all(smooth(a, b) for a, b in joints)
    way = -radius if which == "convex" else radius
    expected = chopped(base).buffer(way, quad_segs=FINE).buffer(-way, quad_segs=FINE)
    off = 6 * chord_error(max(radius, 10))
    assert area(rounded) == pytest.approx(expected.area, abs=off * expected.length)
    assert chopped(rounded).symmetric_difference(expected).area < 2 * off * expected.length


def test_round_in_a_lens_fits_up_to_its_inscribed_circle():
    # half width of the lens: 5 - 4 = 1
    with pytest.raises(ValueError, match=r"largest that does is 0\.999|largest that does is 1 mm"):
        fillet_all(LENS, 1.2)


def test_horn_between_an_arc_and_its_tangent_is_rounded():
    # metal between the x axis and a circle of radius 10 on it, out to x = 8: a cusp at (0, 0)
    horn = (
        Line((0, 0), (8, 0)),
        Line((8, 0), (8, 4)),
        Arc((8, 4), (0, 0), (0, 10), -atan2(8, 6)),
    )
    rounded = fillet(horn, 2, 0.5)
    # circle of r on the line, touching the arc from outside: its centre at x = 2 sqrt(R r)
    round_ = next(c for c in rounded if isinstance(c, Arc) and c.radius < 1)
    assert round_.center == pytest.approx((2 * sqrt(10 * 0.5), 0.5))
    assert_sound(rounded)


# reliefs


def test_square_notch_in_an_edge_takes_its_own_area():
    sheet = polygon([(0, 0), (20, 0), (20, 20), (0, 20)])
    notched = edge_relief(sheet, (8, 0), (0, 1), 3, 5, "square")
    assert area(notched) == pytest.approx(400 - 15)
    assert len(notched) == 8
    assert_sound(notched)


def test_round_notch_ends_in_a_half_circle_at_its_depth():
    sheet = polygon([(0, 0), (20, 0), (20, 20), (0, 20)])
    notched = edge_relief(sheet, (20, 11), (-1, 0), 4, 7)
    assert area(notched) == pytest.approx(400 - 5 * 4 - pi * 2**2 / 2)
    bottom = next(c for c in notched if isinstance(c, Arc))
    assert bottom.at(0.5) == pytest.approx((13, 11))
    assert_sound(notched)


def test_notch_flush_with_a_flange_end_leaves_one_straight_edge():
    # base above y = 0, flange from x = 30 to 70 below it; notch 2 wide beside the flange
    tee = polygon([(0, 0), (30, 0), (30, -20), (70, -20), (70, 0), (100, 0), (100, 50), (0, 50)])
    notched = edge_relief(tee, (29, 0), (0, 1), 2, 4, "square")
    assert area(notched) == pytest.approx(area(tee) - 8)
    assert Line((30, 4), (30, -20)) in notched
    assert len(notched) == len(tee) + 2
    assert_sound(notched)
    both = edge_relief(notched, (71, 0), (0, 1), 2, 4)
    assert area(both) == pytest.approx(area(tee) - 8 - (6 + pi / 2))
    assert_sound(both)


@few
@given(
    st.integers(-60, 60),
    st.integers(10, 60),
    st.integers(10, 80),
    st.sampled_from(["round", "square"]),
)
def test_notch_in_any_edge_is_what_shapely_takes_off(lean_deg, width, depth, shape):
    width, depth = width / 10, depth / 10
    assume(shape == "square" or depth > width / 2)
    assume(depth - width / 2 > width / 2 * tan(radians(abs(lean_deg))) + 0.1)
    plate = moved(polygon([(-40, 0), (40, 0), (40, 40), (-40, 40)]), (3, 7), lean_deg)
    notched = edge_relief(plate, (3, 7), (0, 1), width, depth, shape, back=20)
    tool = rectangle(3 - width / 2, -13, 3 + width / 2, 7 + depth)
    if shape == "round":
        end = Spot(3, 7 + depth - width / 2).buffer(width / 2, quad_segs=FINE)
        tool = unary_union(
            [rectangle(3 - width / 2, -13, 3 + width / 2, 7 + depth - width / 2), end]
        )
    expected = chopped(plate).difference(tool)
    assert_sound(notched)
    assert area(notched) == pytest.approx(expected.area, abs=1e-4)


@few
@given(
    st.integers(20, 160),
    st.integers(5, 25),
    st.sampled_from(["round", "square"]),
    st.integers(0, 90),
)
def test_corner_relief_is_what_shapely_takes_off(corner_deg, size, shape, angle_deg):
    turn = radians(corner_deg)
    spots = [(-60, 0), (-60, -60), (60, -60), (60, 0), (0, 0), (60 * cos(turn), 60 * sin(turn))]
    plate = polygon([spots[0], spots[1], spots[2], spots[3], spots[4], spots[5], (-60, 60)])
    assume(chopped(plate).is_valid)
    found = corner_relief(plate, (-1, -0.5), size, shape, angle_deg)
    if shape == "round":
        tool = Spot(-1, -0.5).buffer(size / 2, quad_segs=FINE)
    else:
        tool = affinity.rotate(rectangle(-size / 2, -size / 2, size / 2, size / 2), angle_deg)
        tool = affinity.translate(tool, -1, -0.5)
    expected = chopped(plate).difference(tool)
    assert_sound(found)
    assert area(found) == pytest.approx(expected.area, abs=chord_error(size) * size * pi + 1e-9)


def test_square_relief_on_an_inner_corner_takes_three_of_its_quarters():
    # bend lines meet at (10, 10), the corner itself: 3 x 2 x 2
    found = corner_relief(ELL, (10, 10), 4, "square")
    assert area(found) == pytest.approx(500 - 12)
    assert_sound(found)


def test_relief_that_misses_or_breaks_through_is_refused():
    with pytest.raises(ValueError, match="does not reach the edge"):
        corner_relief(ELL, (5, 5), 4)
    with pytest.raises(ValueError, match="does not reach the edge"):
        corner_relief(ELL, (8, 8), 4, "square")  # would only touch the corner
    with pytest.raises(ValueError, match="does not reach the edge"):
        edge_relief(ELL, (5, 5), (0, 1), 2, 2)
    with pytest.raises(ValueError, match="breaks through"):
        edge_relief(ELL, (20, 0), (0, 1), 3, 12)
    with pytest.raises(ValueError, match="at least half its width"):
        edge_relief(ELL, (20, 0), (0, 1), 6, 2)
    with pytest.raises(ValueError, match="swallows"):
        corner_relief(SQUARE, (0, 5), 90)


def test_length_of_the_notch_direction_does_not_matter():
    assert edge_relief(ELL, (20, 0), (0, 5), 2, 3) == edge_relief(ELL, (20, 0), (0, 1), 2, 3)
