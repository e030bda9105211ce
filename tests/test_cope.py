"""The cope of a flat tab against closed forms, dense sampling and the kernel's own cut."""

from itertools import pairwise
from math import asin, atan2, cos, degrees, hypot, pi, radians, sin, sqrt

import cadquery as cq
import numpy as np
import pytest

from parts.place import Place, turned_about
from parts.sheet.curve import Arc, Line
from parts.sheet.loop import area, box, self_meetings
from parts.trade.cope import TubeUnder, cope, tube_under, wrap_paper
from parts.trade.tab_outline import tab_outline

R = 38.05  # a tube of 76.1


def canted(lean_deg, yaw_deg, radius=R, point=(0.0, 0.0, 0.0)):
    """A tube whose axis leaves the tab's normal by a lean (up the tab) and a yaw (along it)."""
    d = np.array([
        sin(radians(yaw_deg)),
        sin(radians(lean_deg)) * cos(radians(yaw_deg)),
        cos(radians(lean_deg)) * cos(radians(yaw_deg)),
    ])  # fmt: skip
    d[np.abs(d) < 1e-15] = 0.0
    return TubeUnder(radius, point, tuple((d / np.linalg.norm(d)).tolist()))


CASES = [
    (canted(0, 0), 6), (canted(30, 0), 6), (canted(-45, 0), 10), (canted(0, 25), 6),
    (canted(0, 88), 10), (canted(0, 90), 6), (canted(0, 90, point=(0, 0, 9)), 6),
    (canted(20, 35, point=(3, -20, 2)), 8), (canted(-50, -70, point=(-4, -60, -1)), 12),
    (canted(35, 90, point=(2, 5, 1)), 6), (canted(0.0005, 0.0003), 6), (canted(60, 0), 3),
]  # fmt: skip


def far_from_axis(tube, points):
    arms = np.asarray(points) - tube.point
    return np.linalg.norm(arms - np.outer(arms @ tube.along, tube.along), axis=1)


def test_square_across_a_tube_the_cut_is_its_circle():
    # sagitta of 70 on a radius of 38.05: 38.05 - sqrt(38.05^2 - 35^2) = 23.12
    cut = cope(canted(0, 0), -35, 35, 6)
    (bow,) = cut.curves
    assert isinstance(bow, Arc)
    assert bow.center == pytest.approx((0, 0), abs=1e-9)
    assert bow.radius == pytest.approx(R)
    assert cut.depth == pytest.approx(23.12, abs=0.005)
    assert cut.shape == "circle"
    assert cut.widest.greatest == pytest.approx(0, abs=1e-9)


def test_a_fit_up_gap_is_a_bigger_circle():
    (bow,) = cope(canted(0, 0), -35, 35, 6, gap=0.4).curves
    assert bow.radius == pytest.approx(R + 0.4)


@pytest.mark.parametrize("lean_deg", [15, 30, 45])
def test_a_leaning_tab_meets_the_tube_in_an_ellipse(lean_deg):
    # half axes r and r / cos; each face's ellipse shifted up or down by t / 2 tan
    cut = cope(canted(lean_deg, 0), -30, 30, 6)
    long, up = R / cos(radians(lean_deg)), 3 * np.tan(radians(lean_deg))
    assert (cut.shape, cut.long_deg) == ("ellipse", pytest.approx(90))
    assert cut.long == pytest.approx(long)
    for curve in cut.curves:
        for x, y in (curve.at(f) for f in (0, 0.25, 0.5, 0.75, 1)):
            # the front face (z = 3) is the higher one of a tube that rises toward it
            slope = long / R * x / sqrt(R * R - x * x)
            off = (y - up - long * sqrt(1 - (x / R) ** 2)) / sqrt(1 + slope**2)
            assert abs(off) <= 0.0101
    # the back face is left open by 2 up, at the crown nearly that times the cosine
    assert cut.widest.back == pytest.approx(2 * up * cos(radians(lean_deg)), rel=0.02)
    assert cut.widest.front == pytest.approx(0, abs=0.0101)


def test_along_the_tube_the_cut_is_straight_and_off_the_crown():
    # the tube's crown lies within the thickness: the cut is at r, not at sqrt(r^2 - 3^2), and
    # each face stands open by sqrt(r^2 + 3^2) - r
    cut = cope(canted(0, 90), -35, 35, 6)
    (line,) = cut.curves
    assert isinstance(line, Line)
    assert (line.start[1], line.end[1]) == pytest.approx((R, R))
    assert cut.shape == "straight"
    assert cut.widest.greatest == pytest.approx(sqrt(R**2 + 9) - R)
    assert cut.tightest.least == pytest.approx(0, abs=1e-9)


def test_beside_the_axis_the_nearer_face_governs():
    # axis 9 in front of the middle, faces at 3 and -3: sqrt(r^2 - 6^2)
    (line,) = cope(canted(0, 90, point=(0, 0, 9)), -35, 35, 6).curves
    assert line.start[1] == pytest.approx(sqrt(R**2 - 36))


def test_a_tab_leaning_along_the_tube_is_cut_at_the_tubes_own_slope():
    (line,) = cope(canted(35, 90), -35, 35, 6).curves
    assert degrees(atan2(line.end[1] - line.start[1], 70)) == pytest.approx(0, abs=1e-9)
    d = (cos(radians(20)), sin(radians(20)), 0.0)
    (line,) = cope(TubeUnder(R, (0, 0, 0), d), -35, 35, 6).curves
    assert degrees(atan2(line.end[1] - line.start[1], 70)) == pytest.approx(20)
    assert line.at(0.5)[1] == pytest.approx(R / cos(radians(20)))


@pytest.mark.parametrize("number", range(len(CASES)))
@pytest.mark.parametrize("gap", [0.0, 0.4])
def test_the_cut_stays_off_the_tube_all_through_and_touches_it_somewhere(number, gap):
    tube, t = CASES[number]
    cut = cope(tube, -25, 25, t, gap)
    assert cut.curves[0].start[0] == pytest.approx(-25)
    assert cut.curves[-1].end[0] == pytest.approx(25)
    for before, after in pairwise(cut.curves):
        assert before.end == pytest.approx(after.start, abs=2e-6)
        (ax, ay), (bx, by) = before.tangent(1), after.tangent(0)
        assert abs(ax * by - ay * bx) < 1e-6  # no kink, crown and faces alike
    zs = np.linspace(-t / 2, t / 2, 401)
    for curve in cut.curves:
        for x, y in (curve.at(f) for f in np.linspace(0, 1, 17)):
            edge = np.column_stack([np.full(401, x), np.full(401, y), zs])
            nearest = float(far_from_axis(tube, edge).min()) - tube.radius
            assert gap - 0.0102 <= nearest <= gap + 0.0102 + 1e-4


@pytest.mark.parametrize("number", range(len(CASES)))
def test_the_gap_stated_is_the_distance_to_the_tube(number):
    tube, t = CASES[number]
    cut = cope(tube, -25, 25, t, 0.4)
    found = cut.gaps[::7]
    for side, z in (("back", -t / 2), ("front", t / 2)):
        points = [(*gap.at, z) for gap in found]
        expected = far_from_axis(tube, points) - tube.radius
        assert [getattr(gap, side) for gap in found] == pytest.approx(expected, abs=1e-9)
    zs = np.linspace(-t / 2, t / 2, 2001)
    for gap in found:
        edge = np.column_stack([np.tile(gap.at, (2001, 1)), zs])
        least = float(far_from_axis(tube, edge).min()) - tube.radius
        assert gap.least == pytest.approx(least, abs=1e-4)
        assert gap.greatest >= least
    ends = [curve.at(f) for curve in cut.curves for f in np.linspace(0, 1, 500)]
    most = max(far_from_axis(tube, [(*p, z) for p in ends]).max() for z in (-t / 2, t / 2))
    assert cut.widest.greatest == pytest.approx(most - tube.radius, abs=2e-3)


# The saddle cut of a branch tube on a header, from both cylinders' equations (the template of a
# branch, Steelworker manual NAVEDTRA 14251): distance from the crossing of the axes along the
# branch, at angles round it. A tab that holds the branch's axis and stands square to the plane of
# both axes sees the same heights.

SADDLES = [  # branch radius, header radius, angle, offset, heights by angle round the branch
    (19.05, 22.225, 90, 0, {0: 22.2250, 30: 20.0805, 60: 14.8921, 90: 11.4476, 180: 22.2250}),
    (22.225, 22.225, 60, 0, {0: 12.8316, 30: 11.1125, 60: 6.4158, 120: 19.2474, 180: 38.4948}),
    (25.4, 38.1, 45, 0, {0: 28.4815, 45: 29.5585, 90: 40.1609, 135: None, 180: 79.2815}),
    (20, 30, 70, -5, {0: 24.1994, 60: 25.4691, 90: 27.6481, 150: 37.7830, 270: 17.6474}),
]


@pytest.mark.parametrize("case", range(len(SADDLES)))
def test_heights_over_the_tube_are_those_of_a_saddle_cut(case):
    r, header, angle_deg, offset, heights = SADDLES[case]
    b = radians(angle_deg)
    tube = TubeUnder(header, (-offset, 0, 0), (0.0, cos(b), -sin(b)))
    for round_deg, height in heights.items():
        if height is not None:
            a = radians(round_deg)
            x, z = r * sin(a), r * cos(a)
            assert tube.top(x, z) == pytest.approx(height, abs=1e-4)


# Against the kernel


def plate(outline, t):
    """The tab as a solid, its middle plane at z = 0."""
    wire = cq.Workplane().moveTo(*outline[0].start)
    for curve in outline:
        wire = (
            wire.threePointArc(curve.at(0.5), curve.end)
            if isinstance(curve, Arc)
            else wire.lineTo(*curve.end)
        )
    return wire.close().extrude(t / 2, both=True).val()


def pipe(tube, longer=400.0):
    start = cq.Vector(*tube.point) - cq.Vector(*tube.along) * longer
    return cq.Solid.makeCylinder(tube.radius, 2 * longer, start, cq.Vector(*tube.along))


KERNEL = [CASES[1], CASES[3], CASES[5], CASES[7], CASES[8]]


@pytest.mark.parametrize("number", range(len(KERNEL)))
def test_the_kernel_finds_the_coped_tab_clear_of_the_tube(number):
    tube, t = KERNEL[number]
    cut = cope(tube, -25, 25, t, 0.4)
    crown = max(curve.box()[3] for curve in cut.curves)
    tab = plate(tab_outline([(0, crown + 40)], 17, 26, cut.curves).outer, t)
    solid = pipe(tube)
    assert tab.distance(solid) == pytest.approx(0.4, abs=0.0102)
    widest = cut.widest
    z = t / 2 if widest.front > widest.back else -t / 2
    spot = cq.Vertex.makeVertex(*widest.at, z)
    assert spot.distance(solid) == pytest.approx(widest.greatest, abs=1e-5)


@pytest.mark.parametrize("number", range(len(KERNEL)))
def test_the_kernel_cuts_the_same_tube_out_of_a_blank_tab(number):
    tube, t = KERNEL[number]
    low = min(tube.top(x, z) for x in (-25, 25) for z in (-t / 2, t / 2)) - 5
    raw = plate((Line((-25, low), (25, low)), Line((25, low), (25, 150)),
                 Line((25, 150), (-25, 150)), Line((-25, 150), (-25, low))), t)  # fmt: skip
    left = raw.cut(pipe(tube))
    upper = max(left.Solids(), key=lambda s: s.Center().y)  # below the tube may be left too
    cut = cope(tube, -25, 25, t)
    sides = (Line(cut.curves[-1].end, (25, 150)), Line((25, 150), (-25, 150)),
             Line((-25, 150), cut.curves[0].start))  # fmt: skip
    coped = plate((*cut.curves, *sides), t)
    assert coped.cut(upper).Volume() < 0.0102 * t * sum(c.length for c in cut.curves)
    # what the kernel's uneven edge keeps beyond the square cut, summed here over the root
    xs, zs = np.linspace(-25, 25, 1001), np.linspace(-t / 2, t / 2, 101)
    line = np.array([curve.at(f) for curve in cut.curves for f in np.linspace(0, 1, 200)])
    over = np.interp(xs, line[:, 0], line[:, 1])[:, None] - np.array(
        [[tube.top(x, z) for z in zs] for x in xs]
    )
    kept = np.trapezoid(np.trapezoid(over, zs, axis=1), xs)
    assert kept == pytest.approx(upper.Volume() - coped.Volume(), abs=0.03)


# The paper


def paper_point(tube, hole, toward, s, along):
    """A place of the paper carried back onto the tube, the way it is wrapped."""
    d = np.array(tube.along)
    zero = np.array(toward, dtype=float)
    zero = zero - zero @ d * d
    zero /= np.linalg.norm(zero)
    base = np.array([*hole, 0.0]) - tube.point
    # seen from outside with the axis up, right is axis x outward
    turned = turned_about(d, degrees(s / tube.radius)) @ zero
    return np.array(tube.point) + tube.radius * turned + (base @ d + along) * d


@pytest.mark.parametrize("number", range(len(CASES)))
def test_the_papers_foot_wraps_onto_the_tabs_faces_and_ends(number):
    tube, t = CASES[number]
    hole, toward = (4.0, 70.0), (0.3, 1.0, 0.1)
    paper = wrap_paper(tube, -25, 25, t, hole, {"link": toward})
    assert not self_meetings(paper.foot)
    seen = set()
    for curve in paper.foot:
        for f in np.linspace(0, 1, 9):
            x, y, z = paper_point(tube, hole, toward, *curve.at(f))
            assert hypot(*far_from_axis(tube, [(x, y, z)])) == pytest.approx(tube.radius)
            off = {"back": z + t / 2, "front": z - t / 2, "left": x + 25, "right": x - 25}
            side = min(off, key=lambda name: abs(off[name]))
            seen.add(side)
            assert abs(off[side]) < 0.0102
            assert abs(x) < 25.02 and abs(z) < t / 2 + 0.02
            assert y == pytest.approx(tube.top(np.clip(x, -25, 25), np.clip(z, -t / 2, t / 2)),
                                      abs=0.1)  # fmt: skip
    assert seen == {"back", "front", "left", "right"}


def test_the_paper_of_a_square_tab_by_hand():
    paper = wrap_paper(canted(0, 0), -35, 35, 6, (0, 60), {"up": (0, 1, 0), "link": (1, 1, 0)})
    assert paper.circumference == pytest.approx(2 * pi * R)
    half = R * asin(35 / R)
    assert box(paper.foot) == pytest.approx((-half, -3, half, 3))
    assert abs(area(paper.foot)) == pytest.approx(2 * half * 6)
    lines = {line.name: line.line for line in paper.lines}
    assert lines["up"].start[0] == lines["up"].end[0] == 0
    # 45 degrees toward +x is clockwise seen along +z: to the left on the paper
    assert lines["link"].start[0] == pytest.approx(-R * pi / 4)
    assert lines["abreast of the hole"].start == pytest.approx((-pi * R, 0))


def test_paper_without_a_mark_or_with_one_along_the_tube_is_refused():
    with pytest.raises(ValueError, match="set by that line"):
        wrap_paper(canted(0, 0), -35, 35, 6, (0, 60), {})
    with pytest.raises(ValueError, match="runs along the tube"):
        wrap_paper(canted(0, 0), -35, 35, 6, (0, 60), {"axis": (0, 0, 1)})


# What cannot be coped


def test_a_root_wider_than_the_tube_is_refused_with_what_it_meets():
    with pytest.raises(ValueError, match=r"both faces meet from -38\.05 to 38\.05 mm"):
        cope(canted(0, 0), -40, 40, 6)
    with pytest.raises(ValueError, match="make the root narrower"):
        wrap_paper(canted(0, 0), -40, 40, 6, (0, 60), {"up": (0, 1, 0)})


def test_a_tab_beside_the_tube_is_refused():
    with pytest.raises(ValueError, match=r"40\.00 mm from the tab's middle"):
        cope(canted(0, 90, point=(0, 0, 40)), -20, 20, 6)


def test_a_tube_running_up_the_tab_is_refused():
    with pytest.raises(ValueError, match="runs up the tab"):
        TubeUnder(R, (0, 0, 0), (0, 1, 0))


def test_a_tube_given_on_the_vehicle_is_seen_from_the_tab():
    # an axle along Y at Z 300, a tab standing in the X-Z plane at Y 200: x rearward, y up
    tab = Place(np.column_stack([(1, 0, 0), (0, 0, 1), (0, -1, 0)]).astype(float),
                np.array([0, 200.0, 0]))  # fmt: skip
    tube = tube_under(76.1, (10, 0, 300), (0, 3, 0), tab)
    assert tube.point == pytest.approx((10, 300, 200))
    assert tube.along == pytest.approx((0, 0, -1))
    assert tube.cant_deg == pytest.approx(0)
    assert tube.top(10, 1) == pytest.approx(338.05)
