"""Which blanks lie on which sheets, turned or not, by hand; and with the grain as bends ask.

EN 10025-2, recommended least radius for cold bending, S235 over 3 to 4 mm, turn to 90: 5 mm across
the grain and 6 along it. Of a sheet the first size runs along the grain.
"""

from __future__ import annotations

import pytest

from parts.report import Finding
from parts.sheet.blank import Bend, Blank
from parts.sheet.fold import Folded, fold
from parts.sheet.loop import Loop, moved, polygon
from parts.sheet.on_sheet import on_sheet
from parts.sheet.shop import Rack, Shop
from parts.sheet.stock import Stock, material

PLATE = polygon([(0, 0), (100, 0), (100, 60), (0, 60)])


def plate(outline: Loop = PLATE) -> Folded:
    return fold(Blank(4, outline, (), (), (5, 5)))


def strip(radius: float, turned_deg: float = 0.0) -> Folded:
    """90 long and 20 wide, bent square to its length: the grain is wanted along it."""
    outline = moved(polygon([(0, 0), (90, 0), (90, 20), (0, 20)]), turn_deg=turned_deg)
    ends = moved(polygon([(40, 20), (40, 0), (45, 10)]), turn_deg=turned_deg)
    bend = Bend("lip", ends[0].start, ends[0].end, 90, radius, 10)
    base = moved(polygon([(5, 5), (6, 5), (6, 6)]), turn_deg=turned_deg)[0].start
    return fold(Blank(4, outline, (), (bend,), base))


def findings(
    folded: Folded, shop: Shop | None = None, sheet: tuple[float, float] | None = None
) -> list[Finding]:
    return list(on_sheet(folded, Rack(Stock("plate", material("S235"), 4), sheet=sheet),
                         shop or Shop()))  # fmt: skip


def test_a_blank_fits_a_sheet_as_drawn_or_turned() -> None:
    assert findings(plate(), sheet=(100, 60)) == []
    assert findings(plate(), sheet=(60, 100)) == []
    (finding,) = findings(plate(), sheet=(99, 80))
    assert finding.refuses
    assert finding.found == "100.0 x 60.0 mm, 1 mm too long for the sheet of 99 x 80 mm"


def test_a_blank_too_large_both_ways_says_both() -> None:
    (finding,) = findings(plate(), sheet=(59.3, 97.5))
    assert "2.5 mm too long and 0.7 mm too wide for the sheet of 97.5 x 59.3 mm" in finding.found


def test_a_blank_drawn_aslant_is_turned_onto_its_own_edge() -> None:
    assert findings(plate(moved(PLATE, turn_deg=33)), sheet=(101, 61)) == []


def test_any_sheet_of_the_shop_will_do_unless_the_rack_names_one() -> None:
    shop = Shop(sheets=((80, 80), (120, 60)))
    assert findings(plate(), shop) == []
    (finding,) = findings(plate(), shop, sheet=(80, 80))
    assert finding.source == "the sheet on the rack"
    assert findings(plate()) == []  # no sheet stated: nothing is said


def test_the_sheet_that_is_missed_by_least_is_named() -> None:
    (finding,) = findings(plate(), Shop(sheets=((50, 50), (98, 70), (120, 40))))
    assert "2 mm too long for the sheet of 98 x 70 mm" in finding.found
    assert finding.source == "the shop's sheets"


def test_what_the_kind_knows_to_make_it_fit_is_said_instead() -> None:
    rack = Rack(Stock("plate", material("S235"), 4), sheet=(99, 80))
    (finding,) = on_sheet(plate(), rack, Shop(), "a seam")
    assert finding.remedy == "a seam"


@pytest.mark.parametrize("turned_deg", [0, 90, 33])
def test_a_blank_that_needs_the_grain_one_way_is_not_turned_across_it(turned_deg: float) -> None:
    sharp, wide = strip(5, turned_deg), strip(6, turned_deg)
    assert findings(sharp, sheet=(90.1, 20.1)) == []
    (finding,) = findings(sharp, sheet=(20.1, 90.1))
    assert finding.refuses
    assert "90.0 x 20.0 mm (along the grain x across it), 69.9 mm too long" in finding.found
    assert "for the sheet of 20.1 x 90.1 mm" in finding.found
    # 6 mm is enough both ways: it may be turned
    assert findings(wide, sheet=(20.1, 90.1)) == []


def test_a_sheet_with_the_grain_the_other_way_is_passed_over_for_one_that_serves() -> None:
    assert findings(strip(5), Shop(sheets=((20, 200), (100, 25)))) == []
    (finding,) = findings(strip(5), Shop(sheets=((20, 200), (85, 25))))
    assert "5 mm too long for the sheet of 85 x 25 mm" in finding.found
