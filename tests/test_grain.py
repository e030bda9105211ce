"""The way of the grain, and bends too sharp for it.

EN 10025-2, recommended least radius for cold bending, S235 over 3 to 4 mm, turn to 90: 5 mm across
the grain and 6 along it. Aluminum Association, 5052-H32: the same either way.
"""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin

import pytest
from blanks import allowance
from hypothesis import given
from hypothesis import strategies as st

from parts.report import Severity
from parts.sheet.bend_radius import radii
from parts.sheet.blank import Bend, Blank
from parts.sheet.fold import Folded, fold
from parts.sheet.grain import grain_of
from parts.sheet.loop import moved, polygon
from parts.sheet.stock import material

S235 = material("S235")


def two_ways(radius: float, right: float = 40.0, t: float = 4.0, turn_deg: float = 90) -> Folded:
    """A base with a flange of 100 along x and one of `right` along y, a notch between them."""
    ba = allowance(turn_deg, radius, t)
    far = 120 + ba + 40
    outline = polygon([(0, 0), (120, 0), (120, 20), (far, 20), (far, 20 + right),
                       (120, 20 + right), (120, 120), (100, 120), (100, far),
                       (0, far)])  # fmt: skip
    bends = (
        Bend("long", (0, 120), (100, 120), turn_deg, radius, ba),
        Bend("short", (120, 20 + right), (120, 20), turn_deg, radius, ba),
    )
    return fold(Blank(t, outline, (), bends, (50, 50)))


def test_the_longer_bend_gets_the_grain_and_the_other_is_mentioned():
    folded = two_ways(5)
    grain = grain_of(folded, S235)
    assert grain is not None
    assert grain.angle_deg == pytest.approx(90)  # square to the bend of 100 along x
    (finding,) = radii(folded, S235)
    assert finding.severity is Severity.MENTIONS
    assert finding.where == "bend short"
    assert finding.needed == "6.00 mm in S235, bend line along the grain"
    assert "widen the radius by 1 mm" in finding.remedy


def test_a_radius_that_suits_both_ways_asks_for_no_grain():
    assert grain_of(two_ways(6), S235) is None
    assert list(radii(two_ways(6), S235)) == []


def test_bends_of_one_direction_can_all_run_across_the_grain():
    ba = allowance(90, 5, 4)
    outline = polygon([(0, -ba - 40), (100, -ba - 40), (100, 60 + ba + 40), (0, 60 + ba + 40)])
    bends = (Bend("a", (100, 0), (0, 0), 90, 5, ba), Bend("b", (0, 60), (100, 60), 90, 5, ba))
    folded = fold(Blank(4, outline, (), bends, (50, 30)))
    grain = grain_of(folded, S235)
    assert grain is not None
    assert grain.against == ()
    assert list(radii(folded, S235)) == []


def test_sharper_than_across_the_grain_is_told_for_both_with_their_own_limit():
    needed = {f.where: f.needed for f in radii(two_ways(4), S235)}
    assert needed == {
        "bend long": "5.00 mm in S235, bend line across the grain",
        "bend short": "6.00 mm in S235, bend line along the grain",
    }


@pytest.mark.parametrize(("radius", "severity"), [(2.5, "mentions"), (2.4, "refuses")])
def test_half_of_the_limit_across_the_grain_refuses_whichever_way_it_runs(radius, severity):
    assert {f.severity.value for f in radii(two_ways(radius), S235)} == {severity}


def test_aluminium_that_only_runs_the_wrong_way_is_mentioned_and_sharper_refused():
    """mild steel rows would mention; 6061-T6 has one radius for both ways, so it never does."""
    folded = two_ways(8, t=2)
    assert grain_of(folded, material("6061-T6")) is None
    found = list(radii(two_ways(7, t=2), material("6061-T6")))  # common practice: 4 t
    assert [f.refuses for f in found] == [True, True]


def test_a_turn_past_the_range_of_the_source_is_mentioned():
    found = list(radii(two_ways(6, turn_deg=100), S235))
    assert [f.where for f in found] == ["bend long", "bend short"]
    assert all(f.severity is Severity.MENTIONS for f in found)
    assert found[0].found == "turn of 100 degrees with inside radius 6.00 mm"
    assert found[0].needed.startswith("a turn to 90 degrees")
    assert list(radii(two_ways(6, turn_deg=90), S235)) == []


def test_a_sharp_bend_past_the_range_is_told_once_with_both():
    (first, _) = radii(two_ways(4, turn_deg=100), S235)
    assert first.needed == "5.00 mm in S235, bend line across the grain, turn to 90 degrees"


@given(angle_deg=st.floats(-180, 180), right=st.sampled_from([40.0, 99.0]))
def test_the_grain_turns_with_the_blank(angle_deg: float, right: float):
    blank = two_ways(5, right).blank
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))

    def turned(p):
        return (c * p[0] - s * p[1], s * p[0] + c * p[1])

    bends = tuple(
        Bend(b.name, turned(b.start), turned(b.end), b.turn_deg, b.radius, b.allowance)
        for b in blank.bends
    )
    outline = moved(blank.outline, turn_deg=angle_deg)
    grain = grain_of(fold(Blank(4, outline, (), bends, turned(blank.base))), S235)
    assert grain is not None
    assert hypot(*grain.direction) == pytest.approx(1)
    off = degrees(atan2(grain.direction[1], grain.direction[0])) - (90 + angle_deg)
    assert sin(radians(off)) == pytest.approx(0, abs=1e-9)
    assert -90 < grain.angle_deg <= 90 + 1e-9
    assert [bends[n].name for n in grain.against] == ["short"]


@pytest.mark.parametrize(("lean_deg", "along"), [(44, 0), (46, 1)])
def test_a_bend_less_than_half_way_round_still_counts_as_across(lean_deg: float, along: int):
    """A second bend that leans from the first: nearer to the grain than 45 degrees is along it."""
    ba, tip = allowance(90, 5, 4), radians(lean_deg)
    run, rise = (cos(tip), sin(tip)), (-sin(tip), cos(tip))
    a = (0.0, 0.0)
    b = (60 * run[0], 60 * run[1])
    far = ba + 40

    def out(p):
        return (p[0] - far * rise[0], p[1] - far * rise[1])

    top = b[1] + 30
    outline = polygon([a, out(a), out(b), b, (b[0], top), (b[0], top + far),
                       (-30, top + far), (-30, top)])  # fmt: skip
    bends = (
        Bend("level", (-30, top), (b[0], top), 90, 5, ba),
        Bend("leaning", b, a, 90, 5, ba),
    )
    grain = grain_of(fold(Blank(4, outline, (), bends, (5, top - 5))), S235)
    assert grain is not None
    assert len(grain.against) == along
