"""Spoiled drawings: the proof names file and fault."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from blanks import l_bracket
from hand_parts import named, with_hole_moved, written

from parts import solid
from parts.part import Part
from parts.proof import ProofFailed, prove
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
