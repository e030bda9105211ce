"""Parts that can be bent and parts that cannot: every limit worked by hand beside its case.

Unless said otherwise: mild steel 2 mm, inside radius 2, die V 12, turn 90. The air-bend chart of
press-brake makers gives V 12 a least flange of 8.5. Setback 2 + 2 = 4; allowance by DIN 6935
with k 0.325: pi / 2 x (2 + 0.65) = 4.16.
"""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.report import Finding, Severity
from parts.sheet.allowance import BendBook, BookRow
from parts.sheet.bendable import bendable
from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.curve import Point, arc
from parts.sheet.fold import fold
from parts.sheet.loop import Loop, circle, moved, polygon, slot
from parts.sheet.shop import Rack, Shop
from parts.sheet.stock import Stock, material

BA = 4.16
LOW = 20.0  # the bend starts here, the base lies below
TOP = LOW + BA  # and ends here


def bend(name: str = "lip", low: float = LOW, turn_deg: float = 90, ba: float = BA) -> Bend:
    return Bend(name, (-100, low), (200, low), turn_deg, 2, ba)


def findings(
    blank: Blank,
    name: str = "mild steel",
    die_v: float | None = 12,
    book: BendBook | None = None,
    shop: Shop | None = None,
) -> list[Finding]:
    rack = Rack(Stock("plate", material(name), blank.thickness), die_v)
    return list(bendable(fold(blank), rack, book or BendBook(), shop or Shop()))


def ell(
    flat: float = 30, *cutouts: Cutout, far: float | None = None, low: float = LOW
) -> Blank:
    """Base and flange; `flat` and `far` are the flange's flat on the left and on the right."""
    right = flat if far is None else far
    corners = [(0, LOW - low), (40, LOW - low), (40, TOP + right), (0, TOP + flat)]
    return Blank(2, polygon(corners), cutouts, (bend(),), (2, LOW - 1))


def shaped(outline: Loop, *bends: Bend, base: Point = (20, 10)) -> Blank:
    return Blank(2, outline, (), bends or (bend(),), base)


def only(found: list[Finding]) -> Finding:
    assert len(found) == 1, [str(f) for f in found]
    return found[0]


def test_an_angle_bracket_with_room_for_everything_passes_without_a_word():
    assert findings(ell(30, Cutout("bolt", circle((20, TOP + 15), 9)))) == []


# flanges ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("flat", "found"), [(4.0, "8.00"), (4.4, "8.40"), (4.49, "8.49")])
def test_a_flange_under_the_least_of_its_die_is_refused(flat, found):
    finding = only(findings(ell(flat)))  # outside 4 + flat against 8.5 of the chart
    assert finding.refuses
    assert finding.where == "flange lip at bend lip"
    assert finding.found.startswith(found)
    assert finding.needed.startswith("8.50 mm")
    assert "air-bend force chart" in finding.source


def test_a_flange_of_just_the_least_length_passes():
    assert findings(ell(4.5)) == []  # 4 + 4.5 = 8.5


def test_the_base_needs_its_length_as_well_as_the_flange():
    finding = only(findings(ell(30, low=4.0)))  # 4 of flat before the bend: 8.0 outside
    assert finding.where == "base at bend lip"
    assert finding.found.startswith("8.00")


def test_lengthening_a_flange_by_the_remedy_clears_it():
    assert "lengthen it by 1.3 mm" in only(findings(ell(3.2))).remedy  # 8.5 - 7.2
    assert findings(ell(3.2 + 1.3)) == []


@pytest.mark.parametrize(("left", "right"), [(12.0, 4.0), (4.0, 12.0)])
def test_a_tapered_flange_counts_at_its_short_side(left, right):
    assert only(findings(ell(left, far=right))).found.startswith("8.00")


def test_a_notch_in_the_far_edge_counts_where_it_is_deepest():
    top = TOP + 20
    outline = polygon([(0, 0), (40, 0), (40, top), (25, top), (25, TOP + 3), (15, TOP + 3),
                       (15, top), (0, top)])  # fmt: skip
    assert only(findings(shaped(outline))).found.startswith("7.00")  # 3 + 4


def test_the_tip_of_a_steep_notch_counts_though_its_flanks_do_not():
    top = TOP + 20
    outline = polygon([(0, 0), (40, 0), (40, top), (25, top), (20, TOP + 3), (15, top), (0, top)])
    assert only(findings(shaped(outline))).found.startswith("7.00")  # 3 + 4


def test_a_flange_mitred_at_45_degrees_passes_and_one_at_30_does_not():
    def mitred(run: float) -> Blank:  # the ends lean in by `run` for every 10 mm of height
        return shaped(polygon([(0, 0), (40, 0), (40, TOP), (40 - run, TOP + 10), (run, TOP + 10),
                               (0, TOP)]))  # fmt: skip

    assert findings(mitred(10)) == []
    assert only(findings(mitred(17.32))).refuses


def test_a_round_end_counts_to_where_its_edge_turns_flatter_than_45_degrees():
    def tab(radius: float) -> Blank:
        end = arc((radius, TOP), radius, 0, pi)
        sides = polygon([(0, 0), (2 * radius, 0), end.start, end.end])
        return shaped((sides[0], sides[1], end, sides[3]), base=(radius, 10))

    assert findings(tab(10)) == []  # 10 sin 45 = 7.07, over 4.5
    assert only(findings(tab(5))).found.startswith("7.53")  # 5 sin 45 + 4 = 7.5355


def test_half_of_the_bend_at_least_must_lie_on_the_die():
    # sides at 60 degrees: 4 of the 8 mm are left at 2 tan 60 = 3.464, so 7.464 outside
    outline = polygon([(0, 0), (8, 0), (8, TOP), (4, TOP + 4 * 3**0.5), (0, TOP)])
    assert only(findings(shaped(outline, base=(4, 10)))).found.startswith("7.46")


def test_the_shops_own_least_flange_wins_over_the_chart():
    row = BookRow("mild steel", 2, 2.0, die_v=12, k=0.4, least_flange=7.9)
    assert findings(ell(4.0), book=BendBook((row,))) == []
    finding = only(findings(ell(3.8), book=BendBook((row,))))
    assert finding.source == "bend book row 1"


def test_a_sharper_turn_needs_more_flange():
    # 120 degrees: 1.1 x 8.5 = 9.35 (common practice), setback to the tangent 4
    ba = 2 * pi / 3 * 2.65
    corners = [(0, 0), (40, 0), (40, LOW + ba + 5.2), (0, LOW + ba + 5.2)]
    finding = only(findings(shaped(polygon(corners), bend(turn_deg=120, ba=ba))))
    assert finding.found.startswith("9.20")
    assert finding.needed.startswith("9.35")


def test_a_wide_radius_in_a_narrow_die_must_still_reach_the_edge_of_the_die():
    # R 12 over V 12: setback 14 is past 8.5, but V/2 - BA/2 = 6 - 9.935 < 0: nothing is asked
    ba = pi / 2 * (12 + 0.325 * 2)
    wide = Bend("lip", (-100, LOW), (200, LOW), 90, 12, ba)
    corners = [(0, 0), (40, 0), (40, LOW + ba + 1), (0, LOW + ba + 1)]
    assert findings(shaped(polygon(corners), wide)) == []
    # over V 25 (least 17.5): R 12 has V/2 - BA/2 = 12.5 - 9.935 = 2.565 of flat, 3.5 by the chart
    finding = only(findings(shaped(polygon(corners), wide), die_v=25))
    assert finding.needed.startswith("17.50")
    # R 6 over V 12: setback 8, allowance pi / 2 x 6.65 = 10.446; 8 + 6 - 5.223 = 8.777, over 8.5
    ba = pi / 2 * (6 + 0.65)
    corners = [(0, 0), (40, 0), (40, LOW + ba + 0.6), (0, LOW + ba + 0.6)]
    six = shaped(polygon(corners), Bend("lip", (-100, LOW), (200, LOW), 90, 6, ba))
    finding = only(findings(six))
    assert finding.found.startswith("8.60")
    assert finding.needed.startswith("8.78")
    own = BookRow("mild steel", 2, 6.0, die_v=12, k=0.325, least_flange=8.5)
    assert findings(six, book=BendBook((own,))) == []


def channel(flat: float, turn_deg: float = 90) -> Blank:
    """Two bends `flat` apart, 30 of flat outside each."""
    second = TOP + flat
    top = second + BA + 30
    outline = polygon([(0, 0), (40, 0), (40, top), (0, top)])
    return shaped(outline, bend("near"), bend("far", second, turn_deg))


DEEP = Shop(punch_room=9)  # only the die is looked at here


@pytest.mark.parametrize("turn_deg", [90, -90])
def test_two_bends_nearer_than_the_die_are_refused_once(turn_deg):
    finding = only(findings(channel(4.2, turn_deg), shop=DEEP))  # needs 8.5 - 4 = 4.5
    assert finding.refuses
    assert finding.where == "bends near and far"
    assert finding.found.startswith("4.20")
    assert finding.needed.startswith("4.50")
    assert "0.3 mm apart" in finding.remedy


def test_two_bends_moved_apart_by_the_remedy_pass():
    assert findings(channel(4.2 + 0.3), shop=DEEP) == []


def test_a_die_that_no_chart_knows_is_told_and_not_guessed():
    finding = only(findings(ell(), die_v=300))
    assert finding.severity is Severity.MENTIONS
    assert "not checked" in finding.found


def test_a_die_that_no_chart_knows_is_checked_by_the_shops_own_least_flange():
    row = BookRow("mild steel", 2, 2.0, die_v=300, k=0.4, least_flange=20)
    finding = only(findings(ell(12), die_v=300, book=BendBook((row,)), shop=Shop()))
    assert finding.found.startswith("16.00")  # 12 + 4
    assert finding.needed.startswith("20.00")


# the metal and the machines -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "radius", "severity"),
    [
        ("S235", 2.5, None),  # EN 10025-2 extract: 2.5 over 1.5 to 2.5 mm
        ("S235", 2.0, Severity.MENTIONS),
        ("S235", 1.25, Severity.MENTIONS),  # half of it
        ("S235", 1.2, Severity.REFUSES),
        ("S355", 4.0, None),  # EN 10025-2 extract: 4
        ("S355", 2.5, Severity.MENTIONS),
        ("S355", 1.9, Severity.REFUSES),
        ("5052-H32", 3.0, None),  # Aluminum Association: 1.5 t at 1/8 inch
        ("5052-H32", 2.9, Severity.REFUSES),
    ],
)
def test_an_inside_radius_under_the_standards_is_mentioned_or_refused(name, radius, severity):
    tight = Bend("lip", (-100, LOW), (200, LOW), 90, radius, BA)
    found = findings(shaped(ell().outline, tight), name)
    assert [f.severity for f in found] == ([severity] if severity else [])


def test_a_bend_longer_than_the_folder_is_refused():
    finding = only(findings(ell(), shop=Shop(folder_length=38)))
    assert finding.found == "40.0 mm long"
    assert "shorten it by 2 mm" in finding.remedy
    assert findings(ell(), shop=Shop(folder_length=40)) == []


def test_a_bend_that_takes_more_than_the_press_gives_is_refused():
    # 1.33 x 360 MPa x 2 x 2 / 12 = 159.6 kN/m (air-bend chart's formula); 0.04 m: 6.38 kN
    finding = only(findings(ell(), shop=Shop(press_force_kn=6)))
    assert finding.refuses
    assert finding.found == "takes 6 kN over V 12"
    assert findings(ell(), shop=Shop(press_force_kn=6.4)) == []


def test_a_rolled_band_asks_nothing_of_die_folder_or_press():
    rolled = Bend("roll", (-100, LOW), (200, LOW), 90, 21, pi / 2 * 22)
    top = LOW + pi / 2 * 22 + 1
    outline = polygon([(0, 0), (40, 0), (40, top), (0, top)])
    hole = Cutout("drain", circle((20, LOW - 5), 6))
    shop = Shop(folder_length=10, press_force_kn=0.1)
    assert findings(Blank(2, outline, (hole,), (rolled,), (5, 5)), shop=shop) == []


# openings -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("way", [-1, 1])
def test_a_hole_nearer_than_two_thicknesses_and_the_radius_is_mentioned(way):
    y = (LOW - 4 - 5) if way < 0 else (TOP + 4 + 5)  # an 8 mm hole 5 from where the bend starts
    finding = only(findings(ell(30, Cutout("drain", circle((20, y), 8)))))
    assert finding.severity is Severity.MENTIONS
    assert finding.where == "drain"
    assert finding.found.startswith("edge 5.00 mm")
    assert finding.needed.startswith("6.00 mm (2t + R)")  # common practice: 2 x 2 + 2
    assert "1 mm" in finding.remedy


def test_a_wide_die_keeps_holes_off_by_half_its_opening():
    # V 20: 10 from the middle of the bend is 10 - 2.08 = 7.92 from its start
    finding = only(findings(ell(30, Cutout("drain", circle((20, TOP + 11), 8))), die_v=20))
    assert finding.found.startswith("edge 7.00 mm")
    assert finding.needed.startswith("7.92 mm (0.5V")


@given(
    gap=st.floats(0.1, 5.9), x=st.floats(6, 34), length=st.floats(5, 14), angle=st.floats(0, 180)
)
def test_moving_an_opening_by_the_remedy_clears_it(gap, x, length, angle):
    opening = slot((0, 0), length, 5, angle)
    low = min(curve.box()[1] for curve in opening)
    placed = moved(opening, (20 + (x - 20) / 4, TOP + gap - low))
    finding = only(findings(ell(40, Cutout("slot", placed))))
    by = float(finding.remedy.split(" by ")[1].split(" mm")[0])
    assert by < 6 - gap + 0.1 + 1e-6
    assert findings(ell(40, Cutout("slot", moved(placed, (0, by))))) == []


def test_a_hole_across_a_bend_is_told_with_what_it_will_measure():
    # 10 mm on the middle: 2.92 of flat each side; inside (2 + 2.92) x sqrt 2 = 6.96, outside
    # (4 + 2.92) x sqrt 2 = 9.79
    finding = only(findings(ell(30, Cutout("wire", circle((20, LOW + BA / 2), 10)))))
    assert finding.severity is Severity.MENTIONS
    assert "cut 10.00 mm" in finding.found
    assert "6.96 mm straight across on the drawn face and 9.79 on the back" in finding.remedy


def test_a_hole_wholly_in_a_bend_is_told_too():
    finding = only(findings(ell(30, Cutout("wire", circle((20, LOW + BA / 2), 2)))))
    assert "lies on bend lip" in finding.found


def test_a_hole_past_the_end_of_a_bend_is_not_near_it():
    # the bend runs from x 0 to 20 beside a relief; the hole lies level with it at x 40
    outline = polygon([(0, 0), (60, 0), (60, 60), (24, 60), (24, 17), (20, 17), (20, 60), (0, 60)])
    tab = Bend("tab", (-5, LOW), (21, LOW), 90, 2, BA)
    blank = Blank(2, outline, (Cutout("drain", circle((40, LOW), 8)),), (tab,), (30, 5))
    assert findings(blank) == []


def notched(height: float) -> Blank:
    top = TOP + 20
    return shaped(polygon([(0, 0), (40, 0), (40, top), (25, top), (25, TOP + height),
                           (15, TOP + height), (15, top), (0, top)]))  # fmt: skip


def test_a_notch_that_ends_near_a_bend_is_mentioned_like_a_hole():
    finding = only(findings(notched(5)))  # past the 4.5 that the die needs, short of 6
    assert finding.severity is Severity.MENTIONS
    assert finding.found.startswith("bottom 5.00 mm")
    assert findings(notched(6)) == []


def test_a_notch_that_ends_in_the_bend_is_mentioned():
    finding = only(findings(notched(-2)))
    assert finding.found == "its bottom lies in bend lip"


# reliefs ------------------------------------------------------------------------------------------


def narrow(notch: float, depth: float) -> Blank:
    """A flange from x 20 to 60 on a base 80 wide whose edge lies where the bend starts."""
    low = LOW - depth
    corners = [(0, -20), (80, -20), (80, LOW), (60 + notch, LOW), (60 + notch, low), (60, low),
               (60, 60), (20, 60), (20, low), (20 - notch, low), (20 - notch, LOW),
               (0, LOW)]  # fmt: skip
    if notch == 0:
        corners = [(0, -20), (80, -20), (80, low), (60, low), (60, 60), (20, 60), (20, low),
                   (0, low)]  # fmt: skip
    bent = Bend("tab", (20, LOW), (60, LOW), 90, 2, BA)
    return Blank(2, polygon(corners), (), (bent,), (40, 0))


def test_a_flange_narrower_than_its_edge_needs_a_relief_at_both_ends():
    found = findings(narrow(0, 0))
    assert [f.where for f in found] == [
        "bend tab, its end at (60.00, 20.00)",
        "bend tab, its end at (20.00, 20.00)",
    ]
    assert all(f.refuses and "no relief" in f.found for f in found)


def test_a_relief_as_wide_as_the_sheet_and_past_the_tangent_passes():
    assert findings(narrow(2, 1)) == []  # common practice: one thickness wide, past the tangent


def test_an_edge_that_stands_back_from_the_bend_needs_no_notch():
    assert findings(narrow(0, 1)) == []


def test_a_relief_narrower_than_the_sheet_is_refused():
    found = findings(narrow(1.5, 1))
    assert len(found) == 2
    assert all(f.refuses and f.found == "a relief 1.50 mm wide" for f in found)
    assert all(f.remedy == "widen it by 0.5 mm" for f in found)


def test_a_relief_that_ends_short_of_half_a_thickness_past_the_tangent_is_mentioned():
    found = findings(narrow(2, 0.6))
    assert [f.severity for f in found] == [Severity.MENTIONS] * 2
    assert all(f.remedy == "deepen it by 0.4 mm" for f in found)


def corner(relief: float) -> Blank:
    """Two flanges that meet at the corner of the base, with a square cut out there.

    DC01 bends as sharp along the grain as across it: half a thickness (common practice).
    """
    r = relief
    far = -BA - 30
    outline = [(r, far), (60, far), (60, 60), (far, 60), (far, r), (r, r)]
    if r == 0:
        outline = [(0, far), (60, far), (60, 60), (far, 60), (far, 0), (0, 0)]
    bends = (
        Bend("front", (60, 0), (0, 0), 90, 2, BA),
        Bend("left", (0, 0), (0, 60), 90, 2, BA),
    )
    return Blank(2, polygon(outline), (), bends, (40, 40))


def test_a_box_corner_without_a_relief_is_refused_at_both_bends():
    found = findings(corner(0), "DC01")
    assert [f.where for f in found] == [
        "bend front, its end at (0.00, 0.00)",
        "bend left, its end at (0.00, 0.00)",
    ]
    assert all(f.refuses for f in found)


def test_a_box_corner_cut_out_past_both_tangents_passes():
    assert findings(corner(3), "DC01") == []


def test_a_bend_that_runs_out_of_a_slanting_edge_needs_no_relief():
    outline = polygon([(0, 0), (70, 0), (60, 60), (10, 60)])
    assert findings(shaped(outline)) == []


def test_findings_come_in_the_same_order_every_time():
    blank = narrow(0, 0)
    assert [str(f) for f in findings(blank)] == [str(f) for f in findings(blank)]
