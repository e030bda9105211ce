"""Goose-necks swung by shapely, and stops by hand."""

from __future__ import annotations

from dataclasses import replace
from math import asin, atan2, cos, degrees, hypot, radians, sin

import numpy as np
import pytest
import shapely
from swings import GUTTER, PIVOT, fine, turned

from parts.trade.swing import (
    Neck,
    NeckSizes,
    Section,
    StrutLength,
    leg_angle_deg,
    lid_edge,
    neck,
    outside_room,
    panel_ahead,
    polyline,
    seal,
    stop,
    swing,
    throat,
)

# invented: the gutter goes up to the panel's edge; the seal stands on its lip
CLOSED_GUTTER = (*GUTTER, (-5.0, -1.0))
SIZES = NeckSizes(hub=26, width=34, fillet=12, pad=((60, -8), (130, -8)))
MARGIN, WISH = 8.0, 3.0


def section(opening_deg: float = 82) -> Section:
    fixed = (
        panel_ahead(5, 100, 30, 200, skin=1), polyline("gutter", CLOSED_GUTTER),
        *seal((24, -17), 8, 15, 12, arms=()),
    )  # fmt: skip
    fixed = (fixed[0], fixed[1], replace(fixed[2], against=None), fixed[3])
    return Section(lid_edge(10, 3, 1, 760), fixed, opening_deg)


@pytest.fixture(scope="module", params=[70, 82, 90])
def made(request: pytest.FixtureRequest) -> tuple[Section, Neck]:
    all_round = section(request.param)
    return all_round, neck(all_round, PIVOT, SIZES, ["gutter", "seal, free"], MARGIN, WISH)


def test_the_throat_reaches_the_furthest_corner_and_the_margin() -> None:
    gutter = polyline("gutter", GUTTER)
    found = throat([gutter], PIVOT, 8)
    assert found.radius == pytest.approx(hypot(24 + 72, -38 + 18) + 8)
    assert (found.item, found.at) == ("gutter", (24, -38))
    # the seal's round top: its middle is 100 off, the radius 4, and it is furthest straight on
    free, _ = seal((28, -22), 8, 8, 6, arms=())
    assert throat([free], PIVOT, 0).radius == pytest.approx(hypot(104, 4), abs=1e-9)


def test_the_leg_turned_up_passes_under_the_lowest_corner() -> None:
    # the lowest direction of the three corners less the opening: (2, -38) seen from the pivot
    gutter = polyline("gutter", GUTTER)
    lowest = degrees(atan2(-20, 74))
    assert leg_angle_deg([gutter], PIVOT, 82, 0) == pytest.approx(lowest - 82)
    # 20 mm clear of that corner the leg points lower by the angle of 20 at its distance
    lean = degrees(asin(20 / hypot(74, 20)))
    assert leg_angle_deg([gutter], PIVOT, 82, 20) == pytest.approx(lowest - lean - 82)


def test_the_arm_of_the_demo_hangs_140_below_its_pivot() -> None:
    # throat 98 + 8 and 34 wide
    plain = Section(
        lid_edge(10, 0, 1, 760),
        (panel_ahead(5, 100, 30, 200, skin=1), polyline("gutter", CLOSED_GUTTER)), 82,
    )  # fmt: skip
    found = neck(plain, PIVOT, SIZES, ["gutter"], 8, WISH)
    assert found.depth == pytest.approx(140, abs=0.1)
    assert found.depth_below_lid == pytest.approx(158, abs=0.1)


def test_shapely_sees_the_arm_clear_at_every_angle(made: tuple[Section, Neck]) -> None:
    all_round, arm = made
    points = fine(arm.outline.curves)
    angles = np.linspace(0, all_round.opening_deg, 500)
    solids = shapely.polygons(turned(points, PIVOT, angles))
    for item in all_round.fixed:
        if item.against is None:
            there = shapely.linestrings(fine(item.curves))
            need = MARGIN if item.name in ("gutter", "seal, free") else WISH
            assert shapely.distance(solids, there).min() >= need - 2e-3, item.name
    assert arm.clears.at_least >= WISH - 0.011


def test_the_arm_is_one_sound_outline_as_wide_as_asked(made: tuple[Section, Neck]) -> None:
    _, arm = made
    solid = shapely.Polygon(fine(arm.outline.curves))
    assert solid.is_valid and solid.exterior.is_ccw
    pivot = shapely.Point(PIVOT)
    assert solid.exterior.distance(pivot) == pytest.approx(SIZES.hub / 2, abs=1e-3)
    # across the ring, in the middle of the hook
    middle = radians(arm.leg_deg + arm.hook_deg / 2 + 5)
    ray = shapely.LineString(
        [(PIVOT[0] + r * cos(middle), PIVOT[1] + r * sin(middle)) for r in (50, 300)]
    )
    assert solid.intersection(ray).length == pytest.approx(SIZES.width, abs=1e-2)
    for corner in SIZES.pad:
        assert solid.exterior.distance(shapely.Point(corner)) == pytest.approx(0, abs=1e-9)
    # the strip through the throat's middle is nowhere narrower than the ring or the hub
    assert not solid.buffer(-SIZES.hub / 2 + 0.5).is_empty


def test_the_arm_turns_smoothly_everywhere_but_at_the_pad(made: tuple[Section, Neck]) -> None:
    _, arm = made
    curves = arm.outline.curves
    for before, after in zip(curves, (*curves[1:], curves[0]), strict=True):
        (ax, ay), (bx, by) = before.tangent(1), after.tangent(0)
        if before.end not in SIZES.pad:
            assert ax * by - ay * bx == pytest.approx(0, abs=1e-6)
            assert ax * bx + ay * by > 0.99


def test_more_opening_asks_for_more_of_a_hook() -> None:
    hooks = [
        neck(section(deg), PIVOT, SIZES, ["gutter", "seal, free"], MARGIN, WISH).hook_deg
        for deg in (60, 70, 80, 90)
    ]
    assert np.diff(hooks) == pytest.approx([10, 10, 10], abs=1.0)


def test_the_arm_swings_clear_with_the_lid_it_carries(made: tuple[Section, Neck]) -> None:
    all_round, arm = made
    found = swing(all_round.with_moving(arm.outline), PIVOT)
    assert not found.strikes
    room = shapely.box(-170, -170, 400, 0)
    walls = polyline("boot", tuple(room.exterior.coords)[:-1], closed=True)
    assert outside_room(arm.outline, walls.curves) is None
    small = polyline("boot", ((-170, -150), (400, -150), (400, 0), (-170, 0)), closed=True)
    out = outside_room(arm.outline, small.curves)
    assert out is not None and out[0] == pytest.approx(arm.depth_below_lid - 150, abs=0.2)


def test_arms_that_cannot_be_are_refused_with_words() -> None:
    round_it = ["gutter", "seal, free"]
    near = replace(SIZES, pad=((20, -8), (170, -8)))
    with pytest.raises(ValueError, match="the pad's front end lies"):
        neck(section(), PIVOT, near, round_it, MARGIN, WISH)
    with pytest.raises(ValueError, match="nothing fixed is called guter"):
        neck(section(), PIVOT, SIZES, ["guter"], MARGIN, WISH)
    with pytest.raises(ValueError, match=r"panel ahead.*make the hub"):
        neck(section(), PIVOT, replace(SIZES, hub=30), round_it, MARGIN, WISH)
    with pytest.raises(ValueError, match="move the pivot"):
        neck(section(), (10, -30), SIZES, round_it, MARGIN, WISH)
    with pytest.raises(ValueError, match="more than 0 mm"):
        neck(section(), PIVOT, replace(SIZES, width=0), round_it, MARGIN, WISH)
    with pytest.raises(ValueError, match="name the gutter"):
        throat([], PIVOT, 8)


# ends of a strut from the pivot when shut, and its length as the lid opens, by turning (300, -20)
# and Pythagoras: at 60 degrees the lid end is at (167.32, 249.81), at 90 at (20, 300)
HELD = StrutLength(on_lid=(300, -20), on_body=(60, -260), extended=540)


@pytest.mark.parametrize(("opening_deg", "length"), [(60, 520.981), (90, 561.427)])
def test_the_strut_is_as_long_as_its_ends_are_apart(opening_deg: float, length: float) -> None:
    found = stop((0, 0), opening_deg, -120, hub=26, radius=40, strut=HELD)
    assert found.strut_longest == pytest.approx(length, abs=1e-3)
    assert found.spare == pytest.approx(540 - length, abs=1e-3)
    assert found.touches_first(5) == (opening_deg == 60)


def test_the_strut_ends_at_the_angle_at_which_it_is_that_long() -> None:
    found = stop((0, 0), 60, -120, hub=26, radius=40, strut=HELD)
    assert found.strut_ends_deg is not None and 60 < found.strut_ends_deg < 90
    a = radians(found.strut_ends_deg)
    lid = (300 * cos(a) + 20 * sin(a), 300 * sin(a) - 20 * cos(a))
    assert hypot(lid[0] - 60, lid[1] + 260) == pytest.approx(540)


def test_a_strut_that_passes_over_centre_is_longest_in_line_with_the_pivot() -> None:
    over = StrutLength(on_lid=(100, 0), on_body=(-60, -60), extended=190)
    found = stop((0, 0), 120, -150, hub=20, radius=30, strut=over)
    assert found.strut_longest == pytest.approx(100 + hypot(60, 60))
    assert found.strut_ends_deg is None or found.spare < 0
    assert stop((0, 0), 20, -150, 20, 30, over).strut_longest < 100 + hypot(60, 60)


def test_the_stop_is_where_the_turned_leg_is(made: tuple[Section, Neck]) -> None:
    all_round, arm = made
    held = StrutLength(on_lid=(60, -30), on_body=(260, -260), extended=485)
    found = stop(PIVOT, all_round.opening_deg, arm.leg_deg, SIZES.hub, 50, held)
    solid = shapely.Polygon(
        turned(fine(arm.outline.curves), PIVOT, np.array([all_round.opening_deg]))[0]
    )
    assert hypot(found.at[0] - PIVOT[0], found.at[1] - PIVOT[1]) == pytest.approx(50)
    assert solid.exterior.distance(shapely.Point(found.at)) < 1e-6
    # 1 mm less of a stop, square to the leg, opens further by 1 / (arm along the leg)
    assert found.deg_per_mm == pytest.approx(degrees(1 / np.sqrt(50**2 - 13**2)))


def test_stops_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="more than the hub"):
        stop((0, 0), 80, -120, hub=26, radius=12, strut=HELD)
    with pytest.raises(ValueError, match="on the pivot itself"):
        stop((300, -20), 80, -120, hub=26, radius=40, strut=HELD)
    with pytest.raises(ValueError, match="opening angle"):
        stop((0, 0), 200, -120, hub=26, radius=40, strut=HELD)
