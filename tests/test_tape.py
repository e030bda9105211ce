"""Points measured by tape, against closed forms, tables, scipy and drawn errors."""

from __future__ import annotations

import math
import re
import time
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import least_squares
from scipy.stats import chi2, norm

from parts.trade.tape import (
    Distance,
    Measured,
    OnPlane,
    Point,
    Solution,
    adjust,
    covariance_between,
    point_error_along,
    relative_error_along,
)
from parts.trade.tape.misread import LEAST_CHANCE
from parts.trade.tape.network import NORMAL_95, chance
from parts.trade.tape.start import CRITICAL

EXACT = Measured(0, 0)
Places = dict[str, tuple[float, float, float]]


def known(name: str, at: tuple[float, float, float], plus_minus: float = 0) -> Point:
    return Point(name, *(Measured(float(value), plus_minus) for value in at))


def tape(a: str, b: str, length: float, plus_minus: float = 1) -> Distance:
    return Distance(a, b, Measured(float(length), plus_minus))


def place(solution: Solution, name: str) -> tuple[float, float, float]:
    point = next(point for point in solution.points if point.name == name)
    return point.x, point.y, point.z


def words(solution: Solution) -> str:
    return "\n".join(reason.words for reason in solution.reasons)


def causes(solution: Solution) -> list[str]:
    return [reason.cause for reason in solution.reasons]


# Base triangles and tapes worked by hand from Pythagoras: P (300, 400, 500) over a right-angled
# base 1000 x 800, and P (350, 250, 420) over A, (900, 0, 0), (200, 600, 0).
BASE = [known("A", (0, 0, 0)), known("B", (1000, 0, 0)), known("C", (0, 800, 0))]
SQUARE_ON = (707.106781, 948.683298, 707.106781)


def over_base(lengths: tuple[float, float, float], plus_minus: float = 1) -> list[Distance]:
    return [tape(a, "P", r, plus_minus) for a, r in zip("ABC", lengths, strict=True)]


# --- closed forms -----------------------------------------------------------------------------


def cayley_menger_volume(edges: dict[str, float]) -> float:
    """288 V² = bordered determinant of squared edges (Cayley 1841, Menger 1928)."""
    bordered = np.ones((5, 5))
    bordered[0, 0] = 0
    for i, a in enumerate("ABCD"):
        for j, b in enumerate("ABCD"):
            bordered[i + 1, j + 1] = 0 if a == b else edges["".join(sorted(a + b))] ** 2
    return math.sqrt(np.linalg.det(bordered) / 288)


@pytest.mark.parametrize(
    ("edges", "c", "d", "volume"),
    [
        # Heronian tetrahedra, OEIS A272388: whole edges, whole faces, whole volume. Places of C
        # and D with A at the origin and B on x: trilateration by hand.
        (
            {"AB": 117, "AC": 84, "BC": 51, "CD": 52, "BD": 53, "AD": 80},
            (77.538462, 32.307692, 0),
            (73.846154, -10.830769, 28.8),
            18144,
        ),
        (
            {"AB": 160, "AC": 153, "BC": 25, "CD": 39, "BD": 56, "AD": 120},
            (151.2, 23.4, 0),
            (115.2, 31.015385, 12.923077),
            8064,
        ),
    ],
)
def test_whole_edges_of_a_heronian_tetrahedron_give_its_corners(edges, c, d, volume):
    points = [
        Point("A", EXACT, EXACT, EXACT),
        Point("B", None, EXACT, EXACT, side="rear"),
        Point("C", None, None, EXACT, side="right"),
        Point("D", side="above"),
    ]
    solution = adjust(points, [tape(*pair, length) for pair, length in edges.items()])
    assert not solution.refused
    assert_allclose(place(solution, "C"), c, atol=1e-6)
    assert_allclose(place(solution, "D"), d, atol=1e-6)
    corners = np.array([place(solution, name) for name in "ABCD"])
    assert abs(np.linalg.det(corners[1:] - corners[0])) / 6 == pytest.approx(volume, rel=1e-9)
    assert cayley_menger_volume(edges) == pytest.approx(volume, rel=1e-9)


@pytest.mark.parametrize(
    ("base", "lengths", "at", "within"),
    [
        (BASE, SQUARE_ON, (300, 400, 500), 1e-5),
        (BASE, (707, 949, 707), (299.624, 400.000, 500.074), 5e-4),  # closed form, 3 decimals
        (
            [BASE[0], known("B", (900, 0, 0)), known("C", (200, 600, 0))],
            (601.165535, 735.798886, 566.921511),
            (350, 250, 420),
            1e-5,
        ),
    ],
)
def test_three_tapes_from_a_known_base_find_the_point(base, lengths, at, within):
    solution = adjust([*base, Point("P", side="above")], over_base(lengths))
    assert not solution.refused
    assert_allclose(place(solution, "P"), at, atol=within)


def test_two_tapes_and_a_plane_find_the_point():
    # 3-4-5 and 5-12-13 in the plane y = 580: 12 up over a foot 5 from A, 9 from B (9-12-15).
    points = [known("A", (0, 580, 0)), known("B", (14, 580, 0)), Point("P", side="above")]
    on = [OnPlane("y", Measured(580, 0.2), ("P",))]
    solution = adjust(points, [tape("A", "P", 13, 0.1), tape("B", "P", 15, 0.1)], on)
    assert not solution.refused
    assert_allclose(place(solution, "P"), (5, 580, 12), atol=1e-6)
    assert point_error_along(solution, "P", (0, 1, 0)) == pytest.approx(0.2, rel=1e-3)


def test_two_readings_of_one_coordinate_meet_in_the_middle():
    # Mean of 100 and 101, each ± 1: error 1/sqrt(2); each reading half checked; residual ½ over
    # (1/1.96)·sqrt(½) = 1.386 standard deviations.
    points = [Point("A", Measured(100, 1), EXACT, EXACT)]
    solution = adjust(points, [], [OnPlane("x", Measured(101, 1), ("A",))])
    assert place(solution, "A")[0] == pytest.approx(100.5)
    assert solution.points[0].plus_minus[0] == pytest.approx(1 / math.sqrt(2), rel=1e-6)
    first, last = solution.coordinates[0], solution.coordinates[-1]
    assert (first.residual, last.residual) == pytest.approx((0.5, -0.5))
    assert first.redundancy == pytest.approx(0.5)
    assert first.standardised == pytest.approx(0.5 * 1.96 / math.sqrt(0.5))
    assert (last.name, solution.redundancy) == ("A on x = 101", 1)


# --- errors of the results --------------------------------------------------------------------


def closed_form(d: float, j: float, r1, r2, r3):
    """Over the base (0,0,0) (d,0,0) (0,j,0); Cayley-Menger / trilateration, MathWorld."""
    x = (r1**2 - r2**2 + d**2) / (2 * d)
    y = (r1**2 - r3**2 + j**2) / (2 * j)
    return np.stack([x, y, np.sqrt(r1**2 - x**2 - y**2)], axis=-1)


def test_one_mm_on_each_tape_is_two_mm_on_the_point():
    # sqrt(trace) of the inverse normal matrix of three unit vectors, by hand 1.97.
    solution = adjust([*BASE, Point("P", side="above")], over_base(SQUARE_ON, 1.96))
    covariance = covariance_between(solution, "P", "P")
    assert math.sqrt(np.trace(covariance)) == pytest.approx(1.97, abs=0.005)


def test_covariance_is_that_of_4000_drawn_tapes():
    solution = adjust([*BASE, Point("P", side="above")], over_base(SQUARE_ON, 1.96))
    drawn = np.array(SQUARE_ON) + np.random.default_rng(1).normal(size=(4000, 3))
    places = closed_form(1000, 800, *drawn.T)
    # a variance from 4000 draws is good to sqrt(2/4000) = 2.2 %: 10 % is 4.5 of these
    expected = np.cov(places.T)
    found = covariance_between(solution, "P", "P")
    assert_allclose(found, expected, atol=0.1 * float(np.diag(expected).max()))


# The invented bumper mount of the demo: rail holes A, bumper studs S.
MOUNT: Places = {
    "A1": (946.5, 580, 452.0),
    "A2": (1001.0, 580, 447.5),
    "S1": (1098.0, 622.0, 478.0),
    "S2": (1094.5, 622.0, 408.0),
}
TAPED = {"A1-A2": 54.5, "S1-S2": 70, "A1-S1": 159.5, "A1-S2": 160, "A2-S1": 110.5, "A2-S2": 109.5}


def mount_points(plus_minus: float = 1, at: Places = MOUNT) -> list[Point]:
    return [known(name, where, plus_minus) for name, where in at.items()]


def mount_tapes(**instead: float) -> list[Distance]:
    lengths = TAPED | {name.replace("_", "-"): value for name, value in instead.items()}
    return [tape(*name.split("-"), length) for name, length in lengths.items()]


def test_places_and_covariance_are_those_of_scipy():
    solution = adjust(mount_points(), mount_tapes())
    names = list(MOUNT)

    def misfit(flat):
        at = dict(zip(names, flat.reshape(-1, 3), strict=True))
        spans = [math.dist(*(at[n] for n in name.split("-"))) - r for name, r in TAPED.items()]
        moves = [m for n in names for m in at[n] - np.array(MOUNT[n])]
        return np.array(spans + moves) * 1.96

    start = np.array(list(MOUNT.values())).ravel()
    other = least_squares(misfit, start, jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-12)
    covariance = np.linalg.inv(other.jac.T @ other.jac)
    assert_allclose([place(solution, n) for n in names], other.x.reshape(-1, 3), atol=1e-5)
    assert_allclose(solution.covariance, covariance, atol=1e-5)
    assert solution.chi_square == pytest.approx(2 * other.cost, rel=1e-6)
    assert solution.chance == pytest.approx(chi2.sf(2 * other.cost, 6), rel=1e-6)
    own = [covariance_between(solution, n, n) for n in names]
    assert_allclose([p.covariance for p in solution.points], own)
    gap = np.subtract(MOUNT["S1"], MOUNT["A2"])
    row = np.kron([0, -1, 1, 0], gap / np.linalg.norm(gap))
    width = 1.96 * math.sqrt(row @ covariance @ row)
    assert solution.distances[4].adjusted_plus_minus == pytest.approx(width, rel=0.01)
    one_way = np.kron([0, 1, 0, -1], [0, 0, 1])  # z of A2 less z of S2
    relative = 1.96 * math.sqrt(one_way @ covariance @ one_way)
    assert relative_error_along(solution, "A2", "S2", (0, 0, 7)) == pytest.approx(
        relative, rel=1e-4
    )


def test_errors_and_residuals_are_those_of_drawn_readings():
    rng = np.random.default_rng(7)
    true = [math.dist(*(MOUNT[n] for n in name.split("-"))) for name in TAPED]
    found, deviates, named = [], [], 0
    for _ in range(1000):
        lengths = dict(zip(TAPED, true + rng.normal(size=6) / 1.96, strict=True))
        at = {n: tuple(np.array(v) + rng.normal(size=3) / 1.96) for n, v in MOUNT.items()}
        solution = adjust(
            mount_points(1, at), [tape(*n.split("-"), length) for n, length in lengths.items()]
        )
        found.append(np.ravel([place(solution, n) for n in MOUNT]))
        deviates += [r.standardised for r in (*solution.distances, *solution.coordinates)]
        named += "misread" in causes(solution)
    # 1000 draws: a standard deviation is good to 1/sqrt(2000) = 2.2 %; 10 % is 4.5 of these
    expected = np.sqrt(np.diag(adjust(mount_points(), mount_tapes()).covariance))
    assert_allclose(np.std(found, axis=0), expected, rtol=0.1)
    # normal deviates: 5 % over 1.96, 18 000 of them, partly dependent
    share = np.mean(np.abs(deviates) > norm.ppf(0.975))
    assert share == pytest.approx(0.05, abs=0.01)
    # false alarms: at most 18 readings at 0.1 % each; mean 18 in 1000, rarely over 18 + 3·sqrt(18)
    assert 0 < named <= 31


def test_holes_taped_to_each_other_are_known_better_than_each_alone():
    solution = adjust(mount_points(), mount_tapes())
    along = tuple(np.subtract(MOUNT["S1"], MOUNT["S2"]))
    assert relative_error_along(solution, "S1", "S2", along) < 1.0  # the tape alone gives 1.0
    # two points each ± 1 and not taped to each other: sqrt(2)
    loose = adjust(mount_points(), [])
    assert relative_error_along(loose, "S1", "S2", along) == pytest.approx(math.sqrt(2), rel=1e-6)
    assert point_error_along(loose, "S1", along) == pytest.approx(1, rel=1e-6)


def test_shares_of_checking_add_up_to_the_spare_readings():
    # trace of the redundancy matrix is readings less unknowns, here 6 + 12 - 12
    solution = adjust(mount_points(), mount_tapes())
    shares = [r.redundancy for r in (*solution.distances, *solution.coordinates)]
    assert (sum(shares), solution.redundancy) == (pytest.approx(6, abs=1e-9), 6)


@pytest.mark.parametrize("degrees", [1, 2, 3, 4, 7, 30, 117, 300])
def test_chi_square_chance_is_that_of_scipy(degrees):
    for value in (0.0, 0.3, 1.0, degrees, 2.0 * degrees, 5.0 * degrees):
        expected = chi2.sf(value, degrees)
        assert chance(value, degrees) == pytest.approx(expected, rel=1e-9, abs=1e-300)


def test_limits_are_the_normal_deviates_they_claim():
    assert norm.isf(0.025) == pytest.approx(NORMAL_95, abs=0.005)
    assert norm.isf(LEAST_CHANCE / 2) == pytest.approx(CRITICAL, abs=0.005)


# --- misreads ---------------------------------------------------------------------------------


def test_good_tapes_of_the_mount_pass():
    solution = adjust(mount_points(), mount_tapes())
    assert (solution.reasons, solution.refused) == ((), False)
    assert solution.chance > 0.5


def test_the_planted_misread_is_named_with_what_the_others_say():
    solution = adjust(mount_points(), mount_tapes(A2_S1=101))
    assert [reason.about for reason in solution.reasons] == [("A2-S1",)]
    said = re.fullmatch(
        r"A2-S1 reads 101, the others say (\d+\.\d): measure it again", words(solution)
    )
    # by Pythagoras from the drawing 110.0; the others carry tape errors of their own
    assert float(said[1]) == pytest.approx(math.dist(MOUNT["A2"], MOUNT["S1"]), abs=0.5)


def test_a_dropped_misread_is_shown_but_not_used():
    tapes = mount_tapes(A2_S1=101)
    tapes[4] = replace(tapes[4], dropped=True)
    solution = adjust(mount_points(), tapes)
    assert not solution.refused
    assert solution.redundancy == 5
    shown = solution.distances[4]
    assert (shown.name, shown.used, shown.standardised) == ("A2-S1", False, None)
    assert shown.residual == pytest.approx(110.0 - 101, abs=0.5)
    without = adjust(mount_points(), [t for i, t in enumerate(tapes) if i != 4])
    assert_allclose(solution.covariance, without.covariance, atol=1e-9)


def test_good_readings_rarely_raise_an_alarm():
    rng = np.random.default_rng(3)
    alarms = 0
    for _ in range(200):
        lengths = {
            n: math.dist(*(MOUNT[p] for p in n.split("-"))) + rng.normal() / 1.96 for n in TAPED
        }
        at = {n: tuple(np.array(v) + rng.normal(size=3) / 1.96) for n, v in MOUNT.items()}
        tapes = [tape(*n.split("-"), length) for n, length in lengths.items()]
        alarms += adjust(mount_points(1, at), tapes).refused
    # stated: about 18 readings in 1000 jobs plus 1 for the whole, so 3.8 in 200; Poisson 99.9 %
    assert alarms <= 11


@pytest.mark.parametrize("off", [10, -10])
@pytest.mark.parametrize("name", list(TAPED))
def test_ten_mm_on_any_tape_of_the_mount_is_named(name, off):
    good = adjust(mount_points(), mount_tapes())
    limit = next(r.least_misread for r in good.distances if r.name == name)
    assert limit < 10
    solution = adjust(mount_points(), mount_tapes(**{name: TAPED[name] + off}))
    assert [reason.about for reason in solution.reasons] == [(name,)]


BOX: Places = {
    f"{a}{b}{c}": (900.0 * int(a), 700.0 * int(b) + 60 * int(c), 500.0 * int(c) + 40 * int(a))
    for a, b, c in (f"{i:03b}" for i in range(8))
}


BOX_FIXED = ("000", "011", "101", "110")
BOX_PAIRS = [pair for pair in combinations(BOX, 2) if not set(pair) <= set(BOX_FIXED)]


def box(off: dict[tuple[str, str], float]) -> Solution:
    """Four corners known to ± 0.2, the other four by 22 tapes of ± 1, some read wrongly."""
    points = [known(n, at, 0.2) if n in BOX_FIXED else Point(n) for n, at in BOX.items()]
    lengths = {pair: math.dist(BOX[pair[0]], BOX[pair[1]]) for pair in BOX_PAIRS}
    return adjust(points, [tape(*pair, r + off.get(pair, 0)) for pair, r in lengths.items()])


@pytest.mark.parametrize("pair", BOX_PAIRS)
def test_ten_mm_on_any_tape_of_a_box_is_named(pair):
    solution = box({pair: 10})
    assert [reason.about for reason in solution.reasons] == [("-".join(pair),)]
    assert f"the others say {math.dist(BOX[pair[0]], BOX[pair[1]]):.1f}" in words(solution)


def test_a_box_without_a_misread_passes():
    assert not box({}).refused


def test_two_misreads_are_both_named():
    solution = box({("000", "111"): 10, ("001", "110"): -20})
    assert {reason.about for reason in solution.reasons} == {("000-111",), ("001-110",)}


def test_two_misreads_that_another_pair_explains_as_well_are_told_with_that_pair():
    # S1 is held by three tapes and rough coordinates: two wrong tapes look like two others
    solution = adjust(mount_points(0.5), mount_tapes(A2_S1=101, S1_S2=85))
    assert "S1-S2 reads 85 (the others say 70.1) and A2-S1 reads 101 (the others say 110.0)" in (
        words(solution)
    )
    assert words(solution).endswith("they cannot be told apart, measure them all again")


def test_a_misread_coordinate_is_named():
    at = MOUNT | {"A2": (1001.0, 580, 459.5)}
    solution = adjust(mount_points(1, at), mount_tapes())
    assert [reason.about for reason in solution.reasons] == [("A2 z",)]
    assert words(solution).startswith("A2 z reads 459.5, the others say 44")


def test_two_readings_that_check_only_each_other_are_both_named():
    # P is held by three tapes; the fourth is taped twice and nothing else bears on it.
    points = [*BASE, Point("P", Measured(300, 0), Measured(400, 0), side="above")]
    solution = adjust(points, [tape("A", "P", 707.1), tape("A", "P", 717.1)])
    assert [reason.about for reason in solution.reasons] == [("A-P", "A-P (2)")]
    assert words(solution) == (
        "A-P reads 707.1 (the others say 717.1) or A-P (2) reads 717.1 (the others say 707.1): "
        "they cannot be told apart, measure both again"
    )


def test_tapes_all_worse_than_their_error_are_refused_without_a_name():
    # 22 tapes ± 1 read with ± 3: chi-square about 9 times its degrees of freedom
    rng = np.random.default_rng(5)
    pairs = list(combinations(BOX, 2))
    tapes = [tape(a, b, math.dist(BOX[a], BOX[b]) + rng.normal() * 3 / 1.96) for a, b in pairs]
    solution = adjust([known(n, v, 0.2) for n, v in BOX.items()], tapes)
    assert causes(solution) == ["scatter"]
    assert "wider ±" in words(solution)


# --- two places -------------------------------------------------------------------------------


def test_a_mirror_place_is_refused_and_both_are_shown():
    solution = adjust([*BASE, Point("P")], over_base(SQUARE_ON))
    assert words(solution) == (
        "P could be at (300.0, 400.0, 500.0) or (300.0, 400.0, -500.0): "
        'say side = "above" or "below", '
        "or measure one more distance to a point off the plane of A, B, C"
    )


@pytest.mark.parametrize(("side", "z"), [("above", 500), ("below", -500)])
def test_the_side_settles_a_mirror_place(side, z):
    solution = adjust([*BASE, Point("P", side=side)], over_base(SQUARE_ON))
    assert not solution.refused
    assert_allclose(place(solution, "P"), (300, 400, z), atol=1e-5)


def test_one_more_distance_settles_a_mirror_place_and_is_proposed():
    off = known("D", (900, 900, 300))
    refused = adjust([*BASE, off, Point("P")], over_base(SQUARE_ON))
    assert words(refused).endswith("off the plane of A, B, C, such as P-D")
    more = tape("D", "P", math.dist((900, 900, 300), (300, 400, 500)))
    solution = adjust([*BASE, off, Point("P")], [*over_base(SQUARE_ON), more])
    assert not solution.refused
    assert_allclose(place(solution, "P"), (300, 400, 500), atol=1e-5)


def test_a_side_that_says_nothing_does_not_settle():
    solution = adjust([*BASE, Point("P", side="left")], over_base(SQUARE_ON))
    assert causes(solution) == ["two places"]


def test_distances_overrule_a_side():
    off = known("D", (900, 900, 300))
    more = tape("D", "P", math.dist((900, 900, 300), (300, 400, 500)))
    solution = adjust([*BASE, off, Point("P", side="below")], [*over_base(SQUARE_ON), more])
    assert place(solution, "P")[2] == pytest.approx(500, abs=1e-5)


def joined(side_p: str | None, side_q: str | None) -> Solution:
    """P and Q both above the base, tied to each other: they go over the plane together."""
    q = (500, 300, 300)
    others = [tape(p.name, "Q", math.dist(q, (p.x.value, p.y.value, p.z.value))) for p in BASE]
    tie = tape("P", "Q", math.dist((300, 400, 500), q))
    points = [*BASE, Point("P", side=side_p), Point("Q", side=side_q)]
    return adjust(points, [*over_base(SQUARE_ON), *others, tie])


def test_points_that_go_over_together_are_one_question():
    assert words(joined(None, None)).startswith("P (Q with it) could be at (300.0, 400.0, 500.0)")
    assert not joined(None, "above").refused
    assert place(joined(None, "below"), "P")[2] == pytest.approx(-500, abs=1e-5)


def test_sides_that_cannot_both_be_are_refused():
    solution = joined("above", "below")
    assert causes(solution) == ["sides disagree"]
    assert "P and Q" in words(solution)


# --- too few, and impossible ------------------------------------------------------------------


def test_two_tapes_leave_a_swing_and_the_best_third_is_proposed():
    # From the line A-B, N is 20 off, F is 600 off: the longer lever fixes the swing better.
    points = [*BASE[:2], known("N", (500, 20, 0)), known("F", (500, 600, 0)), Point("P")]
    tapes = [tape("A", "P", 707.106781), tape("B", "P", 948.683298)]
    solution = adjust(points, tapes)
    assert words(solution) == (
        "P is not fixed: free to swing about the line A-B; measure P-F as well"
    )
    ends = {"N": (500, 20, 0), "F": (500, 600, 0)}
    settled = {
        n: adjust(
            [*points[:-1], Point("P", side="above")],
            [*tapes, tape(n, "P", math.dist(at, (300, 400, 500)))],
        )
        for n, at in ends.items()
    }
    assert max(settled["F"].points[-1].plus_minus) < max(settled["N"].points[-1].plus_minus)


def test_one_tape_asks_for_two_more_and_none_for_three():
    one = adjust([*BASE, Point("P")], over_base(SQUARE_ON)[:1])
    assert words(one).startswith("P is not fixed: free to swing every way about A; measure P-")
    assert {"P-B", "P-C"} == set(re.findall(r"P-\w", words(one)))
    none = adjust([*BASE, Point("P")], [])
    assert {"P-A", "P-B", "P-C"} == set(re.findall(r"P-\w", words(none)))
    assert none.points == ()


def test_tapes_from_one_line_leave_a_swing():
    points = [*BASE, known("M", (400, 0, 0)), Point("P")]
    tapes = [
        tape(n, "P", math.dist(at, (300, 400, 500)))
        for n, at in {"A": (0, 0, 0), "B": (1000, 0, 0), "M": (400, 0, 0)}.items()
    ]
    solution = adjust(points, tapes)
    assert "free to swing about the line A-M" in words(solution)
    assert "measure P-C as well" in words(solution)


def test_points_without_any_coordinate_have_no_place_on_the_vehicle():
    edges = [tape(a, b, 100) for a, b in combinations("ABCD", 2)]
    solution = adjust([Point(n) for n in "ABCD"], edges)
    assert set(causes(solution)) == {"not fixed"}
    assert all(f"the {axis} of" in words(solution) for axis in "xyz")


def test_balls_that_do_not_meet_are_refused_with_the_gap():
    # 500 + 400 across 1000 is 100 short; 400 + 300 across hypot(1000, 800) = 1280.6 is 580.6
    solution = adjust([*BASE, Point("P")], over_base((500, 400, 300)))
    assert solution.refused
    assert solution.points == ()
    assert "A-P 500 and B-P 400 are together 100.0 too short, A-B is 1000.0" in words(solution)
    assert "B-P 400 and C-P 300 are together 580.6 too short, B-C is 1280.6" in words(solution)


def test_a_tape_too_long_for_another_is_refused_with_the_excess():
    # over a base of 1000, 1900 is 200 more than 700 and 1000 together
    solution = adjust([*BASE, Point("P")], over_base((700, 1900, 707)))
    assert "B-P 1900 is 200.0 too long for A-P 700, A-B is 1000.0" in words(solution)


@pytest.mark.parametrize(
    ("diagonal", "cause", "says"),
    [
        # 900 x 1200, diagonals 1500 (3-4-5): Cayley-Menger is 0, so the plate is flat.
        (1500, "not fixed", "do not hold it up and down (z)"),
        # over 1500 the determinant is negative: no such plate
        (1504, "impossible", "it can be 1500.0 at most (4.0 too long)"),
        # under 1500 it is positive: the corner is off the plane, up or down
        (1496, "two places", 'say side = "above" or "below"'),
    ],
)
def test_the_second_diagonal_of_a_plate_tells_flat_from_twisted(diagonal, cause, says):
    corners = [known("A", (0, 0, 0)), known("B", (900, 0, 0)), known("C", (900, 1200, 0))]
    tapes = [tape("A", "D", 1200), tape("C", "D", 900), tape("B", "D", diagonal)]
    solution = adjust([*corners, Point("D")], tapes)
    assert causes(solution) == [cause]
    assert says in words(solution)


def test_a_twisted_plate_stands_off_by_the_closed_form():
    # B-D 1496: D by trilateration from A, B, C, worked here
    corners = [known("A", (0, 0, 0)), known("B", (900, 0, 0)), known("C", (900, 1200, 0))]
    tapes = [tape("A", "D", 1200), tape("C", "D", 900), tape("B", "D", 1496)]
    solution = adjust([*corners, Point("D", side="above")], tapes)
    x = (1200**2 - 1496**2 + 900**2) / 1800
    y = (1496**2 - 900**2 + 1200**2) / 2400
    assert_allclose(place(solution, "D"), (x, y, math.sqrt(1200**2 - x**2 - y**2)), atol=1e-6)


# --- any network, and cost --------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(count=st.integers(4, 8), seed=st.integers(0, 2**32 - 1), ring=st.booleans())
def test_exact_distances_give_any_network_back(count, seed, ring):
    rng = np.random.default_rng(seed)
    at = rng.uniform(-1000, 1000, (count, 3))
    # a fair base, three points some 1000 apart, and nothing within 100 of its plane
    at[:3] = np.add(rng.uniform(-100, 100, (3, 3)), [[0, 0, 0], [1000, 0, 0], [0, 1000, 0]])
    normal = np.cross(at[1] - at[0], at[2] - at[0])
    heights = (at[3:] - at[0]) @ normal / np.linalg.norm(normal)
    at[3:] += (np.where(np.abs(heights) < 100, 200, 0) * np.sign(heights + 0.5))[:, None] * (
        normal / np.linalg.norm(normal)
    )
    above = [bool((p - at[0]) @ normal > 0) for p in at]
    names = [f"P{i}" for i in range(count)]
    points = [
        known(n, tuple(p)) if i < 3 else Point(n, side="above" if above[i] else "below")
        for i, (n, p) in enumerate(zip(names, at, strict=True))
    ]
    pairs = [p for p in combinations(range(count), 2) if p[1] >= 3]
    if ring:  # only the base and the neighbour
        pairs = [(i, j) for i, j in pairs if i < 3 or j == i + 1]
    tapes = [tape(names[i], names[j], float(np.linalg.norm(at[i] - at[j]))) for i, j in pairs]
    solution = adjust(points, tapes)
    assert not solution.refused, words(solution)
    assert_allclose([place(solution, n) for n in names], at, atol=1e-6)


def test_points_that_only_close_as_a_whole_are_found():
    # Three points, each taped to two known points and to each other: none can be placed alone.
    at = {"P": (300, 400, 500), "Q": (700, 250, 420), "R": (450, 650, 350)}
    base = {"A": (0, 0, 0), "B": (1000, 0, 0), "C": (0, 800, 0), "D": (900, 900, 300)}
    pairs = ["AP", "BP", "BQ", "CQ", "CR", "DR", "PQ", "QR", "PR"]
    all_at = at | base
    tapes = [tape(a, b, math.dist(all_at[a], all_at[b])) for a, b in pairs]
    points = [known(n, p) for n, p in base.items()] + [Point(n) for n in at]
    # 9 distances for 9 unknowns close in more than one way: the true one is among those told
    assert "(300.0, 400.0, 500.0)" in words(adjust(points, tapes))
    sure = adjust(points, [*tapes, tape("D", "P", math.dist(at["P"], base["D"]))])
    assert not sure.refused
    assert_allclose([place(sure, n) for n in at], list(at.values()), atol=1e-6)


def test_fifty_points_and_three_hundred_tapes_cost_some_dozens_of_decompositions():
    rng = np.random.default_rng(2)
    at = rng.uniform(-1000, 1000, (50, 3))
    points = [known(f"P{i}", tuple(p), 1) if i < 6 else Point(f"P{i}") for i, p in enumerate(at)]
    pairs = [(i, int(j)) for i in range(6, 50) for j in rng.choice(i, 6, replace=False)]
    pairs += [(i, j) for i, j in combinations(range(10), 2)][:36]
    tapes = [
        tape(f"P{i}", f"P{j}", float(np.linalg.norm(at[i] - at[j]) + rng.normal() / 1.96))
        for i, j in pairs
    ]
    assert len(tapes) == 300
    matrix = rng.normal(size=(318, 150))
    solution, mine, one = adjust(points, tapes), math.inf, math.inf
    for _ in range(3):
        start = time.perf_counter()
        adjust(points, tapes)
        middle = time.perf_counter()
        np.linalg.svd(matrix, full_matrices=False)
        mine = min(mine, middle - start)
        one = min(one, time.perf_counter() - middle)
    assert not solution.refused
    assert mine < 150 * one
    # 132 coordinates within 4 times their ±: nearly 8 standard deviations
    miss = np.array([place(solution, p.name) for p in points]) - at
    assert np.all(np.abs(miss[6:]) < 4 * np.array([p.plus_minus for p in solution.points])[6:])


# --- input that cannot be meant ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("points", "tapes", "message"),
    [
        (BASE, [tape("A", "Bb", 10)], "point 'Bb' is not given; did you mean B?"),
        (BASE, [tape("A", "X9", 10)], "point 'X9' is not given; the points are A, B, C"),
        ([*BASE, BASE[0]], [], "point 'A' is given twice"),
        (BASE, [tape("A", "A", 10)], "distance A-A runs from a point to itself"),
        (BASE, [tape("A", "B", -3)], "distance A-B is -3; it must be over 0"),
        (BASE, [tape("A", "B", 3, -1)], "A-B is 3 ± -1; give a finite value and a ± of 0 or more"),
        ([known("A", (math.nan, 0, 0))], [], "A x is nan"),
        ([replace(BASE[0], side="up")], [], "side 'up' of A is unknown; say one of front, rear"),
    ],
)
def test_readings_that_cannot_be_meant_get_one_clear_message(points, tapes, message):
    with pytest.raises(ValueError, match=re.escape(message)):
        adjust(points, tapes)


def test_errors_are_asked_only_of_solved_points_along_a_real_direction():
    solution = adjust(BASE, [])
    with pytest.raises(ValueError, match="point 'Z' was not solved; solved are: A, B, C"):
        point_error_along(solution, "Z", (1, 0, 0))
    with pytest.raises(ValueError, match="has no length"):
        relative_error_along(solution, "A", "B", (0, 0, 0))
