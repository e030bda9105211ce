"""How big and how long a fillet must be, and the welds round a tab's foot."""

from math import sqrt

import numpy as np
import pytest

from parts.place import HERE
from parts.sheet.curve import Line
from parts.trade.weld import (
    Run,
    effective_length,
    leg,
    leg_for_gap,
    length_screens,
    long_lap_factor,
    root_screen,
    size_screens,
    tab_welds,
    throat,
    trimmed,
    usual_leg,
    weld_group,
)


def test_throat_and_leg_are_one_triangle():
    assert throat(5) == pytest.approx(3.5355, abs=5e-5)
    assert leg(throat(6.3)) == pytest.approx(6.3)
    assert throat(5, 120) == pytest.approx(2.5)
    with pytest.raises(ValueError, match="60 to 120 degrees"):
        throat(5, 130)


def test_a_weld_loses_a_throat_at_each_open_end():
    # EN 1993-1-8 4.5.1(1): the length less 2 a, or all of it where full size throughout
    assert effective_length(70, 4) == 62
    assert effective_length(70, 4, open_ends=0) == 70


@pytest.mark.parametrize(
    ("length", "throat", "holds"), [(38, 4, True), (37, 4, False), (62, 8, False), (64, 8, True)]
)
def test_a_weld_too_short_to_carry_is_told(length, throat, holds):
    # 4.5.1(2): what counts is to be 30 mm and 6 a at least
    assert next(length_screens(length, throat)).holds is holds


def test_a_weld_shorter_than_four_legs_is_told():
    screens = list(length_screens(40, 7.1, open_ends=0))
    assert screens[1].limit == pytest.approx(4 * 7.1 * sqrt(2))
    assert not screens[1].holds


def test_weld_longer_than_the_root_does_not_hold():
    assert root_screen(70, 70).holds
    assert not root_screen(75, 70).holds


@pytest.mark.parametrize(("thinner", "least_leg"), [(5, 3), (6, 3), (8, 5), (16, 6), (25, 8)])
def test_least_sizes_of_a_fillet(thinner, least_leg):
    small, size = size_screens(3.0, thinner)
    assert small.limit == 3 and small.holds  # EN 1993-1-8 4.5.2
    assert size.limit == least_leg  # AISC 360 table J2.4


def test_a_long_lap_counts_for_less():
    # EN 1993-1-8 4.11: 1.2 - .2 L / (150 a)
    assert long_lap_factor(600, 4) == 1
    assert long_lap_factor(1200, 4) == pytest.approx(0.8)


def test_a_gap_at_the_root_is_added_to_the_leg():
    assert leg_for_gap(5, 1.6) == 5
    assert leg_for_gap(5, 3.4) == pytest.approx(8.4)
    with pytest.raises(ValueError, match=r"gap of 5\.00 mm"):
        leg_for_gap(5, 5)


def test_the_usual_leg_on_6_mm_is_a_little_over_4():
    assert usual_leg(6) == pytest.approx(4.2)


# Round a tab


def test_open_welds_stop_short_and_lose_their_ends():
    runs = tab_welds([Line((-35, 0), (35, 0))], 6, 3.5, wrapped=False, stop_short=5)
    assert [run.curve.length for run in runs] == pytest.approx([53, 53])
    assert weld_group(runs).centre == pytest.approx([0, 0, 0], abs=1e-12)


def test_a_wrapped_tab_has_a_closed_ring_of_weld():
    # all round 70 x 6: Blodgett's I about the root and across it, for a throat of 1
    group = weld_group(tab_welds([Line((-35, 10), (35, 10))], 6, 1, wrapped=True))
    assert group.length == pytest.approx(152)
    assert group.centre == pytest.approx([0, 10, 0], abs=1e-12)
    assert group.stiffness[2, 2] == pytest.approx(70**2 / 6 * (3 * 6 + 70))
    assert group.stiffness[0, 0] == pytest.approx(6**2 / 6 * (3 * 70 + 6))


def test_every_weld_of_a_tab_lies_on_its_outside_above_the_base():
    for run in tab_welds([Line((-35, 0), (35, 0))], 6, 3.5, wrapped=True):
        middle = run.at(np.array([0.5]))[0]
        square, across, along = (a[0] for a in run.frame(np.array([0.5])))
        outward = across * sqrt(2) - (0, 1, 0)  # across is plate and base, each 1 / sqrt2
        assert outward @ middle > 0
        assert outward[1] == pytest.approx(0)
        axes = np.array([square, across, along])
        assert axes @ axes.T == pytest.approx(np.eye(3))


def test_a_foot_with_no_weld_left_is_refused():
    with pytest.raises(ValueError, match="has no weld left"):
        trimmed([Line((0, 0), (10, 0))], 5)


def test_a_group_without_welds_is_refused():
    with pytest.raises(ValueError, match="needs welds"):
        weld_group([])
    with pytest.raises(ValueError, match="needs welds"):
        weld_group([Run(Line((0, 0), (10, 0)), 0, HERE)])
