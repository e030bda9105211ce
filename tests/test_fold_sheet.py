"""Fold sheets, read back from the drawing commands of the PDF: what they say, that nothing lies on
anything, and that the proof names what was spoiled."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from math import hypot, radians, sin
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from blanks import bend, l_bracket, random_blank
from hand_parts import named, part_of, with_hole_moved
from paper_read import PageRead, outside, read_pages, touching

from parts import load
from parts.paper.page import Page, Stroke, Words
from parts.paper.setting import Setting
from parts.part import Part, Piece
from parts.proof import ProofFailed, prove
from parts.proof.fold_sheets import check_fold_sheet
from parts.proof.ledger import Ledger
from parts.proof.partly import Partly, gauge_distance, outside_legs
from parts.sheet.allowance import Sourced
from parts.sheet.blank import Bend, Blank
from parts.sheet.fold_order import held
from parts.sheet.fold_order.steps import FoldOrder, Gauge, NoOrder, Step
from parts.sheet.loop import polygon
from parts.writers import fold_sheet
from parts.writers.fold_sheet import blank as blank_picture
from parts.writers.fold_sheet import picture, sheets, wording

DEMO = load(Path(__file__).parents[1] / "configs" / "tin_wren.toml")
FRAME = 10.0  # mm from the edge of the paper
STEM = "trial-l_bracket-l_bracket-left-mild_steel-2mm-1off"
LOWER = Gauge("the lower edge", 43.0159, ((0.0, -40.0), (52.0, -40.0)))  # 40 + 6.0319 / 2
ONE = Step((0,), 90.0, None, True, False, 0.0, LOWER)


def ordered(part: Part, *steps: Step, order: NoOrder | None = None) -> Part:
    """The part with an order of its only piece given by hand."""
    piece = replace(part.pieces[0])
    piece.__dict__["fold_order"] = order or FoldOrder(steps, "a straight punch")
    return replace(part, pieces=(piece,))


def springing(part: Part, over_deg: float) -> Part:
    """The part with a bend book that says how far its sheet springs back."""
    piece = part.pieces[0]
    over = Sourced(over_deg, "bend book row 1")
    allowances = tuple(replace(one, over=over) for one in piece.allowances)
    return replace(part, pieces=(replace(piece, allowances=allowances),))


def drawn(part: Part, folder: Path) -> list[PageRead]:
    (path,) = fold_sheet.write(part, folder)
    return read_pages(path)


def text(pages: list[PageRead]) -> str:
    """All words in the order they are drawn, lines that were broken put together."""
    return " ".join(word for page in pages for word in page.texts)


@cache
def demo(name: str) -> Part:
    return DEMO.part(name)


def told(part: Part, piece: Piece) -> str:
    """All words of a sheet, before it is written."""
    pages = fold_sheet.pages(part, piece)
    return " ".join(m.text for page in pages for m in page.marks if isinstance(m, Words))


@cache
def l_text() -> str:
    part = ordered(named("l_bracket"), ONE)
    return told(part, part.pieces[0])


# --- what it says -----------------------------------------------------------------------------


def test_a_step_tells_gauge_turn_and_the_legs_to_check() -> None:
    """l_bracket: base 40 and flange 50 to the tangents, 2 mm, R 3: outside legs 45 and 55; a strip
    of (3 + 0.42 * 2) * pi / 2 = 6.03 in the bend, half of it to its middle."""
    said = l_text()
    assert "gauge 43 mm to the middle of the bend, against: the lower edge" in said
    assert "90° from flat, included angle 90°; spring-back: try on a strip" in said
    assert "outside legs: back 45, front 55" in said
    assert "start with the drawn face up" in said
    assert "B1 tab ↑ up, toward you" in said


def test_the_head_tells_metal_die_punch_and_face() -> None:
    said = l_text()
    assert "1 off, mild steel, 2 mm; inside radius 3." in said
    assert "Die V 12 (suits 2 mm sheet)" in said
    assert "a straight punch" in said
    assert "Drawn face: the tyre." in said


def test_the_finished_sizes_are_those_outside() -> None:
    """60 wide, 40 + R 3 + 2 mm deep, 50 + 5 high."""
    assert "60 × 45 × 55 mm over all" in l_text()


def test_a_book_that_knows_the_spring_back_gives_the_angle_to_bend_to(tmp_path: Path) -> None:
    part = ordered(springing(named("l_bracket"), 2.5), replace(ONE, over_deg=92.5))
    said = text(drawn(part, tmp_path))
    assert "bend to 92.5°, springs back to 90°; included angle 90°" in said
    assert "try on a strip" not in said


def test_a_step_without_a_gauge_works_to_the_ticks(tmp_path: Path) -> None:
    part = ordered(named("l_bracket"), replace(ONE, gauge=None))
    said = text(drawn(part, tmp_path))
    assert "no edge to gauge on: work to the ticks" in said
    assert prove(part, tmp_path, [tmp_path / f"{STEM}-folding.pdf"]).checks


Z_GUSSET = Gauge("the gusset", 32.1312, ((126.2624, 18.0), (126.2624, 44.0)))
Z_UP = Gauge("the lower edge", 49.1312, ((0.0, -53.2624), (90.0, -53.2624)))
Z_DOWN = Gauge("the upper edge", 44.1312, ((90.0, 118.2624), (0.0, 118.2624)))
Z = (
    Step((2,), 90.0, None, True, False, 0.0, Z_GUSSET),
    Step((0,), 90.0, None, True, False, 90.0, Z_UP),
    Step((1,), -90.0, None, False, True, 180.0, Z_DOWN),
)


def test_handling_is_told_as_it_is_done_at_the_brake(tmp_path: Path) -> None:
    """The gusset points right, the next edge to gauge down: seen from above, the drawn face up,
    what points down comes to the back, where what points right was, by a quarter turn against the
    clock. The last one lies opposite, on the other face: turned over with the back to the front."""
    said = text(drawn(ordered(named("z_with_gusset"), *Z), tmp_path))
    assert "swing it round 90° anticlockwise: drawn face up" in said
    assert "turn it over, back to front: drawn face down" in said


def test_a_roll_is_told_by_its_radius_from_line_to_line() -> None:
    part = demo("rear_tub")
    band = next(piece for piece in part.pieces if piece.name == "band")
    found = re.search(r"to inside radius (\d+) \(a template of that radius checks it\), from line "
                      r"to line, over ([\d.]+)°", told(part, band))  # fmt: skip
    assert found is not None
    assert found[1] == "392"
    assert float(found[2]) == pytest.approx(167.95, abs=0.005)


def test_bends_made_in_one_stroke_share_a_box(tmp_path: Path) -> None:
    sheet = polygon([(0, 0), (90, 0), (90, 60), (60, 60), (60, 20), (30, 20), (30, 60), (0, 60)])
    tabs = tuple(
        bend(name, (low, 26), (high, 26), 90, 2, 2)
        for name, low, high in (("one", 0, 30), ("other", 60, 90))
    )
    part = ordered(
        part_of(Blank(2, sheet, (), tabs, (45, 10)), "l_bracket"),
        Step((0, 1), 90.0, None, True, False, 0.0, None),
    )
    said = text(drawn(part, tmp_path))
    assert "B1 + B2 one, other" in said
    assert prove(part, tmp_path, [tmp_path / f"{STEM}-folding.pdf"]).checks


def test_a_piece_without_an_order_has_its_bends_listed_with_the_reason(tmp_path: Path) -> None:
    none = NoOrder((0,), "Bend tab strikes the punch.", "Make it shorter.", "a straight punch")
    part = ordered(named("l_bracket"), order=none)
    said = text(drawn(part, tmp_path))
    assert "Bend tab strikes the punch." in said
    assert "tab: 90° from flat, ↑ up, toward you" in said
    assert "gauge" not in said
    assert prove(part, tmp_path, [tmp_path / f"{STEM}-folding.pdf"]).checks


def test_a_piece_without_bends_gets_no_fold_sheet(tmp_path: Path) -> None:
    flat = replace(l_bracket(), bends=())
    assert fold_sheet.write(part_of(flat), tmp_path) == []


# --- pictures ---------------------------------------------------------------------------------


def places(page: Page, said: str) -> list[float]:
    return [mark.at[0] for mark in page.marks if isinstance(mark, Words) and mark.text == said]


def test_the_gauge_stands_behind_the_die_and_the_operator_before_it() -> None:
    part = ordered(named("z_with_gusset"), *Z)
    (page,) = fold_sheet.pages(part, part.pieces[0])
    yours, gauges = places(page, "you"), places(page, "gauge")
    assert len(yours) == len(Z)
    for column in (0, 105):  # the page's two columns
        ours = [x for x in yours if column < x < column + 105]
        behind = [x for x in gauges if column + 50 < x < column + 105]
        assert ours
        assert max(ours) < min(behind)


def heavy(page: Page) -> list[Stroke]:
    return [mark for mark in page.marks if isinstance(mark, Stroke) and mark.pen == picture.NOW]


def test_the_bend_just_made_is_drawn_heavy_where_it_is_seen() -> None:
    """Both edges of a bend seen from above run the same way, and only they are heavy."""
    part = ordered(named("l_bracket"), ONE)
    (page,) = fold_sheet.pages(part, part.pieces[0])
    lines = heavy(page)
    ways = {round((c.end[1] - c.start[1]) / (c.end[0] - c.start[0]), 6)
            for line in lines for c in line.curves}  # fmt: skip
    assert len(lines) == 2
    assert len(ways) == 1


def test_bend_lines_have_ticks_at_both_ends() -> None:
    part = ordered(named("l_bracket"), ONE)
    (page,) = fold_sheet.pages(part, part.pieces[0])
    ticks = [mark for mark in page.marks
             if isinstance(mark, Stroke) and mark.pen == blank_picture.TICK
             and len(mark.curves) == 1]  # fmt: skip
    sizes = [hypot(t.curves[0].end[0] - t.curves[0].start[0],
                   t.curves[0].end[1] - t.curves[0].start[1]) for t in ticks]  # fmt: skip
    assert sizes == pytest.approx([5.0, 5.0])  # at 1:1


@pytest.mark.parametrize(
    ("paper", "size"),
    [("A4", (210, 297)), ("A3", (297, 420)), ("Letter", (215.9, 279.4)), ("roll", (210, 297))],
)
def test_the_sheet_has_the_size_of_the_shops_paper(
    paper: str, size: tuple[float, float], tmp_path: Path
) -> None:
    part = replace(ordered(named("l_bracket"), ONE), paper=Setting(paper=paper))
    assert drawn(part, tmp_path)[0].size == pytest.approx(size, abs=0.01)


def test_the_same_part_gives_the_same_bytes(tmp_path: Path) -> None:
    part = ordered(named("l_bracket"), ONE)
    (first,) = fold_sheet.write(part, tmp_path)
    before = first.read_bytes()
    fold_sheet.write(part, tmp_path)
    assert first.read_bytes() == before


# --- nothing on anything, and every part proved -----------------------------------------------


def assert_clear_and_proved(part: Part, folder: Path) -> None:
    paths = iter(fold_sheet.write(part, folder))
    for piece in part.pieces:
        if piece.blank.bends:
            path, ledger = next(paths), Ledger("sheet")
            for number, page in enumerate(read_pages(path), 1):
                found = [*touching(page), *outside(page, FRAME - 1e-3)]
                assert found == [], (part.name, piece.name, number)
            check_fold_sheet(path, part, piece, ledger)
            assert ledger.disagreements == []


def right_handed(part: Part) -> Part:
    return replace(part, pieces=tuple(p for p in part.pieces if p.hand != "left"))


@pytest.mark.parametrize("name", ["rear_mount", "rear_tub", "boot_lid", "lower_tabs"])
def test_sheets_of_the_demo_are_clear_and_true(name: str, tmp_path: Path) -> None:
    assert_clear_and_proved(right_handed(demo(name)), tmp_path)


@pytest.mark.parametrize("name", ["box", "skew", "z_with_gusset"])
def test_sheets_of_blanks_drawn_by_hand_are_clear_and_true(name: str, tmp_path: Path) -> None:
    """The box has five bends and twelve openings."""
    assert_clear_and_proved(named(name), tmp_path)


@pytest.mark.parametrize("seed", [5, 17, 18, 32])
def test_sheets_of_random_blanks_are_clear_and_true(seed: int, tmp_path: Path) -> None:
    part = part_of(random_blank(seed))
    assert_clear_and_proved(replace(part, paper=Setting(paper="Letter")), tmp_path)


# --- the proof's own geometry -----------------------------------------------------------------


def channel() -> Blank:
    """2 mm, R 2, allowance 4 each: lips of 30 to the tangent, 60 between the tangents."""
    sheet = polygon([(0, 0), (128, 0), (128, 50), (0, 50)])
    bends = (Bend("a", (34, 0), (34, 50), 90, 2, 4), Bend("b", (94, 50), (94, 0), 90, 2, 4))
    return Blank(2, sheet, (), bends, (60, 25))


def test_a_flange_bent_before_gauges_on_its_outside() -> None:
    """From the middle of bend b, 2 mm before it starts, 60 to the tangent of a, and R + t past it:
    2 + 60 + 4."""
    whole = Partly.of(channel(), (0, 1)).folded
    edge = ((34.0, 0.0), (34.0, 50.0))
    found = gauge_distance(Partly.of(channel(), (0,)), whole, 1, edge)
    assert found == pytest.approx(66.0, abs=0.01)


def test_legs_are_measured_outside_as_folded_so_far() -> None:
    """b alone: 30 + 4 and 94 + 4; with a as well the web is 60 and R + t at both ends."""
    assert sorted(outside_legs(Partly.of(channel(), (1,)), (1,))) == pytest.approx([34, 98])
    both = outside_legs(Partly.of(channel(), (0, 1)), (1,))
    assert sorted(both) == pytest.approx([34, 4 + 60 + 4], abs=0.01)


def test_a_bend_past_square_reaches_out_to_its_outermost_face() -> None:
    """R + t = 6 past the tangent; the flange of 20 leans back over by 30 degrees."""
    sheet = polygon([(0, 0), (80, 0), (80, 40), (0, 40)])
    sharp = Bend("sharp", (50, 40), (50, 0), -120, 4, 10)
    part = Partly.of(Blank(2, sheet, (), (sharp,), (10, 10)), (0,))
    assert np.ptp(part.metal(range(3))[:, 0]) == pytest.approx(50 + 6, abs=0.01)
    legs = outside_legs(part, (0,))
    assert sorted(legs) == pytest.approx([20 + 6, 50 + 6], abs=0.01)
    assert sin(radians(30)) * 20 < 50  # the flange does not reach past the plate


# --- spoiled sheets ---------------------------------------------------------------------------


def objection(part: Part, path: Path) -> str:
    with pytest.raises(ProofFailed) as failure:
        prove(part, path.parent, [path])
    return str(failure.value)


OTHER = [
    (replace(ONE, gauge=replace(LOWER, distance=44.0)),
     "gauge at step 1: expected 43.0159289 mm, found 44 mm"),
    (replace(ONE, turn_deg=91.0), "turn at step 1: expected 90 degrees, found 91 degrees"),
    (replace(ONE, over_deg=92.0), "spring-back at step 1: expected spring-back: try on a strip"),
    (replace(ONE, drawn_face_up=False), "face at step 1: expected up, found down"),
    (replace(ONE, gauge=replace(LOWER, against="the left edge")),
     "gauge at step 1: expected the lower edge, found the left edge"),
    (replace(ONE, gauge=None), "gauge at step 1: expected 43.0159289 mm, found nan mm"),
    (replace(ONE, rolled=True), "turn at step 1: expected 90 degrees, found nan degrees"),
]  # fmt: skip


@pytest.mark.parametrize(("step", "words"), OTHER)
def test_a_sheet_of_another_step_is_named(step: Step, words: str, tmp_path: Path) -> None:
    part = ordered(named("l_bracket"), ONE)
    (path,) = fold_sheet.write(ordered(part, step), tmp_path)
    assert words in objection(part, path)


def test_a_sheet_that_springs_back_further_is_named(tmp_path: Path) -> None:
    part = springing(named("l_bracket"), 1.5)
    (path,) = fold_sheet.write(ordered(part, replace(ONE, over_deg=92.5)), tmp_path)
    said = objection(ordered(part, replace(ONE, over_deg=91.5)), path)
    assert "bending over at step 1: expected 91.5 degrees, found 92.5 degrees" in said


ORDERS: list[tuple[tuple[Step, ...], str]] = [
    ((Z[1], Z[0], Z[2]), "bends of step 1: expected (2,), found (0,)"),
    (Z[:2], "numbers of the steps: expected [1, 2, 3], found [1, 2]"),
    ((Z[0], Z[0], Z[2]), "bends, each once: expected [0, 1, 2], found [1, 2, 2]"),
    ((*Z[:2], replace(Z[2], flip=False)),
     "turning over at step 3: expected turn it over, found nothing"),
]  # fmt: skip


@pytest.mark.parametrize(("steps", "words"), ORDERS)
def test_a_sheet_in_another_order_is_named(
    steps: tuple[Step, ...], words: str, tmp_path: Path
) -> None:
    part = ordered(named("z_with_gusset"), *Z)
    (path,) = fold_sheet.write(ordered(part, *steps), tmp_path)
    assert words in objection(part, path)


def other_legs(monkeypatch: pytest.MonkeyPatch) -> None:
    true = held.Held.leg
    monkeypatch.setattr(held.Held, "leg", lambda self, side: true(self, side) + 2.0)


def other_scale(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheets, "scale_words", lambda scale: "1:2")


def other_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(wording, "way_of", lambda bend: "↓ down, away from you")


def other_size(monkeypatch: pytest.MonkeyPatch) -> None:
    from parts.writers.fold_sheet import cell

    monkeypatch.setattr(cell, "finished", lambda folded: (60.0, 45.0, 57.0))


def other_angle(monkeypatch: pytest.MonkeyPatch) -> None:
    from parts.writers.fold_sheet import cell

    monkeypatch.setattr(cell, "folds", lambda piece: "B1 80°")


WRITERS: list[tuple[Callable[[pytest.MonkeyPatch], None], str]] = [
    (other_legs, "outside leg at step 1: expected 45 mm, found 47 mm"),
    (other_scale, "blank, true to scale: expected 0 mm off, found inf mm off"),
    (other_way, "way of step 1: expected up, found down"),
    (other_size, "finished size along z: expected 55 mm, found 57 mm"),
    (other_angle, "finished angle at B1: expected 90 degrees, found 80 degrees"),
]


@pytest.mark.parametrize(("spoil", "words"), WRITERS, ids=[s.__name__ for s, _ in WRITERS])
def test_a_writer_gone_wrong_is_found_out(
    spoil: Callable[[pytest.MonkeyPatch], None], words: str, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    part = ordered(named("l_bracket"), ONE)
    spoil(monkeypatch)
    (path,) = fold_sheet.write(part, tmp_path)
    assert words in objection(part, path)


def test_a_piece_swung_the_wrong_way_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    part = ordered(named("z_with_gusset"), *Z)
    true = held.Held.swing_deg.fget  # type: ignore[attr-defined]
    monkeypatch.setattr(held.Held, "swing_deg", property(lambda self: -true(self)))
    (path,) = fold_sheet.write(part, tmp_path)
    said = objection(part, path)
    assert "sense of the swing at step 2: expected anticlockwise, found clockwise" in said


def test_a_sheet_with_a_hole_elsewhere_is_named(tmp_path: Path) -> None:
    part = ordered(named("l_bracket"), ONE)
    wrong = part_of(with_hole_moved(l_bracket(), "a", 0.1), "l_bracket")
    (path,) = fold_sheet.write(ordered(wrong, ONE), tmp_path)
    assert re.search(r"true to scale: expected 0 mm off, found 0\.(09|1)", objection(part, path))


def test_a_sheet_of_the_other_hand_is_named(tmp_path: Path) -> None:
    part = ordered(named("l_bracket"), ONE)
    right = replace(part, pieces=(other_hand(part.pieces[0]),))
    (path,) = fold_sheet.write(ordered(right, ONE), tmp_path)
    own = path.rename(path.with_name(f"{STEM}-folding.pdf"))
    assert re.search(r"name on sheet 1: expected trial-.*-left", objection(part, own))


def other_hand(piece: Piece) -> Piece:
    return replace(piece, hand="right")


def test_a_sheet_cut_off_is_named(tmp_path: Path) -> None:
    part = ordered(named("l_bracket"), ONE)
    (path,) = fold_sheet.write(part, tmp_path)
    path.write_bytes(path.read_bytes()[:1000])
    assert "the file: expected a PDF of sheets" in objection(part, path)


def test_true_sheets_are_believed_and_counted(tmp_path: Path) -> None:
    part = ordered(named("z_with_gusset"), *Z)
    proof = prove(part, tmp_path, fold_sheet.write(part, tmp_path))
    counts: dict[str, Any] = {check.what: check.count for check in proof.checks}
    assert counts["gauge"] == 3
    assert counts["outside leg"] == 6
    assert counts["turn"] == counts["included angle"] == 3
