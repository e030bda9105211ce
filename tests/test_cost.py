"""Cost by the user's own rates, worked by hand beside each case, and the rates in a job file."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from math import pi
from pathlib import Path

import pytest
from hand_parts import part_of

from parts.buying import cost_of_parts, cost_pieces
from parts.job import JobError, read_job
from parts.nesting.given import Given
from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.loop import circle, polygon
from parts.trade.cost import CostPiece, CostTable, Rates, SheetUse, cost_of

MOUNT = CostPiece(
    "mount", "bracket", "plate", quantity=2, box_kg=3.0, cut_length=1500.0, pierces=5, bends=2
)
LID = CostPiece("lid", "arm", "thin", quantity=1, box_kg=0.5, cut_length=800.0, pierces=1, bends=0)


def amounts(found: CostTable, name: str) -> list[str]:
    """A row as it is shown, for 1, 2, 4 and 10 off."""
    table = found.table()
    number = [row for row, _ in table.rows].index(name)
    return [table.cell(number, column) for column in range(4)]


def names(found: CostTable) -> list[str]:
    return [line.name for line in found.lines]


def test_sheet_by_weight_is_the_boxes_over_the_yield() -> None:
    # 2 pieces x 3 kg / 0.8 x 1.5 = 11.25
    found = cost_of([MOUNT], Rates("EUR", sheet_per_kg={"plate": 1.5}, sheet_yield=0.8))
    assert amounts(found, "sheet, plate") == ["11.25", "22.50", "45.00", "112.50"]


USE = {"plate": SheetUse((0.3, 0.6, 1.2, 3.0), 40.0)}


def test_sheet_by_the_sheet_is_what_the_nest_takes() -> None:
    found = cost_of([MOUNT], Rates("EUR", sheet_each={"plate": 90}), USE)
    assert amounts(found, "sheet, plate") == ["27.00", "54.00", "108.00", "270.00"]


def test_sheet_by_weight_without_a_yield_is_the_weight_of_the_sheets() -> None:
    # 0.3 of a sheet of 40 kg at 2
    found = cost_of([MOUNT], Rates("EUR", sheet_per_kg={"plate": 2}), USE)
    assert amounts(found, "sheet, plate") == ["24.00", "48.00", "96.00", "240.00"]


def test_waste_is_a_share_of_the_sheet_alone() -> None:
    rates = Rates("EUR", sheet_each={"plate": 90}, waste=0.1, bend_each=7)
    assert amounts(cost_of([MOUNT], rates, USE), "waste") == ["2.70", "5.40", "10.80", "27.00"]


def test_cutting_is_metres_pierces_and_one_set_up_a_stock() -> None:
    # 2 x 1.5 m x 1.2 = 3.60; 2 x 5 pierces x 0.15 = 1.50; set up twice, for two stocks
    rates = Rates(
        "EUR", cut_per_metre={"plate": 1.2, "thin": 0.5}, pierce_each={"plate": 0.15, "thin": 0},
        cut_set_up=12,
    )  # fmt: skip
    found = cost_of([MOUNT, LID], rates)
    assert amounts(found, "cutting, plate") == ["3.60", "7.20", "14.40", "36.00"]
    assert amounts(found, "pierces, plate") == ["1.50", "3.00", "6.00", "15.00"]
    assert amounts(found, "cutting, thin") == ["0.40", "0.80", "1.60", "4.00"]
    assert amounts(found, "cutting set-up, plate") == ["12.00"] * 4
    # 3.60 + 1.50 + 0.40 + 0 + 24 = 29.50
    assert amounts(found, "cost of all")[0] == "29.50"


def test_cutting_by_the_hour_is_length_over_feed_and_the_time_of_pierces() -> None:
    # 3 m at 2 m/min is 1.5 min, at 60 an hour 1.50; 10 pierces of 3 s are 30 s: 0.50
    rates = Rates("EUR", cut_feed={"plate": 2}, pierce_seconds={"plate": 3}, cut_per_hour=60)
    found = cost_of([MOUNT], rates)
    assert amounts(found, "cutting, plate") == ["1.50", "3.00", "6.00", "15.00"]
    assert amounts(found, "pierces, plate") == ["0.50", "1.00", "2.00", "5.00"]


def test_a_least_charge_of_the_cutter_is_filled_up() -> None:
    # 3.60 and 7.20 and 14.40 of a least of 10
    rates = Rates("EUR", cut_per_metre={"plate": 1.2}, cut_minimum=10)
    found = cost_of([MOUNT], rates)
    assert amounts(found, "cutting, up to the least charge") == ["6.40", "2.80", "0.00", "0.00"]
    assert amounts(found, "cost of all") == ["10.00", "10.00", "14.40", "36.00"]


def test_bending_is_set_up_once_and_has_a_least_charge() -> None:
    # 4 bends x 2 + 10 = 18, 26, 42, 90 of a least of 25
    rates = Rates("EUR", bend_each=2, bend_set_up=10, bend_minimum=25)
    found = cost_of([MOUNT, LID], rates)
    assert amounts(found, "bends") == ["8.00", "16.00", "32.00", "80.00"]
    assert amounts(found, "bending set-up") == ["10.00"] * 4
    assert amounts(found, "bending, up to the least charge") == ["7.00", "0.00", "0.00", "0.00"]
    assert amounts(found, "cost of one") == ["25.00", "13.00", "10.50", "9.00"]


def test_a_flat_part_has_no_bending_and_lacks_none() -> None:
    found = cost_of([LID], Rates("EUR", bend_each=2, bend_set_up=10, bend_minimum=25))
    assert not [name for name in names(found) if "bend" in name]
    assert not [words for words in cost_of([LID], Rates("EUR")).missing if "bend" in words]


def test_work_is_hours_by_part_and_operation() -> None:
    rates = Rates(
        "EUR", per_hour={"welding": 48, "painting": 30},
        hours={"mount": {"welding": 0.75, "painting": 0.5}, "lid": {"welding": 0.25}},
    )  # fmt: skip
    found = cost_of([MOUNT, LID], rates)
    assert amounts(found, "welding, mount") == ["36.00", "72.00", "144.00", "360.00"]
    assert amounts(found, "painting, mount") == ["15.00", "30.00", "60.00", "150.00"]
    assert amounts(found, "welding, lid")[0] == "12.00"
    assert "Not in it: painting of lid; give hours in [rates]." in found.missing


def test_margin_is_added_to_the_cost_and_tax_to_the_price() -> None:
    # 40 + 20 % = 48, + 25 % = 60
    found = cost_of([MOUNT], Rates("EUR", consumables=40, margin=0.2, tax=0.25))
    assert amounts(found, "margin")[0] == "8.00"
    assert amounts(found, "tax")[0] == "12.00"
    assert amounts(found, "price of all") == ["60.00", "120.00", "240.00", "600.00"]
    assert amounts(found, "price of one") == ["60.00"] * 4


def test_tax_without_a_margin_is_a_share_of_the_cost() -> None:
    found = cost_of([MOUNT], Rates("EUR", consumables=40, tax=0.25))
    assert amounts(found, "price of all")[0] == "50.00"
    assert found.totals[1].formula == "0.25 of the cost"


def test_amounts_are_rounded_once_at_the_end_halves_up() -> None:
    # 0.335 is shown as 0.34, and ten of it are 3.35, not 3.40
    found = cost_of([MOUNT], Rates("EUR", consumables=0.335))
    assert amounts(found, "consumables") == ["0.34", "0.67", "1.34", "3.35"]
    # 1.005 in binary is less than 1.005
    assert amounts(cost_of([MOUNT], Rates("EUR", consumables=1.005)), "consumables")[0] == "1.01"


def test_what_is_added_up_is_exact() -> None:
    rates = Rates("EUR", per_hour={"a": 0.1, "b": 0.2}, hours={"mount": {"a": 1, "b": 1}})
    assert cost_of([MOUNT], rates).totals[0].amounts[0] == Decimal("0.3")


def test_without_a_rate_its_line_is_left_out_and_named() -> None:
    found = cost_of([MOUNT], Rates("EUR", bend_each=2))
    assert names(found) == ["bends"]
    told = " ".join(found.missing)
    for keys in (
        "sheet_per_kg or sheet_each", "cut_per_metre, or cut_feed and cut_per_hour",
        "pierce_each, or pierce_seconds and cut_per_hour", "per_hour and hours", "consumables",
        "give margin", "give tax",
    ):  # fmt: skip
        assert keys in told, keys


def test_what_is_missing_of_several_stocks_is_told_at_once() -> None:
    found = cost_of([MOUNT, LID], Rates("EUR", bend_each=2, cut_per_metre={"thin": 1}))
    assert found.missing[:3] == (
        "Not in it: sheet of plate, thin; give sheet_per_kg or sheet_each in [rates].",
        "Not in it: cutting of plate; give cut_per_metre, or cut_feed and cut_per_hour in [rates].",
        "Not in it: pierces of plate, thin; give pierce_each, or pierce_seconds and cut_per_hour "
        "in [rates].",
    )


def test_rolls_are_told_apart_from_bends() -> None:
    rolled = replace(MOUNT, bends=0, rolls=1, quantity=1)
    found = cost_of([rolled], Rates("EUR", bend_each=2))
    assert "Not in it: 1 roll; count rolling as hours of work." in found.missing
    assert names(found) == []


def test_every_line_says_how_it_comes_about_and_from_whose_rates() -> None:
    table = cost_of([MOUNT], Rates("EUR", bend_each=2, bend_set_up=10)).table()
    assert table.title == "Cost, in EUR"
    assert table.columns == ("1 off", "2 off", "4 off", "10 off")
    assert table.source == "your rates"
    assert table.notes[:2] == ("4 bends × 2", "1 piece × 10 once")


# From parts


def angle() -> Blank:
    """100 by 50, 2 mm, one hole of 20 and one bend; its box is the plate itself."""
    outline = polygon([(0, 0), (100, 0), (100, 50), (0, 50)])
    bend = Bend("lip", (40, 50), (40, 0), 90, 3, 6)
    return Blank(2.0, outline, (Cutout("eye", circle((20, 25), 20)),), (bend,), (5, 5))


def test_a_piece_is_paid_for_by_its_box_its_edges_and_its_bends() -> None:
    (row,) = cost_pieces(part_of(angle(), "tab"))
    # steel of 7850 kg/m3: 0.1 x 0.05 x 0.002 x 7850
    assert row.box_kg == pytest.approx(0.0785)
    assert row.cut_length == pytest.approx(300 + 20 * pi)
    assert (row.pierces, row.bends, row.rolls, row.quantity) == (2, 1, 0, 1)
    assert (row.part, row.stock) == ("tab", "tub")


@pytest.mark.parametrize(
    ("whole", "sheets"),
    [
        # each takes 100 + 5 of the 1000 along, one row of them; the first begins at 10, and the
        # strip that is left begins 5 past the last: 1 is 0.115 of a sheet, 2 are 0.22, 4 are 0.43;
        # 9 fit a row of 980, so 10 take a second sheet of which 0.115 is used
        (False, ["11.50", "22.00", "43.00", "111.50"]),
        (True, ["100.00", "100.00", "100.00", "200.00"]),
    ],
)
def test_sheets_are_counted_by_a_nest_for_each_number_off(whole: bool, sheets: list[str]) -> None:
    plate = Blank(2.0, polygon([(0, 0), (100, 0), (100, 60), (0, 60)]), (), (), (5, 5))
    part = part_of(plate, "plate")
    given = Given(gap=5.0, margin=10.0, shop_sheets=((1000.0, 80.0),))
    found = cost_of_parts([part], Rates("EUR", sheet_each={"tub": 100}, whole_sheets=whole), given)
    assert found is not None
    assert amounts(found, "sheet, tub") == sheets


def test_a_part_that_fits_no_sheet_says_so_in_its_cost() -> None:
    given = Given(shop_sheets=((90.0, 80.0),))
    rates = Rates("EUR", sheet_each={"tub": 100})
    found = cost_of_parts([part_of(angle(), "tab")], rates, given)
    assert found is not None
    assert "Not in it: sheet of tub, for some of its pieces fit no sheet." in found.missing


def test_without_rates_there_is_no_cost() -> None:
    assert cost_of_parts([part_of(angle(), "tab")], None, Given()) is None


# In a job file


JOB = """
[job]
name = "trial"

[stock.plate]
material = "S235"
thickness = 4
"""


def problems(text: str, folder: Path) -> list[str]:
    path = folder / "job.toml"
    path.write_text(JOB + text, encoding="utf-8")
    try:
        read_job(path)
    except JobError as error:
        return [str(one) for one in error.problems]
    return []


def test_rates_and_nesting_are_read_from_the_job_file(tmp_path: Path) -> None:
    text = """
[shop]
sheets = [[2000, 1000]]
least_gap = 4

[nesting]
gap = "1/2in"
true_shape = true

[rates]
currency = "EUR"
sheet_per_kg = { plate = 2.5 }
sheets = "whole"
per_hour = { welding = 40 }
margin = 0.15
"""
    assert problems(text, tmp_path) == []
    job = read_job(tmp_path / "job.toml")
    assert job.rates is not None
    rates = job.rates.as_rates()
    assert (rates.currency, rates.sheet_per_kg, rates.whole_sheets) == ("EUR", {"plate": 2.5}, True)
    given = job.nesting.as_given(job.shop, ())
    assert given == Given(
        gap=12.7, true_shape=True, shop_sheets=((2000.0, 1000.0),), least_gap=4.0
    )


def test_no_rates_in_the_job_file_are_no_rates(tmp_path: Path) -> None:
    assert problems("", tmp_path) == []
    assert read_job(tmp_path / "job.toml").rates is None


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ('sheet_per_kg = { plat = 2 }\ncurrency = "EUR"', "there is no stock 'plat'"),
        ('per_hour = { welding = 4 }\nhours = { mount = { welding = 1 } }\ncurrency = "EUR"',
         "there is no part 'mount'"),
        ("margin = 0.2", "currency"),
        ('margin = -0.2\ncurrency = "EUR"', "must be at least 0"),
        ('currency = "EUR"\nsheet_yield = 1.2', "must be at most 1"),
        ('currency = "EUR"\nmargn = 0.2', "did you mean 'margin'"),
        ('currency = "my own coin"', "is not of the right form"),
        ('currency = "EUR"\nbend_each = inf', "finite"),
        ('currency = "EUR"\ncut_feed = { plate = 0 }', "must be more than 0"),
    ],
)  # fmt: skip
def test_rates_that_make_no_sense_are_refused(tmp_path: Path, lines: str, words: str) -> None:
    found = problems(f"\n[rates]\n{lines}\n", tmp_path)
    assert len(found) == 1
    assert words in found[0]


def test_hours_of_work_without_a_price_are_refused(tmp_path: Path) -> None:
    text = """
[rates]
currency = "EUR"
per_hour = { welding = 40 }
hours = { mount = { weldin = 1 } }

[parts.mount]
kind = "link_tab"
"""
    (found,) = [one for one in problems(text, tmp_path) if "rates" in one]
    assert "has no price of an hour" in found
    assert "did you mean 'welding'?" in found
