"""Whether punch and die can get at a bend: turns too sharp, channels too deep, closed profiles.

Rooms are held against an independent picture: the section is a polyline in the complex plane, the
punch the upright line over the bend at the end of its stroke.
"""

from __future__ import annotations

from cmath import exp
from math import pi, radians

import pytest
from blanks import NAMED, allowance, bend
from hypothesis import given
from hypothesis import strategies as st

from parts.report import Finding, Severity
from parts.sheet.allowance import BendBook
from parts.sheet.bend_side import bend_sides
from parts.sheet.bendable import bendable
from parts.sheet.blank import Bend, Blank
from parts.sheet.fold import fold
from parts.sheet.loop import polygon
from parts.sheet.shop import Rack, Shop
from parts.sheet.stock import Stock, material
from parts.sheet.tooling import room_factor, tooling


def strip(
    flats: list[float], turns_deg: list[float], t: float = 3.0, radius: float = 3.0,
    width: float = 50.0,
) -> Blank:  # fmt: skip
    """Flats one after the other with a bend between each two; the first is the base."""
    bends, x = [], flats[0]
    for number, (flat, turn) in enumerate(zip(flats[1:], turns_deg, strict=True), 1):
        bends.append(bend(f"b{number}", (x, width), (x, 0), turn, radius, t))
        x += bends[-1].allowance + flat
    outline = polygon([(0, 0), (x, 0), (x, width), (0, width)])
    return Blank(t, outline, (), tuple(bends), (flats[0] / 2, width / 2))


def said(blank: Blank, shop: Shop | None = None) -> list[Finding]:
    return list(tooling(fold(blank), bend_sides(blank), shop or Shop()))


def only(found: list[Finding]) -> Finding:
    assert len(found) == 1, [str(f) for f in found]
    return found[0]


# turns


@pytest.mark.parametrize(("turn_deg", "refused"), [(90, False), (135, False), (136, True)])
def test_a_turn_past_135_degrees_is_refused_as_in_common_practice(turn_deg, refused):
    found = said(strip([60, 60], [turn_deg]))
    assert [f.refuses for f in found] == [True] * refused


@pytest.mark.parametrize(("turn_deg", "t", "radius"), [(170, 3, 3), (179, 1, 1), (-179, 1, 1)])
def test_a_hem_is_refused_with_what_it_turns_by(turn_deg, t, radius):
    finding = only(said(strip([60, 20], [turn_deg], t, radius)))
    assert finding.refuses
    assert finding.found.startswith(f"turn of {abs(turn_deg)} degrees, {180 - abs(turn_deg)} incl")


def test_the_shops_own_sharpest_turn_wins():
    assert said(strip([60, 60], [148]), Shop(most_turn_deg=150)) == []
    assert only(said(strip([60, 60], [120]), Shop(most_turn_deg=110))).refuses


def test_a_rolled_band_may_turn_as_far_as_it_likes():
    assert said(strip([60, 60], [300], t=1, radius=80)) == []


# channels


def meets_middle_line(width: float, depth: float, first_deg: float, last_deg: float) -> bool:
    """Whether a leg crosses the upright over the last bend, by walking the section."""
    base = exp(1j * radians(last_deg / 2))  # the base rises from the die by half the turn
    leg = base * exp(1j * radians(first_deg))  # and the leg turns on from it
    return (width * base + depth * leg).real < 0


@given(
    width=st.floats(5, 300), share=st.floats(0.2, 3).filter(lambda s: abs(s - 1) > 1e-6),
    first_deg=st.floats(20, 150), last_deg=st.floats(20, 150),
)  # fmt: skip
def test_a_leg_meets_the_punch_at_the_depth_that_is_said(width, share, first_deg, last_deg):
    factor = room_factor(first_deg, last_deg)
    if factor == float("inf"):
        assert not meets_middle_line(width, 1e6, first_deg, last_deg)
    else:
        depth = share * factor * width
        assert meets_middle_line(width, depth, first_deg, last_deg) == (share > 1)


def test_a_deep_narrow_channel_is_refused():
    """3 mm, 24 of flat between, legs of 200: inside 24 + 2 x 3 wide, 203 deep; 1.5 x 30 = 45."""
    finding = only(said(strip([200, 24, 200], [90, 90])))
    assert finding.refuses
    assert finding.where == "channel between bends b1 and b2"
    assert finding.found == "30.00 mm wide inside, its legs 203.00 mm and 203.00 mm deep"
    assert finding.needed.startswith("one leg of 45.00 mm or less")
    assert "shorten a leg by 158 mm" in finding.remedy


@pytest.mark.parametrize(
    ("flat", "severity"),
    [(12, None), (12.1, Severity.MENTIONS), (42, Severity.MENTIONS), (42.1, Severity.REFUSES)],
)  # inside depth 3 more; 0.5 x 30 = 15 clears a straight punch, 1.5 x 30 = 45 a gooseneck
def test_a_channel_is_mentioned_past_half_its_width_and_refused_past_one_and_a_half(
    flat, severity
):
    found = said(strip([200, 24, flat], [90, 90]))
    assert [f.severity for f in found] == ([severity] if severity else [])


def test_shortening_a_leg_by_the_remedy_clears_the_refusal():
    assert only(said(strip([200, 24, 200 - 158], [90, 90]))).severity is Severity.MENTIONS


def test_a_channel_that_opens_outward_is_no_channel():
    assert said(strip([200, 24, 200], [60, 60])) == []
    assert said(strip([200, 24, 200], [90, -90])) == []


@pytest.mark.parametrize("turn_deg", [180, 200])
def test_a_hem_beside_another_bend_is_refused_once_and_makes_no_channel(turn_deg):
    assert only(said(strip([60, 40, 30], [90, turn_deg]))).found.startswith("turn of")


def test_the_shops_own_punch_room_wins():
    assert said(strip([200, 24, 200], [90, 90]), Shop(punch_room=7)) == []
    assert only(said(strip([200, 24, 20], [90, 90]), Shop(punch_room=0.5))).refuses


def test_legs_that_stand_at_different_stretches_of_the_base_are_no_channel():
    ba = allowance(90, 3, 3)
    outline = polygon([(0, 0), (24, 0), (24, 40), (24 + ba + 200, 40), (24 + ba + 200, 90),
                       (0, 90), (0, 50), (0, 30), (-ba - 200, 30), (-ba - 200, 0)])  # fmt: skip
    right = Bend("right", (24, 90), (24, 40), 90, 3, ba)
    left = Bend("left", (0, 0), (0, 30), 90, 3, ba)
    assert said(Blank(3, outline, (), (right, left), (12, 45))) == []


def test_the_walls_of_a_box_are_looked_at_in_pairs_that_face_each_other():
    # the box of the test blanks: walls of 35 on 80 x 120, a lip of 15 on one: nothing is too deep
    assert said(NAMED["box"]()) == []


# profiles


def test_a_closed_tube_of_four_bends_is_refused():
    """60 x 60, 3 mm, radius 3: flats of 48 and two halves that meet in the middle of a side."""
    found = said(strip([24, 48, 48, 48, 24], [90] * 4))
    (finding,) = [f for f in found if f.refuses]
    assert finding.where == "profile from base to flange b4"
    assert finding.found == "bends b1, b2, b3, b4 turn 360 degrees in all and leave 0.00 mm open"


@pytest.mark.parametrize(
    ("opening", "severity"), [(30, None), (20, Severity.MENTIONS), (10, Severity.REFUSES)]
)  # a straight punch is about 25 thick, a slim one 12 (common practice)
def test_three_bends_are_judged_by_the_opening_they_leave(opening, severity):
    # three sides of a square 60 wide inside (54 of flat and two radii) and a fourth that ends
    # `opening` before the first: 60 inside, the last starts 3 in, the first lies flush
    found = said(strip([57, 54, 54, 57 - opening], [90] * 3), Shop(punch_room=9))
    assert [f.severity for f in found] == ([severity] if severity else [])
    if severity:
        assert f"leave {opening:.2f} mm open" in only(found).found


def test_a_channel_with_lips_is_mentioned_and_left_to_the_punch_that_fits():
    """Base 100, legs 40, lips 12: 360 degrees in all, open by 106 - 2 x 15 inside."""
    finding = only(said(strip([12, 34, 100, 34, 12], [90] * 4), Shop(punch_room=0.6)))
    assert finding.severity is Severity.MENTIONS
    assert finding.found.endswith("leave 76.00 mm open")


def test_a_profile_that_turns_to_and_fro_never_closes():
    assert said(strip([30, 40, 40, 40, 30], [90, -90, 90, -90])) == []


# through the whole check


def bent(blank: Blank, metal: str = "DC01") -> list[Finding]:
    rack = Rack(Stock("plate", material(metal), blank.thickness))
    return list(bendable(fold(blank), rack, BendBook(), Shop()))


@pytest.mark.parametrize(
    "blank",
    [
        strip([200, 24, 200], [90, 90]),
        strip([24, 48, 48, 48, 24], [90] * 4),
        strip([60, 60], [170]),
        strip([60, 60], [179], 1, 1),
    ],
    ids=["deep channel", "tube", "170 degrees", "hem"],
)
def test_what_cannot_be_folded_is_refused_by_the_whole_check(blank: Blank):
    assert any(f.refuses for f in bent(blank))


def test_a_turn_past_the_table_of_flanges_is_told_and_the_others_are_checked():
    """flange_by_angle.csv ends at 150; V 25 of the chart wants 17.5 outside, 10 + 6 are there."""
    found = bent(strip([10, 60, 60], [90, 160]))
    assert any("ends at a turn of 150 degrees, under 160" in f.found for f in found)
    assert [f.where for f in found if "long outside" in f.found] == ["base at bend b1"]


def test_a_flange_that_ends_before_its_bend_does_is_refused_in_words():
    """Allowance by k 0.42: pi/2 (3 + 1.26) = 6.69; the metal stops 4 past the start line."""
    whole = strip([60, 60], [90])
    short = polygon([(0, 0), (64, 0), (64, 50), (0, 50)])
    found = [
        f for f in bent(Blank(3, short, (), whole.bends, (30, 25))) if "the metal stops" in f.found
    ]
    finding = only(found)
    assert finding.refuses
    short_by = f"{pi / 2 * 4.26 - 4:.2f}"
    assert finding.found == f"the metal stops {short_by} mm before the end line of the bend"
    assert "the bend alone uses up 6.69" in finding.remedy


def test_a_tapered_leg_counts_at_its_deepest():
    """The leg narrows from the whole bend to 10 mm at 40 past it: 40 and the radius inside."""
    ba = allowance(90, 3, 3)
    tip = 24 + ba + 40
    outline = polygon([(-ba - 200, 0), (24 + ba, 0), (tip, 20), (tip, 30), (24 + ba, 50),
                       (-ba - 200, 50)])  # fmt: skip
    bends = (bend("right", (24, 50), (24, 0), 90, 3, 3), bend("left", (0, 0), (0, 50), 90, 3, 3))
    finding = only(said(Blank(3, outline, (), bends, (12, 25)), Shop(punch_room=1)))
    assert "legs 43.00 mm and 203.00 mm deep" in finding.found
