"""Shop drawings, read back from the drawing commands of the PDF, and held clear of themselves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from math import cos, radians, sin
from pathlib import Path

import numpy as np
import pytest
from blanks import rounded
from hand_parts import named, part_of
from pypdf import PdfReader
from shapely import LineString, Polygon, STRtree

from parts import load
from parts.paper import pdf
from parts.paper.dimensions import spread
from parts.paper.page import Page, Stroke, Words
from parts.paper.setting import PAPERS, Setting
from parts.part import Part, Piece
from parts.place import HERE, Place
from parts.proof.pdf import Sheet, read_pdf
from parts.sheet.allowance import Sourced
from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.curve import Arc
from parts.sheet.loop import circle, polygon
from parts.writers import drawing
from parts.writers.drawing import folded
from parts.writers.drawing.edges import datum

DEMO = Path(__file__).parents[1] / "configs" / "tin_wren.toml"
FRAME = 10.0  # mm from the edge of the paper


def drawn(part: Part, folder: Path, **setting: object) -> list[Sheet]:
    """The sheets of the only piece's drawing, as another library reads them."""
    part = replace(part, paper=Setting(**setting))  # type: ignore[arg-type]
    (path,) = drawing.write(part, folder)
    return read_pdf(path)


def sizes(sheet: Sheet) -> list[tuple[float, float]]:
    """Width and height of every stroke on a sheet, mm of paper."""
    return [tuple(np.ptp(one.on_page, axis=0)) for one in sheet.drawn]


def has(sheet: Sheet, wide: float, high: float, within: float = 0.01) -> int:
    return sum(abs(w - wide) < within and abs(h - high) < within for w, h in sizes(sheet))


def text(sheets: list[Sheet]) -> str:
    return "\n".join(sheet.text for sheet in sheets)


def pages(part: Part, size: str = "A4") -> list[Page]:
    return drawing.sheets(part, part.pieces[0], size)


def words(sheets: list[Page]) -> list[str]:
    return [mark.text for page in sheets for mark in page.marks if isinstance(mark, Words)]


def at(sheets: list[Page], said: str) -> tuple[float, float]:
    """Where words stand that are on the drawing once."""
    (found,) = (m.at for p in sheets for m in p.marks if isinstance(m, Words) and m.text == said)
    return found


# --- to scale ---------------------------------------------------------------------------------


def test_a_bracket_is_drawn_to_the_scale_it_names(tmp_path: Path) -> None:
    sheets = drawn(named("l_bracket"), tmp_path)
    # by hand: 60 wide; 40, a quarter turn of 3 + 0.42 x 2 (6.0319), and 50 long
    assert "Blank 1:1, drawn face up" in text(sheets)
    assert has(sheets[0], 60.0, 96.0319) == 1
    assert has(sheets[0], 6.5, 6.5) == 3 and has(sheets[0], 9.0, 9.0) == 1  # its holes


def test_a_large_blank_is_drawn_at_a_standard_scale(tmp_path: Path) -> None:
    outline = polygon([(0, 0), (1220, 0), (1220, 368), (0, 368)])
    (sheet,) = drawn(part_of(Blank(1.2, outline, (), (), (5, 5))), tmp_path)
    assert "Blank 1:5" in sheet.text
    assert has(sheet, 244.0, 73.6) == 1


def test_a_small_blank_is_drawn_twice_its_size(tmp_path: Path) -> None:
    outline = polygon([(0, 0), (50, 0), (50, 30), (0, 30)])
    (sheet,) = drawn(part_of(Blank(1.2, outline, (), (), (5, 5))), tmp_path)
    assert "Blank 2:1" in sheet.text
    assert has(sheet, 100.0, 60.0) == 1


@pytest.mark.parametrize("paper", ["A4", "A3", "Letter"])
def test_the_sheet_has_the_size_of_the_shops_paper(paper: str, tmp_path: Path) -> None:
    for sheet in drawn(named("l_bracket"), tmp_path, paper=paper):
        assert sorted(sheet.size) == pytest.approx(sorted(PAPERS[paper]), abs=0.01)


def test_a_shop_that_prints_on_a_roll_gets_a4(tmp_path: Path) -> None:
    for sheet in drawn(named("l_bracket"), tmp_path, paper="roll"):
        assert sorted(sheet.size) == pytest.approx(sorted(PAPERS["A4"]), abs=0.01)


def test_the_same_part_gives_the_same_bytes(tmp_path: Path) -> None:
    first = [path.read_bytes() for path in drawing.write(named("box"), tmp_path)]
    assert first == [path.read_bytes() for path in drawing.write(named("box"), tmp_path)]


# --- what it says -----------------------------------------------------------------------------


def test_the_words_can_be_selected(tmp_path: Path) -> None:
    (path,) = drawing.write(named("l_bracket"), tmp_path)
    said = "\n".join(page.extract_text() for page in PdfReader(path).pages)
    for wanted in ("trial", "left", "mild steel", "2 mm", "1 off", "2025-05-17", "sheet",
                   "ISO 2768-1 class m", "ISO 9013 class 1", "this face: the tyre",
                   "B1 ↑ up 90°", "test strip", "from the front", "from the left", "pictorial",
                   "trial-l_bracket-l_bracket-left-mild_steel-2mm-1off"):  # fmt: skip
        assert wanted in said


def test_readings_are_those_of_a_tape_on_the_left_and_lower_edges() -> None:
    said = words(pages(named("l_bracket")))
    # by hand: holes 12, 46, 15 and 45 from the left; 12, 14 and 82.0 from below; the bend's middle
    # 40 + 6.0319 / 2 from below; the whole 60 x 96.0
    for wanted in ("12", "46", "15", "45", "14", "82", "43", "60", "96"):
        assert wanted in said
    assert "x from the left edge, y from the lower edge" in said


def test_the_bend_table_tells_where_to_start_and_where_the_gauge_stands() -> None:
    said = words(pages(named("l_bracket")))
    # by hand: lower edge 40 from the start; middle 40 + 3.016; leg 40 + 3 + 2; deduction
    # 2 x 5 - 6.0319
    for wanted in ("lower edge", "40", "43", "45", "3.97", "6.03", "↑ up", "90°"):
        assert wanted in said


def test_a_bend_past_another_is_gauged_before_that_one() -> None:
    width, low = 60.0, 30.0
    bends = (
        Bend("first", (0, low), (width, low), 90, 2, 4.0),
        Bend("second", (0, low + 24), (width, low + 24), -90, 2, 4.0),
        Bend("third", (0, low + 48), (width, low + 48), 90, 2, 4.0),
    )
    outline = polygon([(0, 0), (width, 0), (width, 110), (0, 110)])
    said = words(pages(part_of(Blank(1.5, outline, (), bends, (5, 5)))))
    # by hand: the middle of the second lies 56 from below, past the first, and 110 - 56 = 54 from
    # above, past the third; the others 30 + 2 and 110 - 80 from their edges
    assert "54*" in said and "56*" not in said
    assert "32" in said and "30" in said
    assert any("another bend lies between" in one for one in said)


def test_a_bend_is_told_how_far_to_go_before_it_springs_back() -> None:
    part = named("l_bracket")
    piece = part.pieces[0]
    over = replace(piece.allowances[0], over=Sourced(1.5, "bend book row 1"))
    sprung = replace(part, pieces=(replace(piece, allowances=(over,)),))
    assert "90°, over to 91.5°" in words(pages(sprung))


def test_a_bend_that_no_edge_runs_along_is_told_by_the_corners_of_the_edges_it_leaves_by() -> None:
    outline = polygon([(0, 0), (120, 0), (120, 90), (0, 90)])
    slant = Bend("slant", (0, 30), (120, 60), 90, 3, 6.0)
    said = words(pages(part_of(Blank(2.0, outline, (), (slant,), (60, 10)))))
    # by hand: its middle runs 3 beside the line from (0, 30) to (120, 60), so that much times
    # sqrt(1 + 0.25^2) = 1.0308 higher: at 33.09 on the left and 90 - 63.09 = 26.91 on the right
    assert "corners" in said and "33.1, 26.9" in said
    note = " ".join(said)
    assert "on the left edge, 33.1 from its lower corner" in note
    assert "on the right edge, 26.9 from its upper corner" in note


def test_a_flat_piece_is_shown_pictorial_where_there_is_room() -> None:
    outline = polygon([(0, 0), (120, 0), (120, 60), (0, 90)])
    sheets = pages(part_of(Blank(5.0, outline, (), (), (5, 5))))
    assert len(sheets) == 1 and "pictorial, not to scale" in words(sheets)
    assert list(faults(sheets[0])) == []


def test_a_rolled_piece_tells_where_the_roll_starts_and_ends() -> None:
    length = radians(90) * 300.5
    outline = polygon([(0, 0), (length + 50, 0), (length + 50, 80), (0, 80)])
    roll = Bend("roll", (30, 80), (30, 0), 90, 300, length)
    said = words(pages(part_of(Blank(1.0, outline, (), (roll,), (5, 5)))))
    # by hand: 30, and 30 + 472.02
    assert "30" in said and "502" in said
    assert "B1 ↑ up 90° rolled R300" in said


def test_a_tape_hooks_on_the_outermost_straight_edge() -> None:
    slanted = polygon([(3, 0), (90, 5), (90, 40), (0, 40)])
    found = datum(slanted, 0)
    assert (found.at, found.sense, found.hooked) == (90, -1, True)
    assert found.reading(30) == 60
    assert datum(slanted, 1).at == 40  # the lower side is not level
    disc = tuple(curve.reversed() for curve in circle((0, 0), 100))
    assert not datum(disc, 0).hooked and datum(disc, 0).at == pytest.approx(-50)


def test_round_corners_are_read_at_their_corner_and_share_a_radius() -> None:
    outline = polygon([(0, 0), (100, 0), (100, 60), (0, 60)])
    for corner in (0, 2):
        outline = rounded(outline, corner, 8)
    said = words(pages(part_of(Blank(2.0, outline, (), (), (50, 30)))))
    assert "2× R8" in said
    assert "8" not in said and "92" not in said


def test_every_corner_of_a_comb_is_told_though_they_find_no_room_as_readings() -> None:
    teeth = [p for k in range(40) for p in ((7 * k, 0), (7 * k + 3, 0), (7 * k + 5, 5 + 0.2 * k))]
    comb = Blank(2.0, polygon([*teeth, (290, 81), (0, 79)]), (), (), (150, 60))
    said = words(pages(part_of(comb)))
    for x, y in teeth[:-1]:
        assert f"{x:g}" in said and f"{y:g}" in said
    assert "P1" in said and "P100" in said


def test_more_openings_than_a_sheet_holds_go_on_to_the_next() -> None:
    outline = polygon([(0, 0), (300, 0), (300, 200), (0, 200)])
    holes = tuple(
        Cutout(f"h{k}", circle((15 + 20 * (k % 14), 20 + 22 * (k // 14)), 5)) for k in range(112)
    )
    sheets = pages(part_of(Blank(2.0, outline, holes, (), (2, 2))))
    said = words(sheets)
    assert len(sheets) > 1
    assert all(said.count(f"h{k}") == 1 for k in range(112))


def test_long_names_do_not_burst_the_sheet() -> None:
    blank, long = named("box").pieces[0].blank, "a name that somebody found needful " * 4
    renamed = replace(
        blank,
        cutouts=tuple(replace(one, name=long + one.name) for one in blank.cutouts),
        bends=tuple(replace(one, name=long + one.name) for one in blank.bends),
    )
    for page in pages(replace(part_of(renamed, "n" * 120), job="j" * 90)):
        assert list(faults(page)) == []


def test_sheets_are_counted() -> None:
    sheets = pages(named("box"))
    count = len(sheets)
    assert [f"{k} of {count}" in words([sheet]) for k, sheet in enumerate(sheets, 1)] == [
        True
    ] * count


# --- folded -----------------------------------------------------------------------------------


def test_the_finished_sizes_are_those_outside() -> None:
    # by hand: base 40 and flange 50, each and the inside radius 3 and the sheet 2
    assert any(one.endswith("60 × 45 × 55 outside") for one in words(pages(named("l_bracket"))))


def test_views_lie_as_first_angle_projection_has_them() -> None:
    sheets = pages(named("l_bracket"))
    front, left, above = (
        at(sheets, one) for one in ("from the front", "from the left", "from above")
    )
    assert left[0] > front[0] and left[1] == pytest.approx(front[1])
    assert above[1] < front[1] and above[0] == pytest.approx(front[0])


def test_a_hole_seen_from_the_side_is_hidden() -> None:
    left = folded.views(named("l_bracket").pieces[0]).left
    # by hand: hole a is 6.5 wide and 12 from the base's edge at y = -40; from the left, y runs
    # to the left; the base is 2 thick
    for x in (28 - 3.25, 28 + 3.25):
        assert any(_upright(run, x, 0.0, 2.0) for run in left.hidden)
        assert not any(_upright(run, x, 0.0, 2.0) for run in left.visible)
    assert any(_upright(run, 40.0, 0.0, 2.0) for run in left.visible)


def _upright(run: tuple, x: float, low: float, high: float) -> bool:  # type: ignore[type-arg]
    ends = [p for curve in run for p in (curve.start, curve.end)]
    heights = [y for _, y in ends]
    return all(abs(p[0] - x) < 1e-6 for p in ends) and (
        abs(min(heights) - low) < 1e-6 and abs(max(heights) - high) < 1e-6
    )


def test_no_line_of_a_view_is_drawn_twice() -> None:
    outline = polygon([(0, 0), (60, 0), (60, 40), (0, 40)])
    hole = Cutout("a", circle((20, 20), 10))
    above = folded.views(part_of(Blank(2.0, outline, (hole,), (), (5, 5))).pieces[0]).above
    # by hand: the edge 200 and the hole 31.416; the same below them is covered
    assert sum(c.length for run in above.visible for c in run) == pytest.approx(231.416, abs=1e-3)
    assert not above.hidden


def test_circles_of_a_view_stay_circles() -> None:
    above = folded.views(named("l_bracket").pieces[0]).above
    arcs = [curve for run in above.visible for curve in run if isinstance(curve, Arc)]
    assert {round(arc.radius, 6) for arc in arcs} >= {3.25, 8.0}


# --- where it sits ----------------------------------------------------------------------------


@pytest.mark.parametrize(("y", "above"), [(700.0, True), (-700.0, False)])
def test_the_plan_shows_the_piece_on_its_side_of_the_vehicle(y: float, above: bool) -> None:
    part = named("l_bracket")
    placed = replace(part.pieces[0], place=Place(HERE.turn, np.array([-500.0, y, 0.0])))
    sheets = pages(replace(part, pieces=(placed,)))
    axis = at(sheets, "X rear")[1]
    (mark,) = (m for p in sheets for m in p.marks
               if isinstance(m, Stroke) and m.fill == 0.0 and m.pen is not None)  # fmt: skip
    heights = [curve.start[1] for curve in mark.curves]
    assert (min(heights) > axis + 2) if above else (max(heights) < axis)
    rear = at(sheets, "Y right")[0]  # on the rear axle
    assert max(curve.start[0] for curve in mark.curves) < rear


# --- nothing on anything ----------------------------------------------------------------------


def box_of(mark: Words) -> Polygon:
    """The box round a line of words: tails 0.3 below the line, letters 1.05 above it."""
    long = pdf.width(mark.text, mark.height, mark.bold)
    left = {"left": 0.0, "middle": -long / 2, "right": -long}[mark.anchor]
    c, s = cos(radians(mark.angle_deg)), sin(radians(mark.angle_deg))
    low, high = -0.3 * mark.height, 1.05 * mark.height
    return Polygon(
        [
            (mark.at[0] + x * c - y * s, mark.at[1] + x * s + y * c)
            for x, y in ((left, low), (left + long, low), (left + long, high), (left, high))
        ]
    )


def line_of(stroke: Stroke) -> LineString:
    points = [
        curve.at(k / n)
        for curve in stroke.curves
        for n in [max(8, int(curve.length / 0.5)) if isinstance(curve, Arc) else 1]
        for k in range(n)
    ]
    points.append(stroke.curves[0].start if stroke.closed else stroke.curves[-1].end)
    return LineString(points)


def faults(page: Page) -> Iterator[str]:
    """Words on words, strokes on words, anything past the frame, letters too small to read."""
    said = [mark for mark in page.marks if isinstance(mark, Words) and mark.text]
    boxes = [box_of(mark) for mark in said]
    strokes = [line_of(mark) for mark in page.marks if isinstance(mark, Stroke)]
    near = STRtree(boxes)
    for k, box in enumerate(boxes):
        for j in near.query(box):
            if j > k and box.intersection(boxes[j]).area > 1e-6:
                yield f"{said[k].text!r} on {said[j].text!r}"
    for stroke in strokes:
        for j in near.query(stroke):
            if stroke.intersection(boxes[j]).length > 1e-6:
                yield f"a stroke at {stroke.coords[0]} on {said[j].text!r}"
    for shape in (*boxes, *strokes):
        x0, y0, x1, y1 = shape.bounds
        if min(x0, y0, page.width - x1, page.height - y1) < FRAME - 1e-6:
            yield f"past the frame at {shape.bounds}"
    for mark in said:
        if mark.height < 2.5 - 1e-9:
            yield f"{mark.text!r} is {mark.height} high"


def test_the_check_itself_sees_words_on_words_and_strokes_on_words() -> None:
    page = Page(100, 100)
    page.words("one", (30, 30))
    page.words("two", (31, 31))
    page.line((20, 50), (80, 50))
    page.words("three", (30, 49))
    page.words("four", (5, 70), 2.0)
    assert len(list(faults(page))) == 4


@cache
def demo() -> list[tuple[Part, Piece]]:
    return [(part, piece) for part in load(DEMO).parts() for piece in part.pieces
            if piece.hand != "left"]  # fmt: skip


@pytest.mark.parametrize("paper", ["A3", "Letter"])
def test_nothing_lies_on_anything_on_any_part_of_the_demo(paper: str) -> None:
    for part, piece in demo():
        for number, page in enumerate(drawing.sheets(part, piece, paper), 1):
            assert list(faults(page)) == [], (part.name, piece.name, number)


@pytest.mark.parametrize("name", ["l_bracket", "z_with_gusset", "box", "skew"])
def test_nothing_lies_on_anything_on_ugly_blanks(name: str) -> None:
    for page in pages(named(name)):
        assert list(faults(page)) == []


def test_a_blank_of_twelve_holes_and_five_bends_has_all_numbers_in_place(tmp_path: Path) -> None:
    said = words(pages(named("box")))
    assert all(str(number) in said for number in range(1, 13))
    assert all(any(one.startswith(f"B{k} ↑ up") for one in said) for k in range(1, 6))


def test_values_move_apart_no_more_than_they_must() -> None:
    # by hand: three at one place stand a pitch apart about it
    assert spread([50.0, 50.0, 50.0], 4, 0, 100) == [46, 50, 54]
    assert spread([0.0, 10.0, 99.0], 4, 0, 100) == [0, 10, 99]
    assert spread([99.0, 99.0], 4, 0, 100) == [96, 100]
