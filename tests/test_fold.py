"""Facts that hold for every folded blank, and refusals that say what would be right."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from math import cos, pi, radians, sin

import kernel
import numpy as np
import pytest
from blanks import NAMED, allowance, bend, l_bracket, random_blank, scaled, turned_over

from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.body import body
from parts.sheet.fold import Folded, Region, Unsound, fold, tangent_sides
from parts.sheet.loop import circle, clockwise, polygon
from parts.solid.build import solid

SEEDS = range(30)
BLANKS = [NAMED[name]() for name in NAMED] + [random_blank(seed) for seed in SEEDS]


def samples(folded: Folded, region: Region) -> list[tuple[float, float]]:
    """Points on the rim of a region and between them."""
    rim = [curve.at(f) for loop in region.curves for curve in loop for f in (0.0, 0.4)]
    middle = (sum(p[0] for p in rim) / len(rim), sum(p[1] for p in rim) / len(rim))
    return [*rim, middle]


def flat_point(region: Region) -> tuple[float, float]:
    """A point of the region's metal a hundredth of a millimetre off the middle of its rim."""
    rim = max((side.curve for side in region.loops[0]), key=lambda curve: curve.length)
    (x, y), (dx, dy) = rim.at(0.5), rim.tangent(0.5)
    return (x - 0.01 * dy, y + 0.01 * dx)


# an L by hand: base 60 x 40, flange 60 x 50, turned up square over an inside radius of 3 in 2 mm


def test_the_flange_of_an_l_stands_where_a_square_says():
    folded = fold(l_bracket())
    flange = folded.region_at((30, 40))
    top = allowance(90, 3, 2) + 50
    # the back face is the outside: radius 3 + 2 = 5, then 50 straight up; its top at 5 + 50
    assert folded.space(flange, (0, top), 0) == pytest.approx([0, 5, 55])
    # the drawn face is the inside, 2 nearer: radius 3
    assert folded.space(flange, (60, top), 2) == pytest.approx([60, 3, 55])
    assert folded.normal(flange, (0, top)) == pytest.approx([0, -1, 0])


def test_a_flange_turned_down_hangs_below_the_back_face():
    down = replace(l_bracket(), bends=(bend("tab", (0, 0), (60, 0), -90, 3, 2),))
    folded = fold(down)
    flange = folded.region_at((30, 40))
    top = allowance(90, 3, 2) + 50
    # the back face is the inside: radius 3 below z = 0, then 50 straight down
    assert folded.space(flange, (0, top), 0) == pytest.approx([0, 3, -53])
    assert folded.space(flange, (0, top), 2) == pytest.approx([0, 5, -53])


def test_half_way_round_the_bend_of_an_l_is_at_45_degrees():
    folded = fold(l_bracket())
    bent = next(r for r in folded.regions if r.bend is not None)
    p = folded.space(bent, (10, allowance(90, 3, 2) / 2), 0)
    # axis at y = 0, z = 5; outside radius 5
    assert p == pytest.approx([10, 5 * sin(pi / 4), 5 - 5 * cos(pi / 4)])


def test_the_volume_of_an_l_is_that_of_two_plates_and_a_quarter_ring():
    # base 2400 less a rounded corner (1 - pi/4) 8^2 and two 6.5 holes; flange 3000 less a 6.5
    # and a 9 hole; ring pi/4 (5^2 - 3^2) by 60
    base = 2400 - (1 - pi / 4) * 64 - 2 * pi * 3.25**2
    flange = 3000 - pi * 3.25**2 - pi * 4.5**2
    ring = pi / 4 * (25 - 9) * 60
    found = kernel.volume(solid(body(fold(l_bracket()))))
    assert found == pytest.approx(2 * (base + flange) + ring, rel=1e-9)


def test_a_band_rolled_half_round_ends_two_mean_radii_away():
    # 180 degrees at inside radius 100 in 2 mm: the back face at radius 102 comes to 2 x 102
    size = allowance(180, 100, 2)
    band = polygon([(-10, 0), (size + 10, 0), (size + 10, 30), (-10, 30)])
    roll = bend("roll", (0, 30), (0, 0), 180, 100, 2)
    folded = fold(Blank(2, band, (), (roll,), (-5, 15)))
    far = folded.region_at((size + 5, 15))
    assert folded.space(far, (size + 10, 0), 0) == pytest.approx([-10, 0, 204])


# facts for every blank


@pytest.mark.parametrize("blank", BLANKS)
def test_flat_undoes_space_in_flat_and_bent_regions(blank: Blank):
    folded = fold(blank)
    for region in folded.regions:
        for p in samples(folded, region):
            for w in (0.0, 0.3 * blank.thickness, blank.thickness):
                back = folded.flat(region, folded.space(region, p, w))
                assert back == pytest.approx((*p, w), abs=1e-9)


@pytest.mark.parametrize("blank", BLANKS)
def test_regions_meet_along_their_tangent_lines(blank: Blank):
    folded = fold(blank)
    owner = {(s.edge, s.forward): r for r in folded.regions for loop in r.loops for s in loop}
    met = 0
    for (edge, forward), region in owner.items():
        side = next(s for lp in region.loops for s in lp if (s.edge, s.forward) == (edge, forward))
        if side.fold is None:
            continue
        met += 1
        across = owner[edge, not forward]
        for f in (0.0, 0.5, 1.0):
            for w in (0.0, blank.thickness):
                p = side.curve.at(f)
                gap = folded.space(region, p, w) - folded.space(across, p, w)
                assert np.abs(gap).max() < 1e-9
    unlined = {b.name for b in blank.bends if b.name == "roll"}
    assert met >= 2 * (len(blank.bends) - len(unlined))


@pytest.mark.parametrize("blank", BLANKS[:14])
def test_distances_within_a_flat_region_are_kept(blank: Blank):
    folded = fold(blank)
    for region in folded.regions:
        if region.bend is not None:
            continue
        flat = samples(folded, region)[:12]
        for p, q in combinations(flat, 2):
            apart = np.linalg.norm(folded.space(region, p, 0.7) - folded.space(region, q, 0.7))
            assert apart == pytest.approx(np.hypot(p[0] - q[0], p[1] - q[1]), abs=1e-9)


@pytest.mark.parametrize("blank", BLANKS[:14])
def test_a_line_on_the_neutral_fibre_of_a_bend_keeps_its_length(blank: Blank):
    folded, t = fold(blank), blank.thickness
    for region in folded.regions:
        b = folded.bend_of(region)
        if b is None:
            continue
        neutral = b.allowance / radians(abs(b.turn_deg))
        w = b.radius + t - neutral if b.turn_deg > 0 else neutral - b.radius
        assert 0 < w < t
        p, q = samples(folded, region)[0], samples(folded, region)[-1]
        at = np.linspace(0, 1, 801)[:, None] * (np.array(q) - np.array(p)) + np.array(p)
        bent = np.array([folded.space(region, (x, y), w) for x, y in at])
        length = np.linalg.norm(np.diff(bent, axis=0), axis=1).sum()
        assert length == pytest.approx(np.hypot(q[0] - p[0], q[1] - p[1]), rel=1e-6)


@pytest.mark.parametrize("blank", BLANKS)
def test_a_region_is_the_blank_thick_wherever_it_is(blank: Blank):
    folded, t = fold(blank), blank.thickness
    for region in folded.regions:
        for p in samples(folded, region):
            through = folded.space(region, p, t) - folded.space(region, p, 0.0)
            assert np.linalg.norm(through) == pytest.approx(t, abs=1e-9)


@pytest.mark.parametrize("blank", BLANKS)
def test_the_regions_cover_the_blank_once(blank: Blank):
    def green(curve) -> float:  # by chords
        points = np.array([curve.at(f) for f in np.linspace(0, 1, 401)])
        x, y = points[:, 0], points[:, 1]
        return float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum() / 2)

    drawn = sum(green(curve) for loop in blank.loops for curve in loop)
    folded = fold(blank)
    assert sum(region.area for region in folded.regions) == pytest.approx(drawn, rel=2e-5)


@pytest.mark.parametrize("blank", BLANKS[:14])
def test_at_a_turn_of_nearly_nothing_the_part_is_its_blank(blank: Blank):
    turn = 0.01
    barely = tuple(
        replace(b, turn_deg=turn, radius=b.allowance / radians(turn) - 0.4 * blank.thickness)
        for b in blank.bends
    )
    flat = replace(blank, bends=barely)
    folded = fold(flat)
    reach = max(np.hypot(p[0] - q[0], p[1] - q[1]) for p, q in combinations(folded.vertices, 2))
    turned = radians(turn) * len(barely)
    for region in folded.regions:
        for p in samples(folded, region):
            shift = np.abs(folded.space(region, p, 0.0) - [*p, 0.0])
            assert shift[2] <= turned * reach
            # drawn in by the rise, and by the back face's distance from the neutral fibre
            assert shift[:2].max() <= turned**2 / 2 * reach + turned * blank.thickness + 1e-9


@pytest.mark.parametrize("blank", BLANKS)
def test_the_other_hand_folds_to_the_mirror_image(blank: Blank):
    one, other = fold(blank), fold(turned_over(blank))
    assert len(one.regions) == len(other.regions)
    for region in one.regions:
        p = flat_point(region)
        assert one.region_at(p) is region
        twin = other.region_at((p[0], -p[1]))
        for q in samples(one, region):
            here, there = one.space(region, q, 0.4), other.space(twin, (q[0], -q[1]), 0.4)
            assert there == pytest.approx(here * [1, -1, 1], abs=1e-8)


@pytest.mark.parametrize("blank", BLANKS)
def test_the_order_in_which_bends_are_listed_does_not_matter(blank: Blank):
    one, other = fold(blank), fold(replace(blank, bends=blank.bends[::-1]))
    assert len(one.regions) == len(other.regions)
    for region in one.regions:
        twin = other.region_at(flat_point(region))
        for q in samples(one, region):
            here, there = one.space(region, q, 0.4), other.space(twin, q, 0.4)
            assert there == pytest.approx(here, abs=1e-9)


@pytest.mark.parametrize("blank", BLANKS[:14])
def test_the_part_from_another_base_is_the_same_part_elsewhere(blank: Blank):
    one = fold(blank)
    far = one.regions[-1]
    other = fold(replace(blank, base=flat_point(far)))
    here = np.array([one.space(r, q, 0.4) for r in one.regions for q in samples(one, r)])
    there = np.array([other.space(r, q, 0.4) for r in other.regions for q in samples(other, r)])
    for step in range(1, 40, 3):
        apart = np.linalg.norm(here - np.roll(here, step, axis=0), axis=1)
        assert np.linalg.norm(there - np.roll(there, step, axis=0), axis=1) == pytest.approx(
            apart, abs=1e-8
        )
    # not the mirror image: four corners keep the sign of their volume
    signs = [
        np.linalg.det(p[1 : len(p) - 1 : max(1, len(p) // 4)][:3] - p[0]) for p in (here, there)
    ]
    assert signs[0] == pytest.approx(signs[1], rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("name", NAMED)
def test_all_lengths_doubled_the_volume_is_eightfold(name: str):
    once = kernel.volume(solid(body(fold(NAMED[name]()))))
    twice = kernel.volume(solid(body(fold(scaled(NAMED[name](), 2)))))
    assert twice == pytest.approx(8 * once, rel=1e-8)


def test_a_bend_line_drawn_in_part_still_runs_through_its_whole_stretch_of_metal():
    # the tapered flange is wider at its end line than at its start line
    outline = polygon([(0, 0), (40, 0), (40, 30), (60, 60), (-20, 60), (0, 30)])
    folded = fold(Blank(2, outline, (), (bend("tab", (15, 30), (25, 30), 90, 3, 2),), (20, 10)))
    start, end = (tangent_sides(folded, 0, which) for which in (0, 1))
    assert [side.curve.length for side in start] == pytest.approx([40])
    # sides that spread 20 in 30: at the end line each is 2/3 of the allowance further out
    assert [s.curve.length for s in end] == pytest.approx([40 + 4 / 3 * allowance(90, 3, 2)])


def test_the_base_may_lie_in_an_opening_of_its_region():
    plate = l_bracket()
    folded = fold(replace(plate, base=(12, -28), cutouts=plate.cutouts))
    assert folded.space(folded.region_at((30, -20)), (30, -20), 0) == pytest.approx([30, -20, 0])


# refusals

PLATE = polygon([(0, 0), (60, 0), (60, 40), (0, 40)])


def refusal(bends: tuple[Bend, ...], outline=PLATE, cutouts=(), base=(3, 3)) -> str:
    with pytest.raises(Unsound) as refused:
        fold(Blank(2, outline, cutouts, bends, base))
    return str(refused.value)


def test_a_bend_beside_the_metal_is_refused():
    said = refusal((bend("tab", (70, 0), (70, 40), 90, 3, 2),))
    assert said == "bend tab does not cross the metal: its line must run from edge to edge"


def test_bends_whose_strips_overlap_are_refused():
    two = (bend("a", (60, 20), (0, 20), -90, 3, 2), bend("b", (60, 17), (0, 17), 90, 3, 2))
    assert refusal(two).startswith("bends a and b overlap: move them apart")


def test_bends_that_share_a_tangent_line_are_refused():
    ba = allowance(90, 3, 2)
    two = (
        Bend("a", (0, 20), (60, 20), 90, 3, ba),
        Bend("b", (0, 20 + ba), (60, 20 + ba), 90, 3, ba),
    )
    assert "bends a and b leave no flat metal between them" in refusal(two)


def test_bends_whose_lines_cross_in_the_metal_are_refused():
    two = (bend("a", (0, 20), (60, 20), 90, 3, 2), bend("b", (30, 40), (30, 0), 90, 3, 2))
    assert refusal(two).startswith(
        "the lines of bends a and b cross in the metal at (30.00, 20.00)"
    )


def test_a_bend_that_reaches_into_a_leg_it_is_not_drawn_across_is_refused():
    # a U; the start line runs below the gap through both legs, the end line across one leg only
    outline = polygon([(0, 0), (60, 0), (60, 60), (40, 60), (40, 20), (20, 20), (20, 60), (0, 60)])
    said = refusal((bend("tab", (0, 17), (20, 17), 90, 3, 2),), outline)
    assert said.startswith("bend tab ends inside the metal near (")
    assert said.endswith("cut a relief there or run the bend line to the edge")


def test_a_base_off_the_metal_is_refused():
    said = refusal((bend("tab", (0, 20), (60, 20), 90, 3, 2),), base=(80, 3))
    assert "the base point (80.00, 3.00) is not on the metal" in said


def test_a_frame_whose_bends_cross_in_its_window_does_not_meet():
    # going round the window crosses bend a, b, a, b; turns about different axes do not cancel
    window = Cutout("window", clockwise(polygon([(10, 10), (50, 10), (50, 30), (10, 30)])))
    two = (Bend("a", (0, 14), (60, 26), 90, 1, 2), Bend("b", (0, 26), (60, 14), 60, 1, 2))
    said = refusal(two, cutouts=(window,))
    assert said.startswith("the metal closes on itself round bend ")
    assert said.endswith("and does not meet: cut it open")


def test_a_frame_bent_straight_across_its_window_meets():
    window = Cutout("window", clockwise(polygon([(10, 10), (50, 10), (50, 30), (10, 30)])))
    frame = Blank(2, PLATE, (window,), (Bend("a", (0, 14), (60, 26), 90, 1, 2),), (3, 3))
    assert len(fold(frame).regions) == 4


def test_a_hole_through_a_whole_bend_splits_it_in_two_bent_regions():
    ba = allowance(90, 3, 2)
    across = Cutout("eye", circle((30, ba / 2), ba + 8))
    folded = fold(replace(l_bracket(), cutouts=(across,)))
    assert sum(region.bend == 0 for region in folded.regions) == 2
    assert sum(region.bend is None for region in folded.regions) == 2
