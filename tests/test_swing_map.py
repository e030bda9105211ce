"""The map of pivots against the closed form, single swings, and a linear programme."""

from __future__ import annotations

import random
from dataclasses import replace
from math import atan, hypot

import numpy as np
import pytest
from scipy.optimize import linprog
from swings import GUTTER, demo, edge_and_panel

from parts.sheet.curve import Point
from parts.sheet.loop import polygon
from parts.trade.swing import (
    PivotMap,
    in_line,
    neck_spare,
    pivot_map,
    polyline,
    share_used,
    swing,
)

ROOM = polygon([(-105, -50), (-55, -50), (-55, -12), (-105, -12)])
WISH = 3.0


@pytest.fixture(scope="module")
def found() -> PivotMap:
    return pivot_map(edge_and_panel(5, 10), ROOM, WISH, levels=(1.0, 2.0, 4.0))


def radii(u: float, v: float) -> float:
    """Edge bottom less panel corner, gap 5 and fold 10, for a pivot below the fold."""
    return hypot(u, v + 10) - hypot(u + 5, v)


def test_every_pivot_of_the_map_is_the_closed_form(found: PivotMap) -> None:
    expected = np.array([max(0.0, radii(u, v)) for u, v in found.pivots])
    assert found.clearance == pytest.approx(expected, abs=1e-6)
    assert (found.clearance - found.at_least).max() <= 0.01
    assert (found.at_least <= expected + 1e-9).all()


def test_allowed_pivots_are_those_that_clear_by_the_wish(found: PivotMap) -> None:
    told = {tuple(p) for p in found.pivots[found.allowed].tolist()}
    room = [(u, v) for u, v in found.pivots.tolist() if -105 <= u <= -55 and -50 <= v <= -12]
    assert told == {(u, v) for u, v in room if radii(u, v) >= WISH}


def test_contours_run_where_the_closed_form_has_their_value(found: PivotMap) -> None:
    assert [contour.level for contour in found.contours] == [1.0, 2.0, 3.0, 4.0]
    for contour in found.contours:
        (run,) = contour.runs
        off = [radii(u, v) - contour.level for u, v in run]
        assert np.abs(off).max() < 0.01
        assert len(run) > 20


def test_the_best_pivot_is_in_the_corner_the_closed_form_favours(found: PivotMap) -> None:
    assert found.best is not None
    every = [(radii(u, v), (u, v)) for u in range(-105, -54) for v in range(-50, -11)]
    assert found.best.clearance >= max(every)[0] - 1e-6
    assert found.best.pivot == pytest.approx(max(every)[1], abs=1.0)


def places(map_: PivotMap, which: np.ndarray, r: random.Random, count: int) -> list[Point]:
    rows = np.flatnonzero(which)
    out = []
    for _ in range(count):
        corners = map_.pivots[map_.corners[rows[r.randrange(len(rows))]]]
        (u0, v0), (u1, v1) = corners.min(axis=0), corners.max(axis=0)
        out.append((r.uniform(u0, u1), r.uniform(v0, v1)))
    return out


def test_squares_told_sure_or_never_are_so_at_any_place_in_them() -> None:
    section = demo(radius=3)
    map_ = pivot_map(section, ROOM, WISH)
    r = random.Random(4)
    assert map_.sure.any() and map_.never.any()
    for pivot in places(map_, map_.sure, r, 60):
        assert swing(section, pivot).clearance >= WISH - 1e-9
    for pivot in places(map_, map_.never, r, 60):
        assert swing(section, pivot).clearance < WISH


def test_squares_cover_the_room_once(found: PivotMap) -> None:
    corners = found.pivots[found.corners]
    spans = corners.max(axis=1) - corners.min(axis=1)
    r = random.Random(1)
    for _ in range(200):
        u, v = r.uniform(-105, -55), r.uniform(-50, -12)
        low = corners.min(axis=1)
        holds = (low <= (u, v)).all(axis=1) & ((u, v) < low + spans).all(axis=1)
        assert holds.sum() == 1


def test_a_room_with_no_good_pivot_has_no_best() -> None:
    low = polygon([(-80, -90), (-60, -90), (-60, -70), (-80, -70)])
    map_ = pivot_map(demo(), low, WISH)
    assert map_.best is None and not map_.allowed.any() and map_.never.all()


def test_the_neck_keeps_the_pivot_high_enough() -> None:
    # throat to the far gutter corner (24, -38) and 8 more, 34 wide, not below -165
    spare = neck_spare([polyline("gutter", GUTTER)], 8, 34, -165)
    map_ = pivot_map(demo(), ROOM, WISH, slack=spare)
    for (u, v), allowed in zip(map_.pivots.tolist(), map_.allowed, strict=True):
        if allowed:
            assert v - hypot(24 - u, -38 - v) - 42 >= -165 - 1e-9
    assert map_.best is not None
    free = pivot_map(demo(), ROOM, WISH).best
    assert free is not None and map_.best.clearance < free.clearance
    assert map_.allowed.any() and map_.never.any()


def test_rooms_and_steps_that_cannot_be_are_refused() -> None:
    section = demo()
    with pytest.raises(ValueError, match="encloses nothing"):
        pivot_map(section, polygon([(0, 0), (1, 0), (2, 0)]), WISH)
    with pytest.raises(ValueError, match="finest above 0"):
        pivot_map(section, ROOM, WISH, finest=0)
    with pytest.raises(ValueError, match="larger steps"):
        pivot_map(section, ROOM, WISH, coarse=0.05, finest=0.05)
    with pytest.raises(ValueError, match="wished for"):
        pivot_map(section, ROOM, -1)


def most_offset(length: float, play: float, spacing: float) -> float:
    """The largest offset of parallel pins that a line through both bushes still meets.

    A bolt whose middle is x off the bush's and which leans by s fits where |x| + |s| length / 2
    is within half the play. Unknown: height and slope of the lid's line, and the offset.
    """
    rows, limits = [], []
    for middle in ((1.0, 0.0, 0.0), (1.0, spacing, -1.0)):
        for way in (1, -1):
            for lean in (length / 2, -length / 2):
                rows.append([way * middle[0], way * middle[1] + lean, way * middle[2]])
                limits.append(play / 2)
    free = [(None, None)] * 3
    solved = linprog([0, 0, -1], A_ub=rows, b_ub=limits, bounds=free)
    return float(-solved.fun)


@pytest.mark.parametrize(("length", "play", "spacing"), [(12, 0.06, 860), (8, 0.2, 500)])
def test_the_offset_that_hinges_allow_is_what_a_linear_programme_finds(
    length: float, play: float, spacing: float
) -> None:
    allowed = in_line(length, play, spacing)
    assert allowed.offset == pytest.approx(most_offset(length, play, spacing), rel=1e-6)
    # a bolt in a bush leans until it touches at both ends
    assert np.radians(allowed.tilt_deg) == pytest.approx(atan(play / length), rel=1e-3)
    assert share_used(allowed, spacing, allowed.offset, (0, 0)) == pytest.approx(1, rel=1e-4)


def test_hinges_that_lean_towards_each_other_use_the_same_play() -> None:
    allowed = in_line(12, 0.06, 860)
    t = allowed.tilt_deg
    assert share_used(allowed, 860, 0, (t / 2, -t / 2)) == pytest.approx(0.5)
    assert share_used(allowed, 860, 0, (t, -t)) == pytest.approx(1)
    assert allowed.twist_deg == pytest.approx(2 * t)


def test_bushes_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="play 0 mm"):
        in_line(12, 0, 860)
    with pytest.raises(ValueError, match="more than the bush"):
        in_line(12, 0.1, 10)


def test_a_finer_map_only_adds_to_what_a_coarser_one_is_sure_of() -> None:
    section = replace(demo(radius=3), opening_deg=60.0)
    coarse, fine = (pivot_map(section, ROOM, WISH, coarse=4, finest=f) for f in (2.0, 1.0))

    def sure(map_: PivotMap) -> float:
        corners = map_.pivots[map_.corners[map_.sure]]
        return float(np.prod(corners.max(axis=1) - corners.min(axis=1), axis=1).sum())

    assert sure(fine) >= sure(coarse)
