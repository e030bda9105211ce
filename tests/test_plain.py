"""Names of files, and what `figures.json` says of dies and tables."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from hand_parts import named, part_of, written

from parts.report import Table
from parts.sheet.blank import Bend, Blank
from parts.sheet.loop import polygon

PLATE = polygon([(0, 0), (90, 0), (90, 40), (0, 40)])


@pytest.mark.parametrize(
    ("inches", "word"),
    # US Standard Gauge, stainless: 640ths of an inch by ounces; 10, 11 and 14 gauge
    [(0.140625, "3.572mm"), (0.125, "3.175mm"), (0.078125, "1.984mm")],
)
def test_a_gauge_shows_no_more_than_three_decimals_in_a_file_name(inches: float, word: str) -> None:
    part = part_of(Blank(inches * 25.4, PLATE, (), (), (5, 5)))
    assert word in part.stem(part.pieces[0]).split("-")


def piece_of(part: object, folder: Path) -> dict[str, object]:
    (path,) = written(part, folder, ["figures"])  # type: ignore[arg-type]
    (piece,) = json.loads(path.read_text(encoding="utf-8"))["pieces"]
    return dict(piece)


def test_the_die_that_is_used_is_told_with_where_it_comes_from(tmp_path: Path) -> None:
    part = named("l_bracket")
    # common practice: 6t to 2.5 mm; 2 mm takes V 12
    piece = piece_of(part, tmp_path)
    assert (piece["die_v_mm"], piece["die_source"]) == (12, "suits 2 mm sheet")
    own = replace(part, pieces=(replace(part.pieces[0], die_v=16),))
    piece = piece_of(own, tmp_path)
    assert (piece["die_v_mm"], piece["die_source"]) == (16, "stock tub")


def test_what_no_die_bends_names_none(tmp_path: Path) -> None:
    rolled = Bend("roll", (20, 40), (20, 0), 20, 100, 35.3)
    for bends in ((), (rolled,)):
        part = part_of(Blank(2, PLATE, (), bends, (5, 5)))
        assert piece_of(part, tmp_path)["die_v_mm"] is None


def test_a_table_is_written_with_its_units_changes_and_notes(tmp_path: Path) -> None:
    table = Table(
        "gaps", "mm", ("disc", "least"), (("wider", (5.0, 7.9)), ("none", (None, 2.9))),
        signed=("disc",), noted="to", notes=("band", "disc"),
    )  # fmt: skip
    part = replace(named("l_bracket"), tables=(table,), summary=("the disc limits",))
    (path,) = written(part, tmp_path, ["figures"])
    said = json.loads(path.read_text(encoding="utf-8"))
    assert said["summary"] == ["the disc limits"]
    (row,) = said["tables"]
    assert row["units"] == ["mm", "mm"]
    assert row["changes"] == ["disc"]
    assert row["rows"][1] == {"name": "none", "values": [None, 2.9], "note": "disc"}
