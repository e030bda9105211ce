"""The bumper mount against the separately written planes and folds of `mount_by_hand`."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import degrees, hypot, radians, tan

import kernel
import numpy as np
import pytest
from mount_by_hand import bar_normal, rail_normal, single_fold
from mount_made import (
    AROUND,
    LEAN,
    SIDE,
    WORKED,
    R,
    T,
    assert_bolts_up,
    bench,
    config,
    faceted,
    figure,
    laid,
    made,
    middle,
    normals,
    piece_of,
    size,
)
from mounts import Case, one_bend_case, two_bend_case
from shapely.geometry import Polygon

from parts.kinds.bumper_mount import lay_out
from parts.part import Piece
from parts.sheet.blank import Blank
from parts.sheet.body import body
from parts.sheet.collide import self_collisions
from parts.sheet.curve import Arc
from parts.solid.build import solid

# The worked case


def test_worked_case_turns_and_leans_as_engineering_arithmetic_says() -> None:
    piece = piece_of(made())
    rail, bar = rail_normal(0, 0, 1), bar_normal(6, LEAN, 1, 1)
    hand = single_fold(
        (WORKED["A1"], rail), (WORKED["S1"], bar), [WORKED["A1"], WORKED["A2"]],
        [WORKED["S1"], WORKED["S2"]], T, R,
    )  # fmt: skip
    assert hand.turn_deg == pytest.approx(95.99, abs=0.005)
    assert figure(piece, "fold: turn angle") == pytest.approx(hand.turn_deg, abs=1e-9)
    assert figure(piece, "fold: included angle") == pytest.approx(180 - hand.turn_deg, abs=1e-9)
    assert figure(piece, "fold: lean of the fold line off square") == pytest.approx(2.86, abs=0.005)
    assert degrees(np.arccos(abs(hand.line[2]))) == pytest.approx(2.86, abs=0.005)
    for i, name in enumerate(("A1", "A2")):
        found = figure(piece, f"{name}: from the start of the bend")
        assert found == pytest.approx(hand.before[i], abs=1e-9)
    for i, name in enumerate(("S1", "S2")):
        found = figure(piece, f"{name}: from the start of the bend")
        assert found == pytest.approx(hand.after[i], abs=1e-9)
    allowance = figure(piece, "fold: bend allowance")
    at = {c.name: middle(c) for c in piece.blank.cutouts}
    for i, a in enumerate(("A1", "A2")):
        for j, s in enumerate(("S1", "S2")):
            apart = hypot(at[a][0] - at[s][0], at[a][1] - at[s][1])
            assert apart == pytest.approx(hand.flat_distance(i, j, allowance), abs=1e-9)


def test_square_bracket_would_miss_by_42_tan_6_and_by_the_studs_lean() -> None:
    piece = piece_of(made())
    # 42 mm out at 6 degrees; 3.5 over the pitch of 70
    assert 42 * tan(radians(6)) == pytest.approx(4.4, abs=0.05)
    assert figure(piece, "a square bracket would miss the studs by") == pytest.approx(4.4, abs=0.05)
    assert figure(piece, "and over the studs' pitch by") == pytest.approx(3.5, abs=0.05)


@pytest.mark.parametrize(("hand", "out"), [("right", 1), ("left", -1)])
@pytest.mark.parametrize(("bumper", "away"), [("rear", 1), ("front", -1)])
@pytest.mark.parametrize("flange", [0, 24])
def test_each_hand_and_bumper_bolts_to_its_measured_points(
    hand: str, out: int, bumper: str, away: int, flange: float
) -> None:
    points = {n: (away * x, out * y, z) for n, (x, y, z) in WORKED.items()}
    keys = {"hand": hand, hand: SIDE, "bumper": bumper, "return_flange": flange}
    piece = piece_of(lay_out("mount", config(**keys), bench(points)))
    assert_bolts_up(piece, points, rail_normal(0, 0, out), bar_normal(6, LEAN, out, away))
    assert figure(piece, "fold: turn angle") == pytest.approx(95.9926, abs=1e-3)


def test_toe_and_lean_of_the_rail_are_outboard() -> None:
    toe, lean = 4.0, 3.0
    n = rail_normal(toe, lean, 1)
    assert n[0] < 0 < n[1] and n[2] < 0  # runs outboard to the rear, top leans outboard
    a1 = np.array([940.0, 570.0, 452.0])
    ahead = np.cross(n, [0, 0, 1.0])
    a2 = a1 + 54 * ahead / np.linalg.norm(ahead) * np.sign(ahead[0])
    points = {**WORKED, "A1": tuple(a1), "A2": tuple(a2)}
    side = {"rail_face": {"toe": f"{toe} ± 0", "lean": f"{lean} ± 0"}}
    piece = piece_of(lay_out("mount", config(side), bench(points)))
    assert_bolts_up(piece, points, n, bar_normal(6, LEAN, 1, 1))
    assert not [f for f in piece.figures if f.plus_minus]


# Faces in any position


@dataclass(frozen=True)
class Random:
    case: Case
    piece: Piece


@cache
def random_brackets() -> tuple[tuple[Random, ...], tuple[tuple[str, str], ...]]:
    """Brackets of 110 cases of one bend and 70 of a step, and what was said of the others."""
    found, refused = [], []
    for cases, count in ((one_bend_case, 110), (two_bend_case, 70)):
        for seed in range(count):
            case = cases(seed)
            part = laid(case)
            if part.pieces:
                found.append(Random(case, part.pieces[0]))
            else:
                refused.append((f"{cases.__name__} {seed}", str(part.findings[0])))
    return tuple(found), tuple(refused)


def test_nearly_all_sensible_measurements_give_a_bracket() -> None:
    found, refused = random_brackets()
    ones = sum(len(r.piece.blank.bends) == 1 for r in found)
    assert ones >= 105
    assert len(found) - ones >= 55
    assert all("needs" in words and " - " in words for _, words in refused), refused
    assert all("bends" in words or "beyond the bar" in words for _, words in refused), refused


def test_every_random_bracket_bolts_to_its_measured_points() -> None:
    for one in random_brackets()[0]:
        rail, bar = normals(one.case, one.piece)
        assert_bolts_up(one.piece, one.case.points, rail, bar)


def test_every_random_fold_is_the_fold_of_its_two_planes() -> None:
    for one in random_brackets()[0]:
        if len(one.piece.blank.bends) > 1:
            continue
        p, piece = one.case.points, one.piece
        rail, bar = normals(one.case, piece)
        hand = single_fold(
            (p["A1"], rail), (p["S1"], bar), [p["A1"], p["A2"]], [p["S1"], p["S2"]],
            one.case.thickness, one.case.radius,
        )  # fmt: skip
        assert figure(piece, "fold: turn angle") == pytest.approx(hand.turn_deg, abs=1e-7)
        for i, name in enumerate(("A1", "A2")):
            found = figure(piece, f"{name}: from the start of the bend")
            assert found == pytest.approx(hand.before[i], abs=1e-6)


def test_every_random_bracket_clears_itself() -> None:
    assert [self_collisions(one.piece.folded) for one in random_brackets()[0]
            if self_collisions(one.piece.folded)] == []  # fmt: skip


def test_random_brackets_are_one_valid_solid_for_the_kernel() -> None:
    brackets = random_brackets()[0]
    for one in brackets[:: len(brackets) // 15]:
        made_solid = solid(body(one.piece.folded))
        assert kernel.valid(made_solid)
        assert kernel.one_closed_solid(made_solid)
        assert kernel.volume(made_solid) == pytest.approx(one.piece.volume, rel=1e-6)
        legs = [r for r in one.piece.folded.regions if r.bend is None]
        first, last = (kernel.region_solid(one.piece.folded, r) for r in (legs[0], legs[-1]))
        assert kernel.common_volume(first, last) < 1e-6


def test_metal_round_every_hole_is_what_standard_washer_and_trade_ask() -> None:
    for one in random_brackets()[0]:
        edge = faceted(one.piece.blank.outline)
        assert edge.is_valid
        for cutout in one.piece.blank.cutouts:
            length, width = size(cutout)
            bolt = "M12" if cutout.name in ("A1", "A2") else "M10"
            assert width == pytest.approx({"M12": 13.5, "M10": 11.0}[bolt], abs=1e-2)
            around = AROUND[bolt + (" slot" if length > width + 0.1 else "")]
            hole = faceted(cutout.loop)
            assert edge.contains(hole)
            assert edge.exterior.distance(hole) >= around - width / 2 - 2e-3


def convex_kinks(blank: Blank) -> list[float]:
    """Outside corners that are not rounded, and radii of those that are, by their tangents."""
    loop, found = blank.outline, []
    for i, curve in enumerate(loop):
        after = loop[(i + 1) % len(loop)]
        (ax, ay), (bx, by) = curve.tangent(1.0), after.tangent(0.0)
        if np.arctan2(ax * by - ay * bx, ax * bx + ay * by) > 1e-3:
            found.append(0.0)
        if isinstance(curve, Arc) and curve.sweep > 0:
            found.append(hypot(curve.start[0] - curve.center[0], curve.start[1] - curve.center[1]))
    return found


def test_no_outside_corner_is_sharper_than_2_5() -> None:
    pieces = [one.piece for one in random_brackets()[0]]
    pieces += [piece_of(made(return_flange=22))]
    for piece in pieces:
        found = convex_kinks(piece.blank)
        assert found
        assert min(found) >= 2.5


def test_bends_leave_straight_edges_square_to_them() -> None:
    for one in random_brackets()[0]:
        edge = faceted(one.piece.blank.outline)
        for b in one.piece.blank.bends:
            start, end, n = np.array(b.start), np.array(b.end), np.array(b.across)
            strip = Polygon([start, end, end + b.allowance * n, start + b.allowance * n])
            d = (end - start) / np.linalg.norm(end - start)
            wider = Polygon([start - 9 * d, end + 9 * d, end + 9 * d + b.allowance * n,
                             start - 9 * d + b.allowance * n])  # fmt: skip
            assert edge.buffer(1e-6).contains(strip)
            assert wider.intersection(edge).area == pytest.approx(strip.area, abs=1e-3)
