"""The cut list, read back by the csv module and held against figures done by hand."""

import csv
from dataclasses import replace
from io import StringIO
from math import pi
from pathlib import Path

import pytest
from blanks import allowance, bend
from hand_parts import named, part_of

from parts.part import Part
from parts.sheet.blank import Blank, Cutout
from parts.sheet.loop import circle, polygon, slot
from parts.writers import cut_list

# l_bracket by hand: 2 mm sheet, base 60 x 40 with a corner of radius 8, a quarter bend of R 3 at
# k 0.42, flange 60 x 50; three holes of 6.5 and one of 9
LONG = 40 + pi / 2 * (3 + 0.42 * 2) + 50
AREA = 60 * LONG - (1 - pi / 4) * 8**2 - pi / 4 * (3 * 6.5**2 + 9**2)
VOLUME = (
    2 * (60 * 40 - (1 - pi / 4) * 8**2 + 60 * 50 - pi / 4 * (3 * 6.5**2 + 9**2))
    + pi / 4 * (5**2 - 3**2) * 60
)
CUT = 2 * (60 + LONG) - 2 * 8 + pi / 2 * 8 + pi * (3 * 6.5 + 9)


def rows(part: Part, folder: Path) -> list[dict[str, str]]:
    (path,) = cut_list.write(part, folder)
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream, strict=True))


def strip(*cutouts: Cutout, radius: float = 3.0, t: float = 2.0) -> Blank:
    """A strip 100 wide with one quarter bend 200 from its start."""
    across = 400 + allowance(90, radius, t)
    outline = polygon([(0, 0), (100, 0), (100, across), (0, across)])
    fold = bend("fold", (0, 200), (100, 200), 90, radius, t)
    return Blank(t, outline, cutouts, (fold,), (50, 20))


def test_a_bracket_is_listed_with_the_figures_done_by_hand(tmp_path: Path) -> None:
    (row,) = rows(named("l_bracket"), tmp_path)
    assert (row["part"], row["piece"], row["hand"]) == ("l_bracket", "l_bracket", "left")
    assert (row["quantity"], row["thickness_mm"]) == ("1", "2")
    assert float(row["blank_x_mm"]) == 60.0
    assert float(row["blank_y_mm"]) == pytest.approx(LONG, abs=0.05)
    assert float(row["area_mm2"]) == pytest.approx(AREA, abs=0.5)
    assert float(row["mass_kg_each"]) == pytest.approx(VOLUME * 7850e-9, abs=5e-4)
    assert float(row["cut_length_mm"]) == pytest.approx(CUT, abs=0.5)
    assert row["pierces"] == "5"  # the outline and four holes
    assert (row["bends"], row["rolls"]) == ("1", "0")
    assert row["holes_by_size"] == "3 x hole 6.5, 1 x hole 9"


def test_slots_and_other_openings_are_counted_by_their_size(tmp_path: Path) -> None:
    blank = strip(
        Cutout("b", slot((50, 40), 30, 10, 0)),
        Cutout("a", slot((50, 80), 30, 10, 90)),
        Cutout("c", polygon([(20, 120), (20, 150), (60, 150), (60, 120)])),
        Cutout("d", circle((80, 20), 8)),
    )
    (row,) = rows(part_of(blank), tmp_path)
    assert row["holes_by_size"] == "1 x hole 8, 2 x slot 10 x 30, 1 x opening 40 x 30"


def test_a_roll_is_told_from_a_fold(tmp_path: Path) -> None:
    (row,) = rows(part_of(strip(radius=100.0, t=1.2)), tmp_path)
    assert (row["bends"], row["rolls"]) == ("0", "1")


def test_each_piece_and_hand_has_a_row_and_its_own_files(tmp_path: Path) -> None:
    part = named("l_bracket")
    other = replace(part.pieces[0], hand="right", quantity=3)
    found = rows(replace(part, pieces=(part.pieces[0], other)), tmp_path)
    assert [(row["hand"], row["quantity"]) for row in found] == [("left", "1"), ("right", "3")]
    assert [row["cut_file"] for row in found] == [
        "trial-l_bracket-l_bracket-left-mild_steel-2mm-1off.dxf",
        "trial-l_bracket-l_bracket-right-mild_steel-2mm-3off.dxf",
    ]
    assert [row["solid_file"] for row in found] == [
        row["cut_file"].replace(".dxf", ".step") for row in found
    ]


def test_names_with_commas_quotes_and_line_ends_come_back_as_they_were(tmp_path: Path) -> None:
    part = named("l_bracket")
    name = 'strut "lid", upper\nspare'
    piece = replace(part.pieces[0], name=name)
    (row,) = rows(replace(part, pieces=(piece,)), tmp_path)
    assert row["piece"] == name


def test_lines_end_and_fields_are_quoted_as_rfc_4180_asks(tmp_path: Path) -> None:
    part = named("l_bracket")
    part = replace(part, pieces=(replace(part.pieces[0], name='a "b", c'),))
    (path,) = cut_list.write(part, tmp_path)
    data = path.read_bytes()
    assert path.name == "trial-l_bracket-cut_list.csv"
    assert data.count(b"\r\n") == 2 and data.count(b"\n") == 2 and data.endswith(b"\r\n")
    assert b',"a ""b"", c",' in data
    head, row = csv.reader(StringIO(data.decode("utf-8"), newline=""), strict=True)
    assert len(head) == len(row) == len(set(head))


def test_the_same_part_gives_the_same_bytes() -> None:
    assert cut_list.text(named("z_with_gusset")) == cut_list.text(named("z_with_gusset"))
