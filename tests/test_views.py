"""What is seen of a solid from a side: edges in front, edges behind, no line twice."""

from __future__ import annotations

from functools import cache
from math import pi
from typing import Any

import pytest
from blanks import NAMED
from shapely import LineString, union_all

from parts import solid
from parts.sheet.blank import Blank, Cutout
from parts.sheet.curve import Arc, Curve, Line
from parts.sheet.fold import fold
from parts.sheet.loop import box, circle, polygon
from parts.solid.overlap import Run
from parts.solid.views import ABOVE, FRONT, LEFT, PICTORIAL, Side, View, view


@cache
def plate() -> Any:
    """60 along x, 40 along y, 2 thick, a hole of 10 at (20, 15)."""
    outline = polygon([(0, 0), (60, 0), (60, 40), (0, 40)])
    return solid.of(fold(Blank(2, outline, (Cutout("a", circle((20, 15), 10)),), (), (50, 30))))


@cache
def named(name: str) -> Any:
    return solid.of(fold(NAMED[name]()))


def curves(runs: tuple[Run, ...]) -> list[Curve]:
    return [curve for run in runs for curve in run]


def length(found: list[Curve]) -> float:
    return sum(curve.length for curve in found)


def upright(runs: tuple[Run, ...]) -> list[float]:
    """Where across there are upright lines."""
    lines = [one for one in curves(runs) if isinstance(one, Line)]
    return sorted({round(one.start[0], 4) for one in lines if abs(one.tangent(0)[0]) < 1e-6})


def size(seen: View) -> tuple[float, float]:
    x0, y0, x1, y1 = box(curves((*seen.visible, *seen.hidden)))
    return (x1 - x0, y1 - y0)


def test_a_hole_is_seen_from_above_and_hides_nothing() -> None:
    seen = view(plate(), ABOVE)
    arcs = [one for one in curves(seen.visible) if isinstance(one, Arc)]
    assert {(round(a.center[0], 6), round(a.center[1], 6), round(a.radius, 6)) for a in arcs} == {
        (20.0, 15.0, 5.0)
    }
    assert length(arcs) == pytest.approx(10 * pi, abs=1e-4)
    assert length(curves(seen.visible)) == pytest.approx(200 + 10 * pi, abs=0.01)
    assert seen.hidden == ()


def test_a_hole_is_hidden_behind_the_front_edge() -> None:
    seen = view(plate(), FRONT)
    assert upright(seen.visible) == [0.0, 60.0]
    assert upright(seen.hidden) == [15.0, 25.0]  # 20 less and more 5


def test_from_the_left_the_front_is_on_the_right() -> None:
    # looking along +x with z up, y runs to the left: the hole, 15 from the front, is at -15
    seen = view(plate(), LEFT)
    assert upright(seen.visible) == [-40.0, 0.0]
    assert upright(seen.hidden) == [-20.0, -10.0]


def test_the_pictorial_is_isometric() -> None:
    # ISO 5456-3: axes shortened alike, by sqrt(2/3); 60 and 40 at 30 degrees, 2 upright
    wide, high = size(view(plate(), PICTORIAL, hidden=False))
    short = (2 / 3) ** 0.5
    assert wide == pytest.approx(short * (60 + 40) * 3**0.5 / 2, abs=0.01)
    assert high == pytest.approx(short * ((60 + 40) / 2 + 2), abs=0.01)


def test_outside_sizes_of_an_angle_are_seen() -> None:
    # by hand: base 40 + radius 3 + sheet 2; flange 50 + 3 + 2; 60 wide
    assert size(view(named("l_bracket"), FRONT)) == pytest.approx((60, 55), abs=1e-3)
    assert size(view(named("l_bracket"), ABOVE)) == pytest.approx((60, 45), abs=1e-3)
    assert size(view(named("l_bracket"), LEFT)) == pytest.approx((45, 55), abs=1e-3)


def test_where_flat_metal_turns_into_a_bend_no_edge_is_drawn() -> None:
    # by hand, upward: faces of the base at 0 and 2, the top of the flange at 50 + 3 + 2; the bend
    # ends at 2 + 3
    seen = curves(view(named("l_bracket"), FRONT).visible)
    lines = [one for one in seen if isinstance(one, Line)]
    level = {round(one.start[1], 3) for one in lines if abs(one.tangent(0)[1]) < 1e-6}
    assert level == {0.0, 2.0, 55.0}


def test_the_ends_of_a_bend_are_given_apart_where_asked_for() -> None:
    # the two inner ones are seen, 60 long and shortened by sqrt(2/3); the hole's and the round
    # corner's are shorter than 4
    seen = view(named("l_bracket"), PICTORIAL, hidden=False, smooth=4.0)
    found = curves(seen.smooth)
    assert [one.length for one in found] == pytest.approx([60 * (2 / 3) ** 0.5] * 2, abs=0.01)
    assert view(named("l_bracket"), PICTORIAL, hidden=False).smooth == ()


@pytest.mark.parametrize("side", [FRONT, LEFT, ABOVE])
def test_no_line_is_drawn_twice(side: Side) -> None:
    seen = view(named("z_with_gusset"), side)
    lines = [LineString([one.start, one.end]) for one in curves((*seen.visible, *seen.hidden))
             if isinstance(one, Line)]  # fmt: skip
    assert len(lines) > 10
    together = union_all([line.buffer(0.001, cap_style="flat") for line in lines]).area / 0.002
    assert together == pytest.approx(sum(line.length for line in lines), abs=0.3)
