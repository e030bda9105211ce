"""What a cutter takes and what it does not: limits worked by hand for 4 mm sheet unless said.

Common practice of cutting services: hole and slot at least t (refused under half of it for
holes), web t (refused under t/2), hole to edge 1.5 t (refused under t).
"""

from __future__ import annotations

from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.report import Finding, Severity
from parts.sheet import cuttable as module
from parts.sheet.blank import Blank, Cutout
from parts.sheet.corner import fillet_all
from parts.sheet.cuttable import cuttable, opening_width
from parts.sheet.loop import Loop, circle, clockwise, loop_distance, polygon, slot
from parts.sheet.shop import Shop, limits
from parts.tables import UnknownName

PLATE = polygon([(0, 0), (100, 0), (100, 60), (0, 60)])


def plate(*loops: Loop, outline: Loop = PLATE, thickness: float = 4) -> Blank:
    cutouts = tuple(Cutout(name, loop) for name, loop in zip("abcdefgh", loops, strict=False))
    return Blank(thickness, outline, cutouts, (), (1, 1))


def findings(
    blank: Blank, shop: Shop | None = None, round_corners: bool = False
) -> list[Finding]:
    return list(cuttable(blank, shop or Shop(), round_corners))


def only(found: list[Finding]) -> Finding:
    assert len(found) == 1, [str(f) for f in found]
    return found[0]


def test_a_plate_with_room_for_everything_passes_without_a_word():
    blank = plate(circle((20, 30), 8), slot((60, 30), 20, 6, 30))
    assert findings(blank) == []


@pytest.mark.parametrize(
    ("diameter", "severity"),
    [(4.0, None), (3.9, Severity.MENTIONS), (2.0, Severity.MENTIONS), (1.9, Severity.REFUSES)],
)
def test_a_hole_under_the_thickness_is_mentioned_and_under_half_of_it_refused(diameter, severity):
    found = findings(plate(circle((30, 30), diameter)))
    assert [f.severity for f in found] == ([severity] if severity else [])


def test_a_hole_in_thin_sheet_needs_a_millimetre():
    finding = only(findings(plate(circle((30, 30), 0.8), thickness=0.7)))
    assert finding.needed == "1.00 mm"


def test_the_shops_own_least_hole_refuses_and_goes_before_common_practice():
    blank = plate(circle((30, 30), 3.0))
    assert findings(blank, Shop(least_hole=2.5)) == []
    finding = only(findings(blank, Shop(least_hole=3.2)))
    assert finding.refuses
    assert finding.source == "the shop's own limit"
    assert "widen it by 0.2 mm" in finding.remedy


def test_a_slot_narrower_than_the_sheet_is_mentioned_whatever_its_length():
    finding = only(findings(plate(slot((50, 30), 40, 3, 20))))
    assert finding.severity is Severity.MENTIONS
    assert finding.found == "opening 3.00 mm wide"
    assert finding.remedy == "widen it by 1 mm"
    assert findings(plate(slot((50, 30), 40, 3, 20)), Shop(least_slot=3)) == []


def rounded_opening(width: float, radius: float) -> Loop:
    corners = [(40, 20), (60, 20), (60, 20 + width), (40, 20 + width)]
    return clockwise(fillet_all(polygon(corners), radius))


@pytest.mark.parametrize(
    ("opening", "width"),
    [
        (slot((0, 0), 30, 8, 77), 8),
        (clockwise(polygon([(0, 0), (30, 10), (27, 19), (-3, 9)])), 90**0.5),  # a rectangle aslant
        (rounded_opening(12, 1), 12),  # its small rounds do not make it narrow
        (rounded_opening(12, 6), 12),
        # a keyhole: 20 square, with a slit 3 wide that runs out of it
        (clockwise(polygon([(0, 0), (20, 0), (20, 8), (40, 8), (40, 11), (20, 11), (20, 20),
                            (0, 20)])), 3),
        # a tongue reaches in from the left and leaves 5 above it
        (clockwise(polygon([(0, 0), (30, 0), (30, 20), (0, 20), (0, 15), (12, 15), (12, 8),
                            (0, 8)])), 5),
    ],
)  # fmt: skip
def test_the_width_of_an_opening_is_that_of_its_narrowest_place(opening, width):
    assert opening_width(opening) == pytest.approx(width, abs=1e-9)


@pytest.mark.parametrize(
    ("web", "severity"),
    [(4.0, None), (3.9, Severity.MENTIONS), (2.0, Severity.MENTIONS), (1.9, Severity.REFUSES)],
)
def test_metal_between_two_openings_is_measured_once(web, severity):
    found = findings(plate(circle((30, 30), 10), circle((40 + web, 30), 10)))
    assert [(f.where, f.severity) for f in found] == ([("a and b", severity)] if severity else [])


@pytest.mark.parametrize(
    ("edge", "severity"),
    [(6.0, None), (5.9, Severity.MENTIONS), (4.0, Severity.MENTIONS), (3.9, Severity.REFUSES)],
)
def test_a_hole_near_the_edge_is_mentioned_and_nearer_than_the_thickness_refused(edge, severity):
    found = findings(plate(circle((30, edge + 5), 10)))
    assert [(f.where, f.severity) for f in found] == ([("a", severity)] if severity else [])


def test_the_shops_own_least_gap_holds_for_webs_and_edges():
    blank = plate(circle((30, 8), 10), circle((43, 8), 10))  # 3 to the edge, 3 between
    assert findings(blank, Shop(least_gap=3)) == []
    found = findings(blank, Shop(least_gap=3.5))
    assert [(f.where, f.refuses) for f in found] == [("a", True), ("b", True), ("a and b", True)]


def test_a_thin_tongue_inside_an_opening_is_a_web():
    tongue = clockwise(polygon([(30, 20), (60, 20), (60, 45), (50, 45), (50, 25), (48.5, 25),
                                (48.5, 45), (30, 45)]))  # fmt: skip
    finding = only(findings(plate(tongue)))
    assert finding.refuses  # 1.5, under half of 4
    assert finding.found == "1.50 mm of metal between its cuts"


def test_a_slit_from_the_edge_narrower_than_the_sheet_is_mentioned():
    outline = polygon([(0, 0), (100, 0), (100, 60), (52, 60), (52, 30), (50, 30), (50, 60),
                       (0, 60)])  # fmt: skip
    finding = only(findings(plate(outline=outline)))
    assert finding.where.startswith("notch at")
    assert finding.found == "2.00 mm wide"


def test_a_strip_of_metal_thinner_than_the_sheet_is_told():
    outline = polygon([(0, 0), (100, 0), (100, 60), (90, 60), (90, 3), (0, 3)])
    assert only(findings(plate(outline=outline))).found == "3.00 mm of metal between its cuts"


@given(edge=st.floats(0.1, 5.9), diameter=st.floats(4, 20), x=st.floats(20, 80))
def test_moving_a_hole_in_by_the_remedy_clears_it(edge, diameter, x):
    y = edge + diameter / 2
    finding = only(findings(plate(circle((x, y), diameter))))
    by = float(finding.remedy.removeprefix("move it in by ").removesuffix(" mm"))
    assert by < 6 - edge + 0.1 + 1e-6
    assert findings(plate(circle((x, y + by), diameter))) == []


@given(web=st.floats(0.1, 3.9), angle_deg=st.floats(0, 360))
def test_moving_two_openings_apart_by_the_remedy_clears_them(web, angle_deg):
    def blank(gap: float) -> Blank:
        reach, angle = 10 + gap, radians(angle_deg)
        return plate(
            circle((50, 30), 10), circle((50 + reach * cos(angle), 30 + reach * sin(angle)), 10)
        )

    finding = only(findings(blank(web)))
    by = float(finding.remedy.removeprefix("move them apart by ").removesuffix(" mm"))
    assert findings(blank(web + by)) == []


def test_outside_corners_are_only_looked_at_where_the_part_is_handled():
    # UN Regulation 26: radius 2.5
    assert findings(plate()) == []
    assert len(findings(plate(), round_corners=True)) == 4
    assert findings(plate(outline=fillet_all(PLATE, 2.5)), round_corners=True) == []
    found = findings(plate(outline=fillet_all(PLATE, 2.0)), round_corners=True)
    assert [f.remedy for f in found] == ["widen it by 0.5 mm"] * 4


def test_inside_corners_need_no_round():
    outline = polygon([(0, 0), (100, 0), (100, 30), (50, 30), (50, 60), (0, 60)])
    found = findings(plate(outline=outline), round_corners=True)
    assert len(found) == 5
    assert all("(50.00, 30.00)" not in f.where for f in found)


def test_a_hundred_holes_far_apart_are_never_measured_against_each_other(monkeypatch):
    calls = []

    def counted(a, b, within):
        calls.append(1)
        return loop_distance(a, b, within)

    monkeypatch.setattr(module, "loop_distance", counted)
    wide = polygon([(0, 0), (220, 0), (220, 220), (0, 220)])
    holes = tuple(
        Cutout(f"{i}-{j}", circle((20 + 20 * i, 20 + 20 * j), 8))
        for i in range(10)
        for j in range(10)
    )
    assert findings(Blank(4, wide, holes, (), (1, 1))) == []
    assert len(calls) == 100  # each to the edge only


def test_findings_come_in_the_order_of_the_blank():
    blank = plate(circle((90, 30), 3), circle((60, 30), 3), circle((30, 30), 3))
    assert [f.where for f in findings(blank)] == ["a", "b", "c"]


def test_a_limit_that_no_table_holds_is_answered_with_the_nearest():
    with pytest.raises(UnknownName, match="did you mean hole to bend"):
        limits("hole to bends", 2)
