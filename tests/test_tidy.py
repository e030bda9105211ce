"""Specks drawn together: an outline that a cutter takes, and that has hardly moved."""

import random

import pytest

from parts.sheet.curve import Arc, Line
from parts.sheet.loop import area, polygon
from parts.sheet.outline import hull
from parts.sheet.tidy import SPECK, tidied


def test_a_speck_between_two_edges_is_drawn_together() -> None:
    loop = polygon([(0, 0), (10, 0), (10, 10), (9.996, 10.003), (0, 10)])
    assert [c.end for c in tidied(loop)][1] == pytest.approx((9.998, 10.0015))
    assert len(tidied(loop)) == 4


def test_what_is_longer_than_a_speck_stays() -> None:
    loop = polygon([(0, 0), (10, 0), (10, 10), (10 - 2 * SPECK, 10 + SPECK), (0, 10)])
    assert tidied(loop) == loop


def test_an_edge_that_goes_straight_on_is_one() -> None:
    loop = polygon([(0, 0), (4, 0), (10, 0), (10, 10), (10, 12), (0, 12)])
    assert sorted(c.length for c in tidied(loop)) == pytest.approx([10, 10, 12, 12])


def test_hulls_of_discs_that_nearly_line_up_lose_their_specks_and_keep_their_area() -> None:
    dice = random.Random(5)
    for _ in range(60):
        nudge = dice.uniform(-2e-3, 2e-3)
        discs = [((0.0, 0.0), 20.0), ((30.0, nudge), 20.0), ((60.0, 0.0), 20.0 + nudge / 3),
                 ((dice.uniform(70, 90), dice.uniform(-30, 30)), dice.uniform(10, 25))]  # fmt: skip
        drawn = hull(discs)
        found = tidied(drawn)
        assert min(c.length for c in found) >= SPECK
        assert area(found) == pytest.approx(area(drawn), abs=sum(c.length for c in drawn) * SPECK)
        before = {round(c.sweep, 9) for c in drawn if isinstance(c, Arc)}
        assert {round(c.sweep, 9) for c in found if isinstance(c, Arc)} <= before
        for a, b in zip(found, (*found[1:], found[0]), strict=True):
            assert a.end == b.start
            assert isinstance(a, Line | Arc)
