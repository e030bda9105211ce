"""Biarcs: the tolerance holds where it is measured densely, joints are smooth, arcs are few."""

from itertools import pairwise
from math import atan2, cos, e, exp, hypot, pi, radians, sin, sqrt, tan, tau

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.sheet.biarc import biarcs
from parts.sheet.curve import Arc, Line
from parts.sheet.loop import length


def worst(curve, chain, low, high, count=20001):
    """Greatest distance from dense samples of the curve to the chain (numpy, on its own)."""
    points = np.array([curve(s) for s in np.linspace(low, high, count)])
    best = np.full(count, np.inf)
    for piece in chain:
        start, end = np.array(piece.start), np.array(piece.end)
        if isinstance(piece, Arc):
            from_center = points - piece.center
            radius = hypot(*(start - piece.center))
            first = atan2(*(start - piece.center)[::-1])
            way = np.sign(piece.sweep)
            turn = ((np.arctan2(from_center[:, 1], from_center[:, 0]) - first) * way) % tau
            off = np.abs(np.hypot(*from_center.T) - radius)
            off[turn > abs(piece.sweep)] = np.inf
        else:
            run = (end - start) / hypot(*(end - start))
            ahead = np.clip((points - start) @ run, 0, hypot(*(end - start)))
            off = np.hypot(*(points - start - ahead[:, None] * run).T)
        ends = [np.hypot(*(points - tip).T) for tip in (start, end)]
        best = np.minimum.reduce([best, off, *ends])
    return float(best.max())


def kinks(chain):
    """Turn at every joint, radians, from each piece's own ends and centre."""

    def heading(piece, tip):
        if isinstance(piece, Line):
            return (piece.end[0] - piece.start[0], piece.end[1] - piece.start[1])
        way = 1 if piece.sweep > 0 else -1
        return (-way * (tip[1] - piece.center[1]), way * (tip[0] - piece.center[0]))

    turns = []
    for before, after in pairwise(chain):
        (ax, ay), (bx, by) = heading(before, before.end), heading(after, after.start)
        turns.append(abs(atan2(ax * by - ay * bx, ax * bx + ay * by)))
    return turns


def oblique(radius, angle_deg):
    """A tube cut by a plane leaning `angle_deg`, unrolled: a sine as long as the bend."""
    rise = radius * tan(radians(angle_deg))
    return lambda s: (radius * s, rise * cos(s)), lambda s: (radius, -rise * sin(s))


def test_oblique_cut_of_a_half_band_takes_about_24_arcs_and_keeps_to_a_hundredth():
    curve, slope = oblique(380, 25)
    chain = biarcs(curve, slope, 0, pi, 0.01)
    assert 20 <= len(chain) <= 28
    assert worst(curve, chain, 0, pi) <= 0.01
    assert max(kinks(chain)) < 1e-6
    assert (chain[0].start, chain[-1].end) == (curve(0), curve(pi))
    assert all(a.end == b.start for a, b in pairwise(chain))


@settings(max_examples=15, deadline=None, derandomize=True)
@given(st.integers(20, 900), st.integers(1, 60), st.sampled_from([0.1, 0.01, 0.001]))
def test_tolerance_holds_for_oblique_cuts_of_any_lean(radius, angle_deg, tolerance):
    curve, slope = oblique(radius, angle_deg)
    chain = biarcs(curve, slope, 0.3, 5, tolerance)
    assert worst(curve, chain, 0.3, 5, 5001) <= tolerance
    assert max(kinks(chain)) < 1e-5


def test_arcs_are_needed_as_the_cube_root_of_the_tolerance():
    # a biarc's error grows with the cube of its length (Meek and Walton 1995, from memory)
    curve, slope = oblique(380, 25)
    rough, fine = (len(biarcs(curve, slope, 0, pi, tol)) for tol in (0.1, 0.0001))
    assert fine / rough == pytest.approx(10, rel=0.25)


def test_saddle_cut_round_a_whole_tube_closes():
    # a tube of 120 through a roller of radius 380, its axis 40 aside
    def curve(s):
        return (380 * np.arcsin((60 * cos(s) + 40) / 380), 60 * sin(s))

    def slope(s):
        x = (60 * cos(s) + 40) / 380
        return (-60 * sin(s) / sqrt(1 - x * x), 60 * cos(s))

    chain = biarcs(curve, slope, 0, tau, 0.01)
    assert worst(curve, chain, 0, tau) <= 0.01
    assert len(chain) <= 30
    assert hypot(chain[0].start[0] - chain[-1].end[0], chain[0].start[1] - chain[-1].end[1]) < 1e-9


def test_length_of_a_parabola_comes_out_as_the_textbook_says():
    # y = x^2 / 4f over half width b: L = b/2 sqrt(1 + k^2) + b/(2k) asinh(k), k = b / 2f
    b, f = 100.0, 25.0
    k = b / (2 * f)
    exact = b / 2 * sqrt(1 + k * k) + b / (2 * k) * np.arcsinh(k)
    chain = biarcs(lambda x: (x, x * x / (4 * f)), lambda x: (1, x / (2 * f)), 0, b, 0.001)
    assert length(chain) == pytest.approx(exact, abs=0.001)


def test_logarithmic_spiral_keeps_its_tolerance_over_two_turns():
    def curve(s):
        return (10 * exp(0.2 * s) * cos(s), 10 * exp(0.2 * s) * sin(s))

    def slope(s):
        r = 10 * exp(0.2 * s)
        return (r * (0.2 * cos(s) - sin(s)), r * (0.2 * sin(s) + cos(s)))

    chain = biarcs(curve, slope, 0, 2 * tau, 0.01)
    assert worst(curve, chain, 0, 2 * tau) <= 0.01
    # from r = 10: length = (r1 - r0) sqrt(1 + b^2) / b; running beside a curve at a distance d
    # through a turn a changes the length by d a
    exact = 10 * (e ** (0.4 * tau) - 1) * sqrt(1.04) / 0.2
    assert length(chain) == pytest.approx(exact, abs=0.01 * 2 * tau)


def test_straight_curve_is_one_line_and_a_circle_is_its_own_arcs():
    assert biarcs(lambda s: (s, 2 * s), lambda s: (1, 2), 0, 5) == (Line((0, 0), (5, 10)),)
    ring = biarcs(
        lambda s: (3 + 10 * cos(s), 10 * sin(s)), lambda s: (-10 * sin(s), 10 * cos(s)), 0, tau
    )
    assert len(ring) <= 4
    assert all(isinstance(p, Arc) and p.center == pytest.approx((3, 0), abs=1e-6) for p in ring)
    assert length(ring) == pytest.approx(tau * 10, abs=1e-6)


def test_curve_that_bows_by_less_than_a_millionth_is_drawn_straight():
    # radius 1e8 over 20 mm rises c^2 / 8r = 5e-7 mm
    chain = biarcs(lambda s: (s, s * s / 2e8), lambda s: (1, s / 1e8), 0, 20)
    assert len(chain) == 1
    assert isinstance(chain[0], Line)


def test_corner_named_in_breaks_stays_sharp():
    def curve(s):
        return (s, abs(s) * 2 + 0.01 * s * s)

    def slope(s):
        return (1.0, (2 if s > 0 else -2) + 0.02 * s)

    chain = biarcs(curve, slope, -10, 10, 0.01, breaks=[0])
    joints = {piece.start for piece in chain}
    assert (0, 0) in joints
    assert worst(curve, chain, -10, 10) <= 0.01
    assert max(kinks(chain)) == pytest.approx(
        2 * atan2(2, 1), abs=1e-6
    )  # down at 2 in 1, up at 2 in 1
    assert sorted(kinks(chain))[-2] < 1e-6


def test_cusp_named_in_breaks_is_kept_and_both_branches_followed():
    # the semicubical parabola y^3 = x^2 from (-1, 1) by its cusp (0, 0) to (1, 1)
    def curve(s):
        return (s**3, s**2)

    chain = biarcs(curve, lambda s: (3 * s * s, 2 * s), -1, 1, 0.001, breaks=[0])
    assert worst(curve, chain, -1, 1) <= 0.001
    # Neile 1657: length of a branch = (13^1.5 - 8) / 27
    assert length(chain) == pytest.approx(2 * (13**1.5 - 8) / 27, abs=0.004)


def test_curve_that_stands_still_or_runs_backward_is_refused():
    with pytest.raises(ValueError, match="stands still"):
        biarcs(lambda s: (s**3, s**2), lambda s: (3 * s * s, 2 * s), -1, 1)
    with pytest.raises(ValueError, match="upward"):
        biarcs(lambda s: (s, s), lambda s: (1, 1), 1, 0)
    with pytest.raises(ValueError, match="tolerance"):
        biarcs(lambda s: (s, s), lambda s: (1, 1), 0, 1, tolerance=0)
