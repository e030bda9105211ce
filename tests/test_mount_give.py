"""How much a bumper mount gives: textbook frames, and its own bent strip."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import cos, hypot, radians, sin, sqrt, tan

import numpy as np
import pytest
from mount_made import (
    ABREAST,
    PARALLEL,
    SQUARE,
    STEP,
    R,
    T,
    abreast,
    bench,
    config,
    figure,
    findings_at,
    made,
    net_width,
    piece_of,
    screen,
    step_turn,
    worked_fold,
)

from parts.kinds.bumper_mount import lay_out
from parts.kinds.bumper_mount.frame import Strip, flexibility, most_give

E_MPA = 210000.0  # S235, EN 1993-1-1 3.2.6
G = 9.80665

# Frames of the textbooks: one end built in, a force at the other in the frame's plane


def chain(*corners: tuple[float, float], width: float = 50.0) -> tuple[Strip, ...]:
    """Legs from corner to corner in the plane x, y; the strip's width stands along z."""
    strips = []
    for (x0, y0), (x1, y1) in pairwise(corners):
        normal = np.array([-(y1 - y0), x1 - x0, 0.0]) / hypot(x1 - x0, y1 - y0)
        strips.append(Strip(np.array([x0, y0, 0.0]), np.array([x1, y1, 0.0]), normal, width))
    return tuple(strips)


def largest(pp: float, qq: float, pq: float) -> float:
    """The larger root of a 2 x 2 symmetric matrix, by the quadratic formula."""
    return (pp + qq) / 2 + sqrt(((pp - qq) / 2) ** 2 + pq**2)


@pytest.mark.parametrize(("a", "b"), [(94, 36), (36, 94), (250, 20), (60, 60)])
def test_an_l_frame_gives_as_castigliano_says(a: float, b: float) -> None:
    # moment in the far leg, s from the tip: P s; in the near one: P b - Q s. Energy M^2 / 2EI,
    # differentiated: PP b^3/3 + a b^2, QQ a^3/3, PQ - b a^2/2
    stiff = E_MPA * 50 * 5**3 / 12
    found = flexibility(chain((0, 0), (a, 0), (a, b)), 5, E_MPA)
    pp, qq, pq = b**3 / 3 + a * b**2, a**3 / 3, -b * a**2 / 2
    assert found[:2, :2] * stiff == pytest.approx(np.array([[pp, pq], [pq, qq]]))
    most = most_give(chain((0, 0), (a, 0), (a, b)), 235.4, 5, E_MPA)
    assert most == pytest.approx(235.4 * largest(pp, qq, pq) / stiff)


@pytest.mark.parametrize(("a", "h", "b"), [(40, 120, 60), (30, 60, 90), (100, 20, 10)])
def test_a_z_frame_gives_as_castigliano_says(a: float, h: float, b: float) -> None:
    # far leg Q s; web Q b - P s; near leg Q (b + s) - P h. Differentiated:
    # QQ (a+b)^3/3 + b^2 h, PP h^3/3 + a h^2, PQ - b h^2/2 - h a (a + 2b)/2
    stiff = E_MPA * 50 * 5**3 / 12
    strips = chain((0, 0), (a, 0), (a, h), (a + b, h))
    pp, qq = h**3 / 3 + a * h**2, (a + b) ** 3 / 3 + b**2 * h
    pq = -b * h**2 / 2 - h * a * (a + 2 * b) / 2
    found = flexibility(strips, 5, E_MPA)
    assert found[:2, :2] * stiff == pytest.approx(np.array([[pp, pq], [pq, qq]]))
    most = most_give(strips, 100.0, 5, E_MPA)
    assert most == pytest.approx(100 * largest(pp, qq, pq) / stiff)


def test_a_pull_along_the_fold_twists_a_leg_by_no_less_than_saint_venant_says() -> None:
    # the near leg twists under z b over its length a: b^2 a / GJ, J = w t^3 / 3, G = E / 2.6
    a, b, w, t = 94.0, 36.0, 50.0, 5.0
    twisted = b**2 * a / (E_MPA / 2.6 * w * t**3 / 3)
    found = flexibility(chain((0, 0), (a, 0), (a, b)), t, E_MPA)[2, 2]
    assert twisted <= found <= 1.6 * twisted


def test_a_frame_gives_the_same_wherever_and_however_it_stands() -> None:
    turn = np.linalg.qr(np.random.default_rng(4).normal(size=(3, 3)))[0]
    plain = chain((0, 0), (40, 0), (70, 90), (130, 90))
    moved = tuple(
        Strip(turn @ s.start + 500, turn @ s.end + 500, turn @ s.normal, s.width) for s in plain
    )
    assert most_give(moved, 100, 5, E_MPA) == pytest.approx(most_give(plain, 100, 5, E_MPA))


def give_by_hand(
    force: float, pieces: list[tuple[float, float]], width: Callable[[float], float]
) -> float:
    """Castigliano along a middle line of (length, turn in radians) pieces, integrated in steps.

    `width` is that of the plate at a place along the line.
    """
    at, heading, run = np.zeros(2), 0.0, 0.0
    places, steps, widths = [], [], []
    for length, turn in pieces:
        for _ in range(400):
            ds = length / 400
            heading += turn / 800
            mid = at + ds / 2 * np.array([cos(heading), sin(heading)])
            at = at + ds * np.array([cos(heading), sin(heading)])
            heading += turn / 800
            places.append(mid)
            steps.append(ds)
            widths.append(width(run + ds / 2))
            run += ds
    arm = at - np.array(places)
    weight = np.array(steps) * 12 / (E_MPA * np.array(widths) * T**3)
    pp, qq = (arm[:, 1] ** 2 @ weight), (arm[:, 0] ** 2 @ weight)
    return force * largest(pp, qq, -(arm[:, 0] * arm[:, 1]) @ weight)


def test_give_of_the_worked_mount_is_that_of_its_bent_strip() -> None:
    piece = piece_of(made())
    hand = worked_fold()
    near, far, turn = min(hand.before), max(hand.after), radians(hand.turn_deg)
    arc, allowance = (R + T / 2) * turn, figure(piece, "fold: bend allowance")

    def width(run: float) -> float:
        if run < near:
            return net_width(piece.blank, run - near)
        if run < near + arc:
            return net_width(piece.blank, allowance / 2)
        return net_width(piece.blank, run - near - arc + allowance)

    give = give_by_hand(8 * G * 3, [(near, 0), (arc, turn), (far, 0)], width)
    assert screen(piece, "give at the studs").found == pytest.approx(give, rel=0.015)


def test_give_of_a_step_counts_its_web() -> None:
    asked = config(rail_slots="none", bar_slots="none", right=PARALLEL, bar_mass=1)
    points = {**STEP, "S1": (1100.0, 700.0, 450.0), "S2": (1100.0, 700.0, 510.0)}
    piece = piece_of(lay_out("mount", asked, bench(points)))
    turn = radians(step_turn(120, 200))
    apexes = 23 + (R + T) * tan(turn / 2) + 20.5 + R * tan(turn / 2)
    web = (200 - apexes) / cos(turn) - (2 * R + T) * tan(turn / 2)
    arc = (R + T / 2) * turn
    allowance = figure(piece, "rail fold: bend allowance")
    runs = [23, 23 + arc, 23 + arc + web, 23 + 2 * arc + web]

    def width(run: float) -> float:
        bends = sum(min(max(run - start, 0), arc) for start in (runs[0], runs[2]))
        return net_width(piece.blank, run - 23 + bends * (allowance / arc - 1))

    pieces = [(23, 0), (arc, turn), (web, 0), (arc, -turn), (20.5, 0)]
    give = give_by_hand(1 * G * 3, pieces, width)
    assert screen(piece, "give at the studs").found == pytest.approx(give, rel=0.015)


def test_a_long_rail_leg_is_told_for_its_give() -> None:
    # legs of about 250 and 27 mm of a strip 96 wide: by the L frame above 2.9 mm
    piece = abreast()
    stiff = E_MPA * 96 * T**3 / 12
    give = 4 * G * 3 * largest(27**3 / 3 + 250 * 27**2, 250**3 / 3, -27 * 250**2 / 2) / stiff
    assert give == pytest.approx(2.9, abs=0.15)
    assert screen(piece, "give at the studs").found == pytest.approx(give, rel=0.05)
    part = lay_out("mount", config(right=SQUARE, reach=300, bar_mass=4), bench(ABREAST))
    (found,) = findings_at(part, "right: screening, give at the studs")
    assert not found.refuses and "return" not in found.remedy
