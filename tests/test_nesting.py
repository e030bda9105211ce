"""Blanks on sheets: gaps, margins, counts and grain by polygons; the paper and its proof."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import combinations
from math import ceil, cos, pi, radians, sin, sqrt
from pathlib import Path

import pytest
import shapely
from hand_parts import part_of
from paper_read import outside, read_pages, touching
from shapely import Polygon, affinity

from parts.buying import nests_of
from parts.nesting import true_shape
from parts.nesting.check import faults
from parts.nesting.given import Given
from parts.nesting.lay import nest_of
from parts.nesting.model import Nest, Placed, Rules, Sheet, Wanted
from parts.nesting.rules import rules_for
from parts.nesting.true_shape import outward, relaid
from parts.paper.setting import Setting
from parts.part import Part
from parts.proof.ledger import Ledger
from parts.proof.nests import check_nesting
from parts.sheet.blank import Bend, Blank, Cutout
from parts.sheet.loop import Loop, circle, polygon, reversed_loop
from parts.sheet.press import Sourced
from parts.sheet.stock import Stock, material
from parts.whole import WholeJob
from parts.writers.whole import nesting

NEAR = 0.005  # mm: whole micrometres of the packer, and the chords of the discs here
ROOT = Path(__file__).parents[1]


@dataclass(frozen=True, eq=False)
class Shape:
    """A blank twice: as the project draws it, and as a polygon made by itself."""

    loop: Loop
    alike: Polygon


def of_corners(*corners: tuple[float, float]) -> Shape:
    return Shape(polygon(list(corners)), Polygon(corners))


def plate(wide: float, high: float) -> Shape:
    return of_corners((0, 0), (wide, 0), (wide, high), (0, high))


def ell(wide: float, high: float, leg: float) -> Shape:
    return of_corners((0, 0), (wide, 0), (wide, leg), (leg, leg), (leg, high), (0, high))


def disc(diameter: float) -> Shape:
    loop = reversed_loop(circle((7.0, -3.0), diameter))
    return Shape(loop, shapely.Point(7.0, -3.0).buffer(diameter / 2, quad_segs=200))


def turned(shape: Shape, angle_deg: float) -> Shape:
    """A shape drawn askew."""
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    corners = [(c * x - s * y, s * x + c * y) for x, y in shape.alike.exterior.coords[:-1]]
    return of_corners(*corners)


def wanted(shape: Shape, count: int = 1, grain_deg: float | None = None, name: str = "a") -> Wanted:
    return Wanted("part", name, "", shape.loop, quantity=count, grain_deg=grain_deg)


def rules(*sizes: tuple[float, float], gap: float = 5.0, margin: float = 10.0) -> Rules:
    return Rules(Sourced(gap, "own"), Sourced(margin, "own"), sizes, "own")


def nest(blanks: list[Wanted], by: Rules) -> Nest:
    return nest_of(("plate",), "S235", 2.0, blanks, by)


def as_laid(shapes: list[Shape], sheet: Sheet) -> list[Polygon]:
    """The polygons turned about the origin and shifted, by another library."""
    return [
        affinity.translate(
            affinity.rotate(shapes[p.number].alike, p.turn_deg, origin=(0, 0)), *p.shift
        )
        for p in sheet.placed
    ]


def assert_sound(found: Nest, shapes: list[Shape]) -> None:
    """Every copy lies once, in its sheet less the margin, and as far from all others as the gap."""
    gap, margin = found.rules.gap.value, found.rules.margin.value
    over = dict(found.left_over)
    copies = Counter((p.number, p.copy) for sheet in found.sheets for p in sheet.placed)
    assert set(copies.values()) <= {1}
    laid = Counter(number for number, _ in copies)
    assert [laid[k] + over.get(k, 0) for k in range(len(found.wanted))] == [
        one.quantity for one in found.wanted
    ]
    for sheet in found.sheets:
        assert sheet.placed
        polygons = as_laid(shapes, sheet)
        for one in polygons:
            x0, y0, x1, y1 = one.bounds
            assert min(x0, y0) > margin - NEAR
            assert x1 < sheet.size[0] - margin + NEAR
            assert y1 < sheet.size[1] - margin + NEAR
        for a, b in combinations(polygons, 2):
            assert a.distance(b) > gap - NEAR


@pytest.mark.parametrize("seed", range(9))
def test_a_random_job_keeps_its_gaps_and_margins_and_loses_no_blank(seed: int) -> None:
    rng = random.Random(seed)
    makers: list[Callable[[], Shape]] = [
        lambda: plate(rng.uniform(20, 700), rng.uniform(20, 400)),
        lambda: turned(plate(rng.uniform(50, 500), rng.uniform(20, 200)), rng.uniform(0, 180)),
        lambda: ell(rng.uniform(120, 400), rng.uniform(120, 400), rng.uniform(20, 100)),
        lambda: disc(rng.uniform(30, 500)),
    ]
    shapes = [rng.choice(makers)() for _ in range(rng.randint(1, 7))]
    blanks = [
        wanted(shape, rng.randint(1, 5), rng.choice([None, None, rng.uniform(-90, 90)]))
        for shape in shapes
    ]
    sizes = ((2000.0, 1000.0), (2500.0, 1250.0))
    by = rules(*sizes, gap=rng.uniform(0, 20), margin=rng.uniform(0, 30))
    found = nest(blanks, by)
    assert_sound(found, shapes)
    metal = sum(shapes[p.number].alike.area for sheet in found.sheets for p in sheet.placed)
    assert metal <= sum(sheet.area for sheet in found.sheets)
    assert found.used_share == pytest.approx(metal / sum(s.area for s in found.sheets), rel=1e-4)


# 4 squares of 100 along and 3 across with gaps of 5 and margins of 10 take
# 4 * 100 + 3 * 5 + 20 = 435 by 3 * 100 + 2 * 5 + 20 = 330
@pytest.mark.parametrize(("count", "sheets"), [(12, 1), (13, 2), (24, 2), (25, 3)])
def test_squares_that_just_fill_a_sheet_take_no_more_of_them(count: int, sheets: int) -> None:
    found = nest([wanted(plate(100, 100), count)], rules((435.0, 330.0)))
    assert len(found.sheets) == sheets
    assert_sound(found, [plate(100, 100)])


def test_a_hair_less_than_that_takes_a_sheet_more() -> None:
    found = nest([wanted(plate(100, 100), 12)], rules((434.99, 330.0)))
    assert len(found.sheets) == 2


def test_blanks_of_more_than_half_the_sheet_each_way_take_one_each() -> None:
    found = nest([wanted(plate(600, 600), 5)], rules((1000.0, 1000.0)))
    assert [len(sheet.placed) for sheet in found.sheets] == [1] * 5


def test_the_count_is_never_under_the_area_of_the_blanks() -> None:
    sizes = [(310, 205), (400, 150), (222, 111), (90, 480)]
    found = nest([wanted(plate(*size), 9) for size in sizes], rules((1000.0, 700.0)))
    # each blank takes its box grown by the gap, of a sheet less its margins and plus a gap
    least = 9 * sum((a + 5) * (b + 5) for a, b in sizes) / ((980 + 5) * (680 + 5))
    assert ceil(least) <= len(found.sheets) <= ceil(least) + 1


def test_a_plate_drawn_askew_is_laid_along_the_sheet() -> None:
    # 480 by 30 drawn at 37 degrees: its box as drawn is over 400 by 300, and fits no sheet of 100
    shape = turned(plate(480, 30), 37)
    found = nest([wanted(shape, 2)], rules((500.0, 85.0)))
    assert len(found.sheets) == 1
    assert_sound(found, [shape])


# Grain


@pytest.mark.parametrize("grain_deg", [0.0, 90.0, 33.0, -58.0])
def test_grain_runs_along_the_sheet_however_the_blank_is_drawn(grain_deg: float) -> None:
    shapes = [ell(300, 200, 60), plate(250, 40)]
    found = nest([wanted(shapes[0], 3, grain_deg), wanted(shapes[1], 4)], rules((1500.0, 900.0)))
    assert_sound(found, shapes)
    for placed in (p for sheet in found.sheets for p in sheet.placed if p.number == 0):
        angle = radians(grain_deg + placed.turn_deg)
        assert abs(sin(angle)) < 1e-9


def test_a_strip_whose_grain_runs_across_it_is_not_turned_to_fit() -> None:
    # 900 long with the grain across: along the sheet it would fit, and may not lie so
    strip = plate(900, 100)
    assert not nest([wanted(strip)], rules((1000.0, 500.0))).left_over
    found = nest([wanted(strip, 2, grain_deg=90.0)], rules((1000.0, 500.0)))
    assert found.left_over == ((0, 2),)
    assert found.sheets == ()


# S235 of 4 mm takes an inside radius of 5 across the grain and 6 along it (EN 10025-2): a bend of
# 5 needs the grain square to its line, which runs along y here
def test_a_part_with_a_sharp_bend_keeps_its_grain() -> None:
    outline = polygon([(0, 0), (90, 0), (90, 20), (0, 20)])
    blank = Blank(4.0, outline, (), (Bend("lip", (40, 20), (40, 0), 90, 5, 10),), (5, 5))
    part = part_of(blank, "tab")
    stock = Stock("plate", material("S235"), 4.0)
    part = replace(part, pieces=(replace(part.pieces[0], stock=stock),))
    (found,) = nests_of([part], Given())
    (placed,) = found.sheets[0].placed
    assert found.wanted[0].grain_deg is not None
    assert placed.turn_deg % 180 == 0


# Sheets to choose from


def test_the_sheets_that_take_the_least_metal_are_chosen() -> None:
    by = rules((2000.0, 1000.0), (2500.0, 1250.0), (3000.0, 1500.0))
    small = nest([wanted(plate(900, 900), 2)], by)
    assert small.by_size == (((2000.0, 1000.0), 1),)
    wide = nest([wanted(plate(1100, 1100))], by)  # too wide for the first
    assert wide.by_size == (((2500.0, 1250.0), 1),)


def test_blanks_that_fit_no_one_sheet_together_go_on_sheets_of_two_sizes() -> None:
    shapes = [plate(1900, 100), plate(700, 700)]
    found = nest([wanted(one) for one in shapes], rules((2000.0, 300.0), (800.0, 800.0)))
    assert dict(found.by_size) == {(2000.0, 300.0): 1, (800.0, 800.0): 1}
    assert_sound(found, shapes)


def test_a_blank_that_fits_no_sheet_is_told_and_the_rest_is_laid() -> None:
    shapes = [plate(2100, 100), plate(100, 100)]
    found = nest([wanted(shapes[0], 3), wanted(shapes[1], 2)], rules((2000.0, 1000.0)))
    assert found.left_over == ((0, 3),)
    assert_sound(found, shapes)


def test_what_is_left_of_the_last_sheet_is_told() -> None:
    # by hand: 10 + 300 + 5 from the edge; the strip is what remains of 1000
    found = nest([wanted(plate(300, 480))], rules((1000.0, 500.0)))
    assert found.off_cut is not None
    assert found.off_cut.strip == pytest.approx(685)
    assert found.off_cut.rectangle == pytest.approx((315, 0, 1000, 500))
    assert found.sheets_less_strip == pytest.approx(0.315)


def test_the_sheet_of_the_stock_goes_before_those_of_shop_cutter_and_trade() -> None:
    own, shop, cutter = (1200.0, 800.0), (2000.0, 1000.0), (3000.0, 1500.0)
    given = Given(shop_sheets=(shop,), cutter_sheets=(cutter,))
    assert rules_for(2, (own,), given).sizes == (own,)
    assert rules_for(2, (), given).sizes == (shop,)
    assert rules_for(2, (), Given(cutter_sheets=(cutter,))).sizes == (cutter,)
    usual = rules_for(2, (), Given())
    assert (2000.0, 1000.0) in usual.sizes
    assert "may differ" in usual.sizes_source


def test_a_gap_of_ones_own_goes_before_the_usual_one() -> None:
    assert rules_for(2, (), Given(gap=3.5)).gap == Sourced(3.5, "your own value")
    assert rules_for(2, (), Given(least_gap=9.0)).gap.value == 9.0
    assert rules_for(2, (), Given(least_gap=1.0)).gap.value == 6.0
    assert rules_for(10, (), Given()).gap.value == 15.0
    assert rules_for(2, (), Given(margin=0.0)).margin.value == 0.0


def test_the_nest_is_the_same_whatever_the_run() -> None:
    code = (
        "from parts.nesting.lay import nest_of\n"
        "from parts.nesting.given import Given\n"
        "from parts.nesting.model import Wanted\n"
        "from parts.nesting.rules import rules_for\n"
        "from parts.sheet.loop import polygon\n"
        "sizes = [(300, 200), (250, 40), (180, 180), (90, 85)]\n"
        "blanks = [Wanted('a', str(k), '', polygon([(0, 0), (a, 0), (a, b), (9, b)]), quantity=5,\n"
        "                 grain_deg=None if k else 30.0) for k, (a, b) in enumerate(sizes)]\n"
        "by = rules_for(2.0, ((1500.0, 900.0), (2000.0, 1000.0)), Given())\n"
        "print(nest_of(('plate',), 'S235', 2.0, blanks, by).sheets)"
    )
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", code], text=True, stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
        )
        for seed in ("1", "77")
    ]  # fmt: skip
    first, second = (run.communicate()[0] for run in runs)
    assert first.startswith("(Sheet(")
    assert first == second


# True shape


@pytest.mark.parametrize(
    "shape", [disc(300), disc(12), ell(200, 150, 40), turned(plate(90, 20), 12)],
)  # fmt: skip
def test_the_outline_given_away_holds_the_blank_and_little_more(shape: Shape) -> None:
    held = Polygon(outward(shape.loop, 0.2))
    assert held.buffer(1e-3).covers(shape.alike)
    assert held.hausdorff_distance(shape.alike) < 0.2 + NEAR


def test_an_edge_that_bulges_in_is_taken_by_its_chords() -> None:
    # a plate of 100 x 50 with a quarter bite of radius 40 at a corner, drawn anticlockwise
    from parts.sheet.curve import Arc, Line

    bite = Arc((100, 10), (60, 50), (100, 50), -pi / 2)
    loop = (Line((0, 0), (100, 0)), Line((100, 0), (100, 10)), bite,
            Line((60, 50), (0, 50)), Line((0, 50), (0, 0)))  # fmt: skip
    held = Polygon(outward(loop, 0.2))
    true = 100 * 50 - pi * 40**2 / 4
    assert true < held.area < true + 0.2 * 40 * pi / 2


SQUARES = [wanted(plate(100, 100), 2)]
SIDE_BY_SIDE = [
    {"id": "0", "turn_deg": 0.0, "x": 0.0, "y": 0.0},
    {"id": "0", "turn_deg": 0.0, "x": 105.0, "y": 0.0},
]


def answering(rows: list[dict[str, object]]) -> true_shape.Solve:
    return lambda task: [dict(row) for row in rows]


def test_a_sound_answer_is_taken() -> None:
    found = relaid(nest(SQUARES, rules((400.0, 300.0))), 1, answering(SIDE_BY_SIDE))
    assert not isinstance(found, str)
    assert [p.shift for p in found[0].placed] == [(10.0, 10.0), (115.0, 10.0)]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"x": 50.0}, "apart on sheet 1"),  # one over the other
        ({"x": 103.0}, "3.00 mm apart"),  # of a gap of 5
        ({"y": 200.0}, "in its margin"),
        ({"x": -1.0}, "in its margin"),
        ({"id": "7"}, "not asked for"),
        (None, "left a blank out"),
    ],
)
def test_a_wrong_answer_is_caught_and_boxes_are_kept(
    change: dict[str, object] | None, words: str
) -> None:
    rows = [*SIDE_BY_SIDE[:1], *([] if change is None else [SIDE_BY_SIDE[1] | change])]
    found = relaid(nest(SQUARES, rules((400.0, 300.0))), 1, answering(rows))
    assert isinstance(found, str)
    assert words in found
    assert found.startswith("Laid by boxes: ")


def test_what_lies_over_the_end_of_the_sheet_goes_on_the_next() -> None:
    def row_of_squares(task: true_shape.Task) -> true_shape.Answer:
        (item,) = task["items"]
        return [
            {"id": item["id"], "turn_deg": 0.0, "x": 105.0 * k, "y": 0.0}
            for k in range(item["count"])
        ]

    # 10 + 3 * 100 + 2 * 5 + 10 = 330: three to a sheet
    shapes = [plate(100, 100)]
    boxes = nest([wanted(shapes[0], 7)], rules((330.0, 120.0)))
    found = relaid(boxes, 1, row_of_squares)
    assert not isinstance(found, str)
    assert [len(sheet.placed) for sheet in found] == [3, 3, 1]
    assert_sound(replace(boxes, sheets=found), shapes)


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("import time; time.sleep(30)", "not done after"),
        ("raise SystemExit(4)", "pip install tinwright[nest]"),
        ("raise SystemExit(101)", "failed on these blanks"),
    ],
)
def test_a_library_that_hangs_is_missing_or_dies_costs_nothing_but_its_time(
    monkeypatch: pytest.MonkeyPatch, code: str, words: str
) -> None:
    monkeypatch.setattr(true_shape, "COMMAND", (sys.executable, "-S", "-c", code))
    monkeypatch.setattr(true_shape, "SLOW", -0.6)
    found = nest_of(("plate",), "S235", 2.0, SQUARES, rules((400.0, 300.0)), seconds=1)
    assert words in found.note
    assert found.by == "boxes"
    assert len(found.sheets) == 1


def test_two_angles_lie_closer_by_true_shape_than_by_their_boxes() -> None:
    pytest.importorskip("spyrrow")
    shapes = [ell(300, 300, 40)]
    found = nest_of(
        ("plate",), "S235", 2.0, [wanted(shapes[0], 6)], rules((1500.0, 640.0)), seconds=1
    )
    assert found.by == "true shape", found.note
    assert_sound(found, shapes)
    boxes = nest([wanted(shapes[0], 6)], rules((1500.0, 640.0)))
    assert found.sheets_less_strip < boxes.sheets_less_strip


def test_polygons_find_what_is_wrong_with_a_nest() -> None:
    good = nest([wanted(disc(100), 2)], rules((400.0, 300.0)))
    assert faults(good, good.sheets) == []
    (sheet,) = good.sheets
    first, second = sheet.placed
    # discs of 100 whose middles lie 103 apart along a slant have 3 between them
    off = 103 / sqrt(2)
    close = replace(second, shift=(first.shift[0] + off, first.shift[1] + off))
    assert "3.00 mm apart" in faults(good, [replace(sheet, placed=(first, close))])[0]
    assert "missing" in faults(good, [replace(sheet, placed=(first,))])[0]


# The paper


def job(*parts: Part, given: Given | None = None, paper: str = "A4") -> WholeJob:
    return WholeJob("trial", parts, paper=Setting(paper), nesting=given or Given())


def flat(name: str, shape: Shape, count: int, *holes: Loop, thickness: float = 2.0) -> Part:
    cutouts = tuple(Cutout(f"hole {k}", hole) for k, hole in enumerate(holes, 1))
    part = part_of(Blank(thickness, shape.loop, cutouts, (), (5, 5)), name)
    return replace(part, pieces=(replace(part.pieces[0], quantity=count),))


def three_parts() -> tuple[Part, ...]:
    return (
        flat("plate", plate(420, 300), 3, circle((50, 50), 30), circle((370, 250), 12)),
        flat("angle", ell(260, 200, 45), 4),
        flat("cover", disc(310), 2, thickness=1.5),
        flat("shim", plate(22, 9), 5),
    )


def proved(whole: WholeJob, folder: Path) -> list[str]:
    (path,) = nesting.write(whole, folder)
    ledger = Ledger(path.name)
    check_nesting(path, whole, ledger)
    return [str(one) for one in ledger.disagreements]


@pytest.mark.parametrize("paper", ["A4", "A3", "Letter"])
def test_the_paper_can_be_read_and_proves_itself(tmp_path: Path, paper: str) -> None:
    whole = job(*three_parts(), given=Given(shop_sheets=((1000.0, 700.0),)), paper=paper)
    assert proved(whole, tmp_path) == []
    pages = read_pages(tmp_path / "trial-nesting.pdf")
    for page in pages:
        assert touching(page) == []
        assert outside(page, 10.0) == []
    texts = [text for page in pages for text in page.texts]
    # 3 plates and 4 angles of 2 mm: at least 3 * .126 + 4 * .019 = .45 of .7 m2, so one sheet
    # or two; the covers are of another thickness
    assert "sheet 1 of 1" in texts or "sheet 1 of 2" in texts
    # an arrow a sheet, and a head of a column in every list of blanks
    drawn = sum(len(one.sheets) for one in whole.nests)
    assert texts.count("grain") == drawn + texts.count("Blanks")


def test_where_no_blank_fits_the_paper_says_so(tmp_path: Path) -> None:
    assert proved(job(flat("pole", plate(4000, 50), 2)), tmp_path) == []
    (page,) = read_pages(tmp_path / "trial-nesting.pdf")
    assert "no blank of this material and thickness fits a sheet" in page.texts
    assert touching(page) == []


def test_the_paper_says_whose_nest_it_is_and_what_it_rests_on(tmp_path: Path) -> None:
    whole = job(*three_parts(), flat("pole", plate(4000, 50), 2))
    assert proved(whole, tmp_path) == []
    words = " ".join(t for page in read_pages(tmp_path / "trial-nesting.pdf") for t in page.texts)
    assert "The cutter makes a nest of his own" in words
    assert "Gap between blanks 6 mm" in words
    assert "Not placed, for it fits no sheet: 2 of no. 4." in words


def spoiled(change: Callable[[Nest], Nest]) -> WholeJob:
    """A job of one nest that is not as it should be."""
    whole = job(*three_parts()[:2])
    (only,) = whole.nests
    whole.__dict__["nests"] = (change(only),)
    return whole


def with_placed(only: Nest, number: int, placed: Placed | None) -> Nest:
    """The nest with one copy of its first sheet lain otherwise, or left out."""
    (sheet, *more) = only.sheets
    kept = [*sheet.placed[:number], *([placed] if placed else []), *sheet.placed[number + 1 :]]
    return replace(only, sheets=(replace(sheet, placed=tuple(kept)), *more))


def moved_by(only: Nest, x: float, y: float) -> Nest:
    first = only.sheets[0].placed[0]
    there = (first.shift[0] + x, first.shift[1] + y)
    return with_placed(only, 0, replace(first, shift=there))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda only: moved_by(only, 0.0, -2.0), "margin on sheet 1"),
        (lambda only: moved_by(only, 1.0, 1.0), "gap on sheet 1"),
        (lambda only: with_placed(only, 0, None), "copies of"),
        (lambda only: with_placed(only, 0, only.sheets[0].placed[1]), "copies of"),
    ],
    ids=["in the margin", "too close", "one left out", "one over another"],
)
def test_a_nest_that_is_wrong_is_not_proved(
    tmp_path: Path, change: Callable[[Nest], Nest], words: str
) -> None:
    found = proved(spoiled(change), tmp_path)
    assert any(words in one for one in found), found


def test_a_job_of_many_small_blanks_finds_room_on_paper(tmp_path: Path) -> None:
    parts = [flat(f"shim_{k}", plate(30 + k, 8), 1) for k in range(36)]
    whole = job(*parts, given=Given(shop_sheets=((1000.0, 500.0),)))
    assert proved(whole, tmp_path) == []
    pages = read_pages(tmp_path / "trial-nesting.pdf")
    assert [words for page in pages for words in touching(page)] == []
    listed = [text for page in pages for text in page.texts if text.startswith("shim_")]
    assert Counter(listed) == {part.name: 2 for part in parts}  # as part and as piece
    assert any("too small for a number here" in text for page in pages for text in page.texts)


# two angles of 260 x 200 with legs of 45, one turned half round into the other: from the inside of
# its leg at 10 + 45 to the other's end is 321 - 260 - 55 = 6, and 276 - 270 = 6 at the far side
@pytest.mark.parametrize(("x", "sound"), [(321.0, True), (319.0, False), (323.0, True)])
def test_blanks_that_lie_in_one_another_are_proved_by_what_is_between_them(
    tmp_path: Path, x: float, sound: bool
) -> None:
    whole = job(flat("angle", ell(260, 200, 45), 2))
    (only,) = whole.nests
    placed = (Placed(0, 1, 0.0, (10.0, 10.0)), Placed(0, 2, 180.0, (x, 216.0)))
    sheet = replace(only.sheets[0], placed=placed)
    whole.__dict__["nests"] = (replace(only, sheets=(sheet,)),)
    assert bool(proved(whole, tmp_path)) is not sound


def test_a_paper_of_other_blanks_is_not_proved(tmp_path: Path) -> None:
    (path,) = nesting.write(job(flat("plate", plate(420, 300), 1, circle((50, 50), 30))), tmp_path)
    for other, words in (
        (flat("plate", plate(420, 300), 1, circle((52, 50), 30)), "no. 1 on sheet 1"),
        (flat("plate", plate(420, 301), 1, circle((50, 50), 30)), "no. 1 on sheet 1"),
        (flat("plate", plate(420, 300), 2, circle((50, 50), 30)), "no. 1 on sheet 1"),
    ):
        ledger = Ledger(path.name)
        check_nesting(path, job(other), ledger)
        assert any(words in str(one) for one in ledger.disagreements)


def test_blanks_of_one_metal_and_thickness_are_laid_together() -> None:
    nests = nests_of(three_parts(), Given())
    assert [(n.thickness, [w.part for w in n.wanted]) for n in nests] == [
        (2.0, ["plate", "angle", "shim"]),
        (1.5, ["cover"]),
    ]
