"""Lines, arcs and loops against shapely (finely chopped) and against closed forms."""

from itertools import pairwise
from math import atan2, ceil, cos, hypot, pi, radians, sin, sqrt

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiPoint, Polygon
from shapely.geometry import Point as Spot

from parts.sheet.curve import (
    Arc,
    Curve,
    Line,
    Point,
    arc,
    arc_through,
    curve_distance,
    distance,
    meetings,
)
from parts.sheet.loop import (
    area,
    box,
    circle,
    contains,
    joined,
    length,
    moved,
    polygon,
    reversed_loop,
    self_meetings,
    slot,
)

CHORD = 1e-5  # mm; the most a chopped arc lies off the true one
few = settings(max_examples=60, deadline=None, derandomize=True)

coordinate = st.integers(-4000, 4000).map(lambda n: n / 100)
point = st.tuples(coordinate, coordinate)


@st.composite
def lines(draw: st.DrawFn) -> Line:
    a, b = draw(point), draw(point)
    assume(distance(a, b) > 0.5)
    return Line(a, b)


@st.composite
def arcs(draw: st.DrawFn) -> Arc:
    sweep = draw(st.integers(2, 356).map(lambda n: radians(n + 0.37)))
    start = draw(st.integers(0, 3599).map(lambda n: radians(n / 10)))
    radius = draw(st.integers(50, 3000)) / 100
    return arc(draw(point), radius, start, sweep if draw(st.booleans()) else -sweep)


curves = st.one_of(lines(), arcs())


def chopped(curve: Curve) -> list[Point]:
    """Points along the curve, laid out from centre and angles and not by the curve itself."""
    if isinstance(curve, Line):
        return [curve.start, curve.end]
    (x, y), (cx, cy) = curve.start, curve.center
    radius, first = hypot(x - cx, y - cy), atan2(y - cy, x - cx)
    count = ceil(abs(curve.sweep) / sqrt(8 * CHORD / radius)) + 1
    turns = [first + curve.sweep * k / count for k in range(count + 1)]
    return [(cx + radius * cos(t), cy + radius * sin(t)) for t in turns]


@few
@given(curves, curves)
def test_distance_between_two_curves_is_what_shapely_measures(a, b):
    found, p, q = curve_distance(a, b)
    expected = LineString(chopped(a)).distance(LineString(chopped(b)))
    assert found == pytest.approx(expected, abs=2 * CHORD + 1e-9) or (
        found == 0 and expected < 1e-2
    )
    assert distance(p, q) == pytest.approx(found, abs=1e-9)
    for spot, curve in ((p, a), (q, b)):
        assert LineString(chopped(curve)).distance(Spot(spot)) < 2 * CHORD


@few
@given(curves, point)
def test_nearest_point_is_as_near_as_shapely_says_and_on_the_curve(curve, spot):
    found = curve.nearest(spot)
    string = LineString(chopped(curve))
    assert distance(found, spot) == pytest.approx(string.distance(Spot(spot)), abs=2 * CHORD)
    assert string.distance(Spot(found)) < 2 * CHORD


def lean(a: Curve, b: Curve, spot: Point) -> float:
    """Sine of the angle at which two curves cross; small where they all but touch."""
    (ax, ay), (bx, by) = (curve.tangent(curve.nearest_fraction(spot)) for curve in (a, b))
    return abs(ax * by - ay * bx)


@few
@given(curves, curves)
def test_curves_meet_where_shapely_crosses_them(a, b):
    first, second = LineString(chopped(a)), LineString(chopped(b))
    found = meetings(a, b)
    for p in found:
        assert first.distance(Spot(p)) < 2 * CHORD
        assert second.distance(Spot(p)) < 2 * CHORD
    crossed = first.intersection(second)
    for spot in getattr(crossed, "geoms", [crossed]):
        if spot.geom_type == "Point" and not spot.is_empty and lean(a, b, (spot.x, spot.y)) > 0.05:
            assert MultiPoint(found).distance(spot) < 2 * CHORD / 0.05


@few
@given(curves, point, st.integers(0, 359))
def test_curve_crosses_an_endless_line_where_it_changes_sides(curve, spot, angle_deg):
    along = (cos(radians(angle_deg)), sin(radians(angle_deg)))
    heights = [along[0] * (y - spot[1]) - along[1] * (x - spot[0]) for x, y in chopped(curve)]
    assume(min(abs(heights[0]), abs(heights[-1])) > 1e-3)
    if isinstance(curve, Arc):  # a line that nearly touches may count either way
        height = along[0] * (curve.center[1] - spot[1]) - along[1] * (curve.center[0] - spot[0])
        assume(abs(abs(height) - curve.radius) > 1e-3)
    expected = sum((a > 0) != (b > 0) for a, b in pairwise(heights))
    found = curve.crossings(spot, along)
    assert len(found) == expected
    for f in found:
        x, y = curve.at(f)
        assert along[0] * (y - spot[1]) - along[1] * (x - spot[0]) == pytest.approx(0, abs=1e-9)


@few
@given(curves)
def test_box_of_a_curve_is_the_box_of_its_chopped_points(curve):
    assert curve.box() == pytest.approx(LineString(chopped(curve)).bounds, abs=CHORD)


@few
@given(st.integers(5, 60), st.integers(61, 200), st.integers(0, 360), point, point)
def test_inside_is_inside_for_shapely_too(width, long, angle_deg, center, spot):
    outline = reversed_loop(slot(center, long, width, angle_deg))
    hole = circle(center, width * 0.8)
    rings = [[p for curve in loop for p in chopped(curve)[:-1]] for loop in (outline, hole)]
    plate = Polygon(rings[0], [rings[1]])
    for p in (spot, (spot[0] / 10 + center[0], spot[1] / 10 + center[1])):
        assume(plate.boundary.distance(Spot(p)) > 1e-3)
        assert contains([outline, hole], p) == plate.contains(Spot(p))


def test_points_level_with_the_joints_of_a_slot_are_told_apart():
    outline = reversed_loop(slot((0, 0), 40, 10, 0))  # joints at y = 5 and y = -5
    found = [contains([outline], p) for p in [(-30, 5), (-18, 5), (-30, 0), (0, 0), (19.9, 0)]]
    assert found == [False, False, False, True, True]


@few
@given(curves, curves, curves)
def test_area_of_a_closed_run_is_that_of_its_chopped_polygon(a, b, c):
    run = (a, Line(a.end, b.start), b, Line(b.end, c.start), c, Line(c.end, a.start))
    points = [p for curve in (a, b, c) for p in chopped(curve)]
    shoelace = sum((x0 * y1 - x1 * y0) / 2 for (x0, y0), (x1, y1) in pairwise([*points, points[0]]))
    assert area(run) == pytest.approx(shoelace, abs=CHORD * length(run) + 1e-6)


def test_slot_has_the_area_and_length_of_an_obround():
    loop = slot((3, -2), 30, 10, 25)
    assert -area(loop) == pytest.approx(20 * 10 + pi * 10**2 / 4)
    assert length(loop) == pytest.approx(2 * 20 + pi * 10)
    assert box(slot((3, -2), 30, 10, 90)) == pytest.approx((-2, -17, 8, 13))


@few
@given(arcs(), st.integers(-180, 180), point)
def test_mirroring_turns_a_loop_round_and_keeps_its_area(bow, turn_deg, shift):
    loop = (bow, Line(bow.end, bow.start))
    there = moved(loop, shift, turn_deg, mirror_y=True)
    assert area(there) == pytest.approx(area(loop), abs=1e-8)
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    drawn = LineString([p for curve in there for p in chopped(curve)])
    for x, y in chopped(bow)[::50]:
        put = (c * x + s * y + shift[0], s * x - c * y + shift[1])
        assert drawn.distance(Spot(put)) < 2 * CHORD


def test_arc_with_a_far_centre_keeps_to_its_ends_and_its_rise():
    # 200 long, radius 1e9: rises by c^2 / 8r = 5e-6 mm
    radius, half = 1e9, 100 / 1e9
    start, end = (-100.0, 0.0), (100.0, 0.0)
    bow = Arc(start, end, (0.0, -radius), -2 * half)
    assert distance(bow.at(1), end) < 1e-9
    assert bow.at(0.5) == pytest.approx((0, 5e-6), abs=1e-9)


@pytest.mark.parametrize("off_deg", [1e-7, 1e-6, 1e-4, -1e-7, -1e-4, 3.0, -80.0])
def test_arc_that_is_all_but_a_half_circle_ends_where_it_should(off_deg):
    # a tangent at an angle a to the chord sweeps 2a (tangent-chord angle, Euclid III.32)
    angle = radians(90 + off_deg)
    bow = arc_through((0, 0), (20, 0), (cos(angle), sin(angle)))
    assert isinstance(bow, Arc)
    assert bow.sweep == pytest.approx(-2 * angle, abs=1e-12)
    assert distance(bow.at(1), (20, 0)) < 1e-11
    assert bow.radius == pytest.approx(10 / sin(angle), rel=1e-12)


def test_arc_through_one_point_or_straight_backward_is_refused():
    with pytest.raises(ValueError, match="two different ends"):
        arc_through((1, 1), (1, 1), (1, 0))
    with pytest.raises(ValueError, match="tangent"):
        arc_through((0, 0), (-5, 0), (1, 0))


def test_joined_loop_agrees_exactly_even_where_a_speck_is_left_out():
    speck = 8e-7
    loop = (
        Line((0, 0), (10, 0)),
        Line((10, 0), (10, speck)),
        Line((10, speck), (10, 10)),
        Line((10, 10), (0, 0)),
    )
    tidy = joined(loop, "plate")
    assert len(tidy) == 3
    assert all(a.end == b.start for a, b in pairwise([*tidy, tidy[0]]))


def test_open_loop_is_refused_with_the_gap_and_the_place():
    with pytest.raises(ValueError, match=r"plate is open by 1.000000 mm at \(10.000, 9.000\)"):
        joined((Line((0, 0), (10, 9)), Line((10, 10), (0, 0))), "plate")


def test_crossed_bow_tie_meets_itself_in_the_middle_only():
    tie = polygon([(0, 0), (10, 10), (10, 0), (0, 10)])
    assert self_meetings(tie) == [pytest.approx((5, 5))]


def test_sound_loops_meet_themselves_nowhere():
    # two arcs of radius 5 through (-3, 0) and (3, 0), their centres at (0, 4) and (0, -4)
    turn = 2 * atan2(3, 4)
    lens = (Arc((-3, 0), (3, 0), (0, 4), turn), Arc((3, 0), (-3, 0), (0, -4), turn))
    triangle = polygon([(0, 0), (4, 0), (0, 3)])
    for loop in (triangle, slot((0, 0), 30, 10, 33), circle((1, 2), 5), lens):
        assert self_meetings(loop) == []


def test_outline_that_runs_back_along_itself_is_caught():
    spike = polygon([(0, 0), (10, 0), (10, 5), (10, 12), (10, 5), (0, 5)])
    assert (10, 12) in self_meetings(spike)


def test_circle_that_touches_an_edge_is_a_meeting():
    edge, hole = Line((0, 0), (20, 0)), circle((10, 4), 8)[0]
    assert meetings(edge, hole)[0] == pytest.approx((10, 0))
    assert curve_distance(edge, circle((10, 5), 8)[0])[0] == pytest.approx(1)
