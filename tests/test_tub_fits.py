"""A tub's blanks against the sheet on the rack and the rolls: by how much, and what cures it."""

from __future__ import annotations

import re

import tubs
from tub_job import laid
from tubs import SIDE

from parts.report import Finding
from parts.sheet.shop import Shop


def missed_sheet(*changes: tuple[str, str]) -> list[Finding]:
    part = laid(*changes)
    return [f for f in part.findings if "sheet" in f.source]


def test_a_band_that_just_misses_its_sheet_is_told_once_with_what_makes_it_fit() -> None:
    whole = laid()
    long = next(f.value for f in whole.figures if f.name == "right: band: length of the blank")
    sheet = ("sheet = [2500, 1250]", f"sheet = [{long - 0.8!r}, 1000]")
    (found,) = missed_sheet(sheet)
    assert found.refuses
    assert found.where == "right band: blank"
    assert "0.8 mm too long for the sheet" in found.found
    for cure in ("radius 0.3 mm less", "end flanges 0.4 mm shorter", "seam = 0.5"):
        assert cure in found.remedy
    for cure in (
        ("band_radius = 395", "band_radius = 394.7"), ("disc_face", "end_flange = 19.6\ndisc_face"),
        ("disc_face", "seam = 0.5\ndisc_face"),
    ):  # fmt: skip
        assert missed_sheet(sheet, cure) == [], cure


def test_a_seam_that_leaves_a_part_too_long_is_answered_with_one_that_does_not() -> None:
    seam = ("disc_face", "seam = 0.3\ndisc_face")
    sheet = ("sheet = [2500, 1250]", "sheet = [860, 800]")
    found = missed_sheet(seam, sheet)
    (band,) = [f for f in found if f.where.startswith("right band")]
    assert band.where == "right band_rear: blank"
    (shares,) = re.findall(r"`seam` from ([\d.]+) to ([\d.]+)", band.remedy)
    for share in shares:
        other = missed_sheet(("disc_face", f"seam = {share}\ndisc_face"), sheet)
        assert not any(f.where.startswith("right band") for f in other), share


def test_a_band_too_wide_for_its_sheet_is_told_what_the_disc_would_do() -> None:
    # 960 less the gap of 6, the skin's 1.2, and the disc's 560: 392.8 wide
    (found,) = missed_sheet(("sheet = [2500, 1250]", "sheet = [2500, 392.5]"))[:1]
    assert found.where == "right band: blank"
    assert "0.3 mm too wide" in found.found
    assert "disc 0.3 mm further outboard" in found.remedy


def test_a_band_wider_than_the_rolls_are_long_is_refused() -> None:
    part = tubs.made(SIDE, on=tubs.bench(shop=Shop(roller_length=360)))
    (found,) = [f for f in part.findings if "roll" in f.found]
    wide = 944 - 6 - tubs.T - 568
    assert found.refuses
    assert f"{wide:.1f} mm wide" in found.found
    assert "move the disc 8.8 mm outboard" in found.remedy
    assert not tubs.made(SIDE, on=tubs.bench(shop=Shop(roller_length=380))).refused


def test_a_skin_that_misses_its_sheet_is_told_how_much_margin_to_leave_out() -> None:
    sheet = ("sheet = [2500, 1250]", "sheet = [1300, 450]")
    (found,) = missed_sheet(sheet)
    assert found.where == "right skin: blank"
    (by,) = re.findall(r"`skin_margin` ([\d.]+) mm less", found.remedy)
    assert missed_sheet(sheet, ("disc_face", f"skin_margin = {40 - float(by)}\ndisc_face")) == []
