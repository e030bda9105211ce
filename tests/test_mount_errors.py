"""How sure a bumper mount is, by Monte Carlo and by hand; and steps."""

from __future__ import annotations

from dataclasses import replace
from math import degrees, hypot, pi, radians, sqrt, tan

import kernel
import numpy as np
import pytest
from mount_by_hand import bar_normal, rail_normal, rotated, single_fold
from mount_made import (
    LEAN,
    SIDE,
    STEP,
    WORKED,
    R,
    T,
    assert_bolts_up,
    bench,
    config,
    faceted,
    figure,
    findings_at,
    made,
    piece_of,
    refusals,
    spread,
    step_turn,
)

from parts.kinds.bumper_mount import lay_out
from parts.sheet.allowance import BendBook, BentStrip, BookRow
from parts.sheet.body import body
from parts.solid.build import solid


def test_turns_error_is_that_of_a_monte_carlo_over_the_angles() -> None:
    angles = {"toe": (1.5, 0.4), "lean": (-2.0, 0.3), "sweep": (6.0, 0.5), "bar": (2.9, 0.25)}
    said = {k: f"{v} ± {e}" for k, (v, e) in angles.items()}
    side = {"rail_face": {"toe": said["toe"], "lean": said["lean"]},
            "bar_face": {"sweep": said["sweep"], "lean": said["bar"]}}  # fmt: skip
    piece = piece_of(made(side=side))
    rng = np.random.default_rng(3)
    draws = {k: rng.normal(v, e / 1.959964, 8000) for k, (v, e) in angles.items()}
    turns = [
        degrees(np.arccos(rail_normal(a, b, 1) @ bar_normal(c, d, 1, 1)))
        for a, b, c, d in zip(*draws.values(), strict=True)
    ]
    assert figure(piece, "fold: turn angle") == pytest.approx(np.mean(turns), abs=0.02)
    found = spread(piece, "fold: turn angle")
    assert found == pytest.approx(1.959964 * np.std(turns), rel=0.04)
    assert spread(piece, "fold: included angle") == found


def test_turns_error_is_that_of_a_monte_carlo_over_the_faces_points() -> None:
    n = bar_normal(6, LEAN, 1, 1)
    along, up = rotated((0, 1, 0), (0, 0, 0), (0, 0, 1), 6), np.cross(n, (0, 1, 0))
    points = {**WORKED}
    for name, (i, j) in {"B1": (-60, -50), "B2": (70, -40), "B3": (10, 90)}.items():
        at = np.array(WORKED["S1"]) + i * along + j * up
        at -= ((at - np.array(WORKED["S1"])) @ n) * n
        points[name] = tuple(float(v) for v in at)
    rng = np.random.default_rng(5)
    half = rng.normal(size=(21, 21)) * 0.2
    covariance = half @ half.T
    side = {**SIDE, "bar_face": {"points": ["B1", "B2", "B3"]}}
    piece = piece_of(lay_out("mount", config(side), bench(points, covariance)))
    order = list(points)
    flat = np.concatenate([points[name] for name in order])
    draws = rng.multivariate_normal(flat, covariance, 8000).reshape(8000, 7, 3)
    b1, b2, b3 = (draws[:, order.index(k)] for k in ("B1", "B2", "B3"))
    m = np.cross(b2 - b1, b3 - b1)
    m /= np.linalg.norm(m, axis=1)[:, None]
    turns = np.degrees(np.arccos(-np.abs(m @ np.array([0, 1.0, 0]))))
    assert spread(piece, "fold: turn angle") == pytest.approx(1.959964 * np.std(turns), rel=0.04)


def test_a_hole_s_distance_carries_the_error_of_angles_and_points() -> None:
    rng = np.random.default_rng(17)
    half = rng.normal(size=(12, 12)) * 0.15
    covariance = half @ half.T
    angles = {"toe": (0.0, 0.4), "lean": (0.0, 0.3), "sweep": (6.0, 0.5), "bar": (LEAN, 0.25)}
    said = {k: f"{v:.12f} ± {e}" for k, (v, e) in angles.items()}
    side = {**SIDE, "rail_face": {"toe": said["toe"], "lean": said["lean"]},
            "bar_face": {"sweep": said["sweep"], "lean": said["bar"]}}  # fmt: skip
    piece = piece_of(lay_out("mount", config(side), bench(WORKED, covariance)))
    flat = np.concatenate([WORKED[name] for name in WORKED])
    points = rng.multivariate_normal(flat, covariance, 3000).reshape(3000, 4, 3)
    turned = np.array([rng.normal(v, e / 1.959964, 3000) for v, e in angles.values()]).T
    found = []
    for (a1, a2, s1, s2), (toe, lean, sweep, bar) in zip(points, turned, strict=True):
        rail, back = rail_normal(toe, lean, 1), bar_normal(sweep, bar, 1, 1)
        hand = single_fold(
            ((a1 + a2) / 2, rail), ((s1 + s2) / 2, back), [a1, a2], [s1, s2], T, R
        )
        found.append([*hand.before, *hand.after])
    expected = 1.959964 * np.std(found, axis=0)
    for name, half_width in zip(WORKED, expected, strict=True):
        said_half = spread(piece, f"{name}: from the start of the bend")
        assert said_half == pytest.approx(half_width, rel=0.06)


def test_a_hole_s_distance_carries_the_error_of_the_bend_allowance() -> None:
    strip = BentStrip(120.0, 64.5, 64.4)
    book = BendBook((BookRow("S235", T, R, strip=strip),))
    piece = piece_of(lay_out("mount", config(), replace(bench(), book=book)))
    # nothing else has an error here. k of the strip moves by sqrt3 x 0.1 / (1.5708 x 5) with the
    # caliper, and with the level's 0.3 degrees: setback's rate 10 x 2 less allowance over turn
    length = 120 - 64.5 - 64.4 + 2 * 10
    by_angle = (20 - length / (pi / 2)) / (pi / 2 * T) * radians(0.3)
    k_error = hypot(sqrt(3) * 0.1 / (pi / 2 * T), by_angle)
    error = radians(figure(piece, "fold: turn angle")) * T * k_error
    for name in WORKED:
        found = spread(piece, f"{name}: from the start of the bend")
        assert found == pytest.approx(error, rel=1e-6)


def test_an_angle_whose_error_cannot_be_worked_out_is_said_to_have_none() -> None:
    # the sweep moved by 84 degrees either way puts the holes behind the bar
    loose = made(side={"bar_face": {"sweep": "6 ± 84", "lean": "2.9 ± 0"}})
    piece = piece_of(loose)
    assert all(f.plus_minus is None for f in piece.figures if "turn angle" in f.name)
    (told,) = findings_at(loose, "right: bends")
    assert "± of the turns" in told.found and "could not be worked out" in told.found
    assert not findings_at(made(side={"bar_face": {"sweep": "6 ± 1", "lean": 2.9}}), "right: bends")


def test_an_angle_that_fits_only_one_way_still_gets_its_error() -> None:
    # 70 degrees more and the bar runs along the rail: no bend; 70 less and there still is one
    one_way = made(side={"bar_face": {"sweep": "20 ± 70", "lean": "0 ± 0"}})
    assert spread(piece_of(one_way), "fold: turn angle") == pytest.approx(70, abs=1e-6)
    assert not findings_at(one_way, "right: bends")


def test_a_step_between_parallel_faces_turns_as_its_triangle_says() -> None:
    side = {**SIDE, "bar_face": {"sweep": "90 ± 0", "lean": "0 ± 0"}}
    keys = {"rail_slots": "none", "bar_slots": "none", "right": side}
    piece = piece_of(lay_out("mount", config(**keys), bench(STEP)))
    turn = step_turn(60, 150)
    assert [b.turn_deg for b in piece.blank.bends] == pytest.approx([turn, -turn], abs=1e-6)
    assert figure(piece, "A1: from the start of the bend") == pytest.approx(23, abs=1e-6)
    assert figure(piece, "S1: from the start of the bend") == pytest.approx(20.5, abs=1e-6)
    assert_bolts_up(piece, STEP, np.array([0, 1.0, 0]), np.array([0, -1.0, 0]))


def test_a_steps_turn_carries_the_error_of_the_points_it_runs_between() -> None:
    side = {**SIDE, "bar_face": {"sweep": "90 ± 0", "lean": "0 ± 0"}}
    keys = {"rail_slots": "none", "bar_slots": "none", "right": side}
    points = {**STEP, "A2": (880.0, 580.0, 510.0), "S2": (1070.0, 640.0, 510.0)}
    sigma = {"A1": 0.3, "A2": 0.2, "S1": 0.5, "S2": 0.4}
    covariance = np.diag(np.repeat([v**2 for v in sigma.values()], 3))
    piece = piece_of(lay_out("mount", config(**keys), bench(points, covariance)))
    assert piece.blank.bends[0].turn_deg == pytest.approx(step_turn(60, 150), abs=1e-6)
    # the height is between the middles of two points each, the run between the foremost ones
    by_height = (step_turn(60.01, 150) - step_turn(59.99, 150)) / 0.02
    by_run = (step_turn(60, 150.01) - step_turn(60, 149.99)) / 0.02
    height = hypot(0.3, 0.2, 0.5, 0.4) / 2
    expected = 1.959964 * hypot(by_height * height, by_run * hypot(0.3, 0.5))
    assert spread(piece, "rail fold: turn angle") == pytest.approx(expected, rel=0.01)
    assert spread(piece, "bar fold: turn angle") == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize("beside", [590.0, 310.0])
@pytest.mark.parametrize("bar_too", [False, True])
def test_a_boss_that_touches_the_line_of_a_neck_beside_it_is_no_hindrance(
    beside: float, bar_too: bool
) -> None:
    # both rail holes are equally far from the bend, one of them well beside it
    points = {
        "A1": (900.0, 580.0, 450.0), "A2": (900.0, 580.0, beside),
        "S1": (1050.0, 640.0, 440.0), "S2": (1050.0, 640.0, 900 - beside if bar_too else 470.0),
    }  # fmt: skip
    side = {**SIDE, "bar_face": {"sweep": "90 ± 0", "lean": "0 ± 0"}}
    part = lay_out("mount", config(right=side, bar_slots="none"), bench(points))
    piece = piece_of(part)
    assert_bolts_up(piece, points, np.array([0, 1.0, 0]), np.array([0, -1.0, 0]))
    assert faceted(piece.blank.outline).is_valid
    assert kernel.valid(solid(body(piece.folded)))


def test_a_web_whose_skew_bends_would_cross_is_refused_as_such() -> None:
    # the bar leans across the run, and the load asks for a bend wider than the web is long
    slope = tan(radians(12))
    tilted = {"S1": (1050.0, 640 - 30 * slope, 450.0), "S2": (1050.0, 640 + 30 * slope, 510.0)}
    three = {"B1": (1050.0, 640.0, 480.0), "B2": (1120.0, 640.0, 480.0),
             "B3": (1050.0, 640 + 60 * slope, 540.0)}  # fmt: skip
    side = {**SIDE, "bar_face": {"points": list(three)}}
    points = {**STEP, **tilted, **three}
    light = piece_of(lay_out("mount", config(right=side), bench(points)))
    n = np.array([0.0, -np.cos(radians(12)), np.sin(radians(12))])
    assert_bolts_up(light, points, np.array([0, 1.0, 0]), n)
    part = lay_out("mount", config(right=side, bar_mass=400), bench(points, t=3, r=3.3))
    assert "web between the two bends" in str(refusals(part)[0])


def test_a_turn_near_the_reach_has_no_jump_in_its_error() -> None:
    side = {**SIDE, "bar_face": {"sweep": "6 ± 0.3", "lean": "2.9 ± 0.3"}}
    near = piece_of(made(side=side, reach=200))
    furthest = max(figure(near, f"{n}: from the start of the bend") for n in ("A1", "S1", "S2"))
    edge = piece_of(made(side=side, reach=furthest + 0.01))
    assert spread(edge, "fold: turn angle") == pytest.approx(spread(near, "fold: turn angle"))
    assert spread(edge, "fold: turn angle") < 0.5
