"""Spoiled drawings: the proof names file and fault."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from blanks import l_bracket
from hand_parts import named, with_hole_moved, written

from parts import solid
from parts.part import Part
from parts.proof import ProofFailed, prove
from parts.proof.drawing import stroke
from parts.proof.flats import drawn_twice
from parts.sheet.allowance import Sourced
from parts.sheet.fold import fold
from parts.writers import dxf

STEM = "trial-l_bracket-l_bracket-left-mild_steel-2mm-1off"


def objection(part: Part, folder: Path, paths: list[Path]) -> str:
    """What the proof says against the files; fails where it says nothing."""
    with pytest.raises(ProofFailed) as failure:
        prove(part, folder, paths)
    return str(failure.value)


# --- spoiled drawings -------------------------------------------------------------------------


def spoil_dxf(path: Path, change: Callable[[Any, Any], None]) -> None:
    """Open a DXF file with the drawing library, change it, save it."""
    import ezdxf

    drawing = ezdxf.readfile(path)
    change(drawing, drawing.modelspace())
    drawing.saveas(path)


def move_a_hole(drawing: Any, space: Any) -> None:
    hole = space.query("CIRCLE").first
    hole.dxf.center = (hole.dxf.center.x + 0.01, hole.dxf.center.y)


def grow_a_hole(drawing: Any, space: Any) -> None:
    space.query("CIRCLE").first.dxf.radius += 0.005


def mirror_it(drawing: Any, space: Any) -> None:
    from ezdxf.math import Matrix44

    for entity in [*space]:
        entity.transform(Matrix44.scale(1, -1, 1))


def draw_a_hole_twice(drawing: Any, space: Any) -> None:
    space.add_entity(space.query("CIRCLE").first.copy())


def draw_an_edge_twice(drawing: Any, space: Any) -> None:
    points = space.query("LWPOLYLINE").first.get_points("xyb")
    space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": "CUT"})


def draw_a_hole_twice_a_hair_off(drawing: Any, space: Any) -> None:
    twin = space.query("CIRCLE").first.copy()
    twin.dxf.center = (twin.dxf.center.x + 5e-4, twin.dxf.center.y - 5e-4)
    space.add_entity(twin)


def open_the_outline(drawing: Any, space: Any) -> None:
    space.query("LWPOLYLINE").first.closed = False


def flatten_the_corner(drawing: Any, space: Any) -> None:
    outline = space.query("LWPOLYLINE").first
    outline.set_points([(x, y, 0.0) for x, y, _ in outline.get_points("xyb")], format="xyb")


def say_inches(drawing: Any, space: Any) -> None:
    drawing.header["$INSUNITS"] = 1


def draw_on_another_layer(drawing: Any, space: Any) -> None:
    space.query("CIRCLE").first.dxf.layer = "0"


def add_a_note(drawing: Any, space: Any) -> None:
    space.add_text("2 off", dxfattribs={"layer": "CUT"})


def add_a_point(drawing: Any, space: Any) -> None:
    space.add_point((1, 1), dxfattribs={"layer": "CUT"})


def drop_a_hole(drawing: Any, space: Any) -> None:
    space.delete_entity(space.query("CIRCLE").first)


ANY_DXF = [
    (move_a_hole, r"a: expected 0 mm off, found 0\.01 mm off"),
    (grow_a_hole, r"a: expected 0 mm off, found 0\.005 mm off"),
    (mirror_it, r"outline: expected 0 mm off, found"),
    (draw_a_hole_twice, r"cut at .*: expected cut once, found a duplicate"),
    (draw_a_hole_twice_a_hair_off, r"cut at .*: expected cut once, found a duplicate"),
    (draw_an_edge_twice, r"cut at .*: expected cut once, found a duplicate"),
    (open_the_outline, r"expected closed, found open"),
    (flatten_the_corner, r"outline: expected 0 mm off, found 2\.3"),  # 8 (1 - cos 45)
    (say_inches, r"units .*: expected 4, found 1"),
    (draw_on_another_layer, r"layer of a contour: expected CUT, found 0"),
    (add_a_note, r"found TEXT on CUT"),
    (add_a_point, r"found POINT on CUT"),
    (drop_a_hole, r"number of contours: expected 5, found 4"),
]


@pytest.mark.parametrize(("change", "words"), ANY_DXF, ids=[c.__name__ for c, _ in ANY_DXF])
@pytest.mark.parametrize("marked", [False, True], ids=["to cut", "marked"])
def test_a_wrong_dxf_file_is_named(
    change: Callable[[Any, Any], None], words: str, marked: bool, tmp_path: Path
) -> None:
    part = named("l_bracket")
    paths = written(part, tmp_path, ("dxf",))
    spoil_dxf(paths[marked], change)
    said = objection(part, tmp_path, paths)
    assert re.search(words, said), said
    assert all(line.startswith(paths[marked].name) for line in said.splitlines())


@pytest.mark.parametrize("x", [0.005, 0.0049996, 0.0050004, 12.345])
def test_cuts_on_each_other_are_seen_wherever_they_lie(x: float) -> None:
    """Half a micrometre apart, about x where a grid of 0.01 mm would round them either way."""
    one = stroke((x, 0.0), (x, 80.0), 0.0)
    other = stroke((x + 5e-7, 80.0), (x + 5e-7, 0.0), 0.0)
    apart = stroke((x + 2e-3, 80.0), (x + 2e-3, 0.0), 0.0)
    round_it = stroke((x, 0.0), (x, 80.0), 0.1)
    assert drawn_twice([one, apart, round_it, other]) == {3}
    assert drawn_twice([one, apart, round_it]) == set()


def test_a_proof_counts_every_cut_it_held_against_the_others(tmp_path: Path) -> None:
    """l_bracket: four sides and a round corner, four holes read as two halves each."""
    part = named("l_bracket")
    proof = prove(part, tmp_path, written(part, tmp_path, ("dxf",)))
    counts = {c.what: c.count for c in proof.checks if not c.file.endswith("marked.dxf")}
    assert counts["cuts drawn once"] == 5 + 2 * 4


def swap_direction(drawing: Any, space: Any) -> None:
    for text in space.query("TEXT"):
        text.dxf.text = text.dxf.text.replace(": up", ": down")


def say_another_turn(drawing: Any, space: Any) -> None:
    for text in space.query("TEXT"):
        text.dxf.text = text.dxf.text.replace("90%%d", "89%%d")


def move_a_bend_line(drawing: Any, space: Any) -> None:
    space.query('LINE[layer=="BEND"]').first.translate(0, 0.01, 0)


def shorten_a_bend_line(drawing: Any, space: Any) -> None:
    line = space.query('LINE[layer=="BEND"]').first
    line.dxf.start = line.dxf.start.lerp(line.dxf.end, 0.1)


def take_the_bends_away(drawing: Any, space: Any) -> None:
    for entity in space.query('*[layer=="BEND"]'):
        space.delete_entity(entity)


def turn_it_over(drawing: Any, space: Any) -> None:
    for text in space.query('TEXT[layer=="MARK"]'):
        text.dxf.text = text.dxf.text.replace("this face up", "this face down")


def swap_hands(drawing: Any, space: Any) -> None:
    for text in space.query('TEXT[layer=="MARK"]'):
        text.dxf.text = text.dxf.text.replace("left hand", "right hand")


def turn_the_grain(drawing: Any, space: Any) -> None:
    (word,) = [e for e in space.query("TEXT") if e.dxf.text == "grain"]
    x, y, _ = word.dxf.align_point
    for line in space.query('LINE[layer=="MARK"]'):
        if line.dxf.start.lerp(line.dxf.end).magnitude > 1e-9:
            line.translate(-x, -y, 0).rotate_z(0.1).translate(x, y, 0)


def leave_the_arrow_out(drawing: Any, space: Any) -> None:
    for line in space.query('LINE[layer=="MARK"]'):
        if line.dxf.start.lerp(line.dxf.end).magnitude > 1e-9:
            space.delete_entity(line)


def leave_the_grain_out(drawing: Any, space: Any) -> None:
    for text in space.query("TEXT"):
        if text.dxf.text == "grain":
            space.delete_entity(text)


GRAIN = [
    (turn_the_grain, r"direction of the grain: expected 0 degrees off, found 5\.7"),  # 0.1 rad
    (leave_the_arrow_out, r"lines on MARK: expected 8, found 2"),
    (leave_the_grain_out, r"direction of the grain: expected an arrow with its word, found no"),
]


@pytest.mark.parametrize(("change", "words"), GRAIN, ids=[c.__name__ for c, _ in GRAIN])
def test_a_wrong_grain_is_named(
    change: Callable[[Any, Any], None], words: str, tmp_path: Path
) -> None:
    part = named("z_with_gusset")  # R 4 on 3 mm mild steel: across the grain only
    paths = written(part, tmp_path, ("dxf",))
    spoil_dxf(paths[1], change)
    said = objection(part, tmp_path, paths)
    assert re.search(words, said), said


def springing(part: Part) -> Part:
    """The part with a bend book that says how far its sheet springs back."""
    piece = part.pieces[0]
    over = Sourced(1.5, "bend book row 1")
    allowances = tuple(replace(allowance, over=over) for allowance in piece.allowances)
    return replace(part, pieces=(replace(piece, allowances=allowances),))


def bend_over_further(drawing: Any, space: Any) -> None:
    for text in space.query("TEXT"):
        text.dxf.text = text.dxf.text.replace("over to 91.5", "over to 92.5")


def credit_another(drawing: Any, space: Any) -> None:
    for text in space.query("TEXT"):
        text.dxf.text = text.dxf.text.replace("book row 1", "book row 2")


def leave_bending_over_out(drawing: Any, space: Any) -> None:
    for text in space.query("TEXT"):
        if "over to" in text.dxf.text:
            space.delete_entity(text)


OVER = [
    (bend_over_further, r"bending over at bend tab: expected 91\.5 degrees, found 92\.5 degrees"),
    (credit_another, r"bending over at bend tab: expected bend book row 1, found bend book row 2"),
    (leave_bending_over_out, r"bending over at bend tab: expected 1, found 0"),
]


@pytest.mark.parametrize(("change", "words"), OVER, ids=[c.__name__ for c, _ in OVER])
def test_a_wrong_turn_to_bend_over_to_is_named(
    change: Callable[[Any, Any], None], words: str, tmp_path: Path
) -> None:
    part = springing(named("l_bracket"))
    paths = written(part, tmp_path, ("dxf",))
    prove(part, tmp_path, paths)
    spoil_dxf(paths[1], change)
    said = objection(part, tmp_path, paths)
    assert re.search(words, said), said


def test_bending_over_that_no_bend_book_knows_is_named(tmp_path: Path) -> None:
    part = named("l_bracket")
    paths = written(springing(part), tmp_path, ("dxf",))
    assert "bending over at bend tab: expected 0, found 1" in objection(part, tmp_path, paths)


MARKED = [
    (swap_direction, r"direction of bend tab, in words: expected up, found down"),
    (say_another_turn, r"turn of bend tab, in words: expected 90 degrees, found 89 degrees"),
    (move_a_bend_line, r"bend line tab: expected there, found missing"),
    (shorten_a_bend_line, r"end of bend line tab: expected 0 mm off, found 6 mm off"),
    (take_the_bends_away, r"bend line tab: expected there, found missing"),
    (turn_it_over, r"expected this face up, found"),
    (swap_hands, r"expected left hand, found"),
]


@pytest.mark.parametrize(("change", "words"), MARKED, ids=[c.__name__ for c, _ in MARKED])
def test_a_wrong_mark_is_named(
    change: Callable[[Any, Any], None], words: str, tmp_path: Path
) -> None:
    part = named("l_bracket")
    paths = written(part, tmp_path, ("dxf",))
    spoil_dxf(paths[1], change)
    said = objection(part, tmp_path, paths)
    assert re.search(words, said), said


def test_a_writer_that_turns_arcs_the_wrong_way_is_found_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from parts.sheet.curve import bulge

    monkeypatch.setattr(dxf, "bulge", lambda curve: -bulge(curve))
    part = named("z_with_gusset")
    said = objection(part, tmp_path, written(part, tmp_path, ("dxf",)))
    assert re.search(r"1off\.dxf: slot: expected 0 mm off, found 9 mm off", said)


def test_a_drawing_that_agrees_with_itself_but_not_with_the_solid_is_found_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The drawn hole is right, the solid's is not: the DXF's circle misses it when folded."""
    part = named("l_bracket")
    wrong = solid.of(fold(with_hole_moved(l_bracket(), "d", -0.01)))
    monkeypatch.setattr(solid, "of", lambda folded: wrong)
    said = objection(part, tmp_path, written(part, tmp_path, ("dxf", "step")))
    assert re.search(rf"{STEM}\.step: axis of hole d: expected 0 mm off, found 0\.01", said)


def test_every_disagreement_is_told_and_not_only_the_first(tmp_path: Path) -> None:
    part = named("l_bracket")
    paths = written(part, tmp_path, ("dxf",))
    spoil_dxf(paths[0], move_a_hole)
    spoil_dxf(paths[1], say_inches)
    lines = objection(part, tmp_path, paths).splitlines()
    assert any(line.startswith(paths[0].name) for line in lines)
    assert any(line.startswith(paths[1].name) for line in lines)
